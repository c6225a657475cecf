package label

import (
	"errors"
	"fmt"
	"io"
)

// Labels say how bag labels are printed.
type Labels struct {
	Stock      Stock
	First      int  // first free label on the first sheet, from 1; 0 for 1
	Copies     int  // of each label, 1 to 10; 0 for 1
	SampleOnly bool // the code holds the sample’s name only, for readers that type what they read
	Edges      bool // draw the edges, to be cut from plain paper
	About      About
}

// mostBags is how many labels one file takes.
const mostBags = 5000

// WriteLabels writes the labels of bags, in their order, as PDF.
func WriteLabels(w io.Writer, bags []Bag, o Labels) error {
	o.First, o.Copies = max(o.First, 1), max(o.Copies, 1)
	switch faults := o.Stock.Faults(o.First); {
	case len(faults) > 0:
		return errors.New(faults[0].Text)
	case o.Copies > 10:
		return fmt.Errorf("%d copies of each label: 1 to 10 are allowed", o.Copies)
	case len(bags) == 0:
		return errors.New("there is no bag to label")
	case len(bags)*o.Copies > mostBags:
		return fmt.Errorf("%d labels: at most %d go into one file", len(bags)*o.Copies, mostBags)
	}
	p, err := newPress(o.Stock.Paper, o.About)
	if err != nil {
		return err
	}
	n := o.First - 1
	p.AddPage()
	for _, b := range bags {
		for range o.Copies {
			if n == o.Stock.PerSheet() {
				n = 0
				p.AddPage()
			}
			x, y := o.Stock.place(n)
			if err := p.bag(b, x, y, o); err != nil {
				return fmt.Errorf("label of sample %q: %w", b.Sample, err)
			}
			n++
		}
	}
	return p.finish(w)
}

// margin keeps everything inside a label that the printer sets askew, mm. Common practice, no source.
const margin = 2.0

// bag sets one label with its upper left corner at x, y.
func (p *press) bag(b Bag, x, y float64, o Labels) error {
	s := o.Stock
	if o.Edges {
		p.SetDrawColor(greyLine, greyLine, greyLine)
		p.SetLineWidth(0.1)
		p.Rect(x, y, s.Width, s.Height, "D")
	}
	w, h := s.Width-2*margin, s.Height-2*margin
	side := min(h, 0.42*w)
	codeY := margin + (h-side)/2
	textX, textY, textW, textH := margin+side+1, margin, w-side-1, h
	if s.Height > 1.2*s.Width { // a tall label: the code above the text
		side = min(w, 0.5*h)
		codeY, textX, textY, textW, textH = margin, margin, margin+side, w, h-side
	}
	c, err := encode(b.Text(o.SampleOnly), side)
	if err != nil {
		return err
	}
	c.draw(p, x+margin, y+codeY, side)
	return p.rows(b.rows(), x+textX, y+textY, textW, textH)
}

const (
	leading   = 1.22 // distance of lines over size of letters
	leastText = 5.5  // pt; smaller is not read on a bag
	mostText  = 13.0 // pt
)

// rows sets the rows of a label in the largest letters that fit, the first two in bold: the sample’s name, and where it is
// from. A row too wide for the common size is set smaller, and broken only where that would be too small to read.
func (p *press) rows(rows []string, x, y, w, h float64) error {
	p.SetTextColor(0, 0, 0)
	for size := mostText; size >= leastText; size -= 0.25 {
		set := p.broken(rows, size, w)
		line := size * mmPerPt * leading
		if float64(len(set))*line > h || (len(set) > len(rows) && size > leastText+1) {
			continue
		}
		base := y + (h-float64(len(set))*line)/2 + size*mmPerPt
		for i, l := range set {
			p.font(l.style, l.size)
			p.say(x, base+float64(i)*line, l.text)
		}
		return nil
	}
	return fmt.Errorf("its text does not fit %s × %s mm in letters of %s pt: take larger labels or a shorter name", short(w), short(h), short(leastText))
}

type setLine struct {
	style, text string
	size        float64 // pt
}

func (p *press) broken(rows []string, size, w float64) []setLine {
	var out []setLine
	for i, r := range rows {
		style := ""
		if i < 2 {
			style = "B"
		}
		p.fit(r, style, size, leastText, w)
		for _, l := range p.lines(r, w) {
			out = append(out, setLine{style, l, p.size})
		}
	}
	return out
}
