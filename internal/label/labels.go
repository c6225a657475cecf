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
const mostBags = 2000

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
	if plain(b.Sample) == "" {
		return errors.New("the sample has no name")
	}
	if o.Edges {
		p.SetDrawColor(greyLine, greyLine, greyLine)
		p.SetLineWidth(0.1)
		p.Rect(x, y, s.Width, s.Height, "D")
	}
	x, y = x+margin, y+margin
	w, h := s.Width-2*margin, s.Height-2*margin
	rows := b.rows()
	below, err := p.name(rows[0], x, y, w, h)
	if err != nil {
		return err
	}
	y, h = y+below, h-below
	side := min(h, 0.42*w)
	textX, textY, textW, textH := x+side+1, y, w-side-1, h
	codeY := y + (h-side)/2
	if s.Height > 1.2*s.Width { // a tall label: the code above the text
		side = min(w, 0.5*h)
		codeY, textX, textY, textW, textH = y, x, y+side, w, h-side
	}
	c, err := encode(b.Text(o.SampleOnly), side)
	if err != nil {
		return err
	}
	c.draw(p, x, codeY, side)
	return p.rows(rows[1:], textX, textY, textW, textH)
}

const (
	leading   = 1.22 // distance of lines over size of letters
	leastText = 6.0  // pt; smaller is not read on a bag
	easyText  = 8.0  // pt; a row is rather broken than set smaller
	mostText  = 13.0 // pt
)

// name sets the sample’s name in bold across the top of a label and gives the height it takes.
func (p *press) name(text string, x, y, w, h float64) (float64, error) {
	p.fit(text, "B", mostText, easyText, w)
	lines := p.lines(text, w)
	if len(lines) > 1 && p.fit(text, "B", easyText, leastText, w) {
		lines = lines[:1]
		lines[0] = p.shown(text)
	}
	line := p.size * mmPerPt * leading
	if float64(len(lines))*line > h/2 {
		return 0, p.tooLong(w, h)
	}
	p.SetTextColor(0, 0, 0)
	for i, l := range lines {
		p.say(x, y+p.size*mmPerPt*0.85+float64(i)*line, l)
	}
	return float64(len(lines)) * line, nil
}

// rows sets the other rows in the largest letters that fit all of them, the first in bold: where the cores are from.
func (p *press) rows(rows []string, x, y, w, h float64) error {
	for size := mostText; size >= leastText; size -= 0.25 {
		set := p.broken(rows, size, w)
		line := size * mmPerPt * leading
		if float64(len(set))*line > h || (len(set) > len(rows) && size > easyText) {
			continue
		}
		base := y + (h-float64(len(set))*line)/2 + size*mmPerPt
		for i, l := range set {
			p.font(l.style, size)
			p.say(x, base+float64(i)*line, l.text)
		}
		return nil
	}
	return p.tooLong(w, h)
}

func (p *press) tooLong(w, h float64) error {
	return fmt.Errorf("its text does not fit %s × %s mm in letters of %s pt: take larger labels or a shorter name", short(w), short(h), short(leastText))
}

type setLine struct{ style, text string }

func (p *press) broken(rows []string, size, w float64) []setLine {
	var out []setLine
	for i, r := range rows {
		style := ""
		if i == 0 {
			style = "B"
		}
		p.font(style, size)
		for _, l := range p.lines(r, w) {
			out = append(out, setLine{style, l})
		}
	}
	return out
}
