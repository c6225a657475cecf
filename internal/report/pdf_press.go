package report

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"underfoot/internal/typeface"
)

// Lengths in this file and its neighbours are CSS pixels at true size, 96 an inch, as in report.css and the figures; y goes
// down from the upper edge of the page.
const (
	ptPerPx = 0.75
	pxPerMM = 96 / 25.4
)

// wide is the width of what is set on a page: 174 mm, on A4 and Letter alike.
const wide = 658.0

// Colours of report.css.
const (
	inkColour   = "#13211D"
	ink2Colour  = "#3F4E49"
	ink3Colour  = "#5A6964"
	hairColour  = "#CDD6D2"
	paperColour = "#FFFFFF"
)

// lettering is how words are set: face, size, colour, and what is added after every letter, in parts of the size.
type lettering struct {
	face   *typeface.Face
	size   float64
	colour string
	track  float64
}

// faces are those of a report.
type faces struct{ sans, bold, serif, medium, semibold *typeface.Face }

func loadFaces() (faces, error) {
	var f faces
	for _, x := range []struct {
		to   **typeface.Face
		load func() (*typeface.Face, error)
	}{
		{&f.sans, typeface.Sans}, {&f.bold, typeface.SansBold}, {&f.serif, typeface.Serif}, {&f.medium, typeface.SerifMedium}, {&f.semibold, typeface.SerifSemibold},
	} {
		var err error
		if *x.to, err = x.load(); err != nil {
			return f, fmt.Errorf("reading an embedded typeface: %w", err)
		}
	}
	return f, nil
}

// press sets words and lines on pages.
type press struct {
	pdf   *fpdf.Fpdf
	faces faces
	paper box // size of a page
	left  float64
	raw   bytes.Buffer    // strokes and areas not yet written to the page
	clear map[float64]int // states of transparency by opacity
	logo  box             // its size as it is set; zero for none
	structure
}

type box struct{ w, h float64 }

// size is the paper in pixels.
func (p Paper) size() box {
	if p == Letter {
		return box{215.9 * pxPerMM, 279.4 * pxPerMM}
	}
	return box{210 * pxPerMM, 297 * pxPerMM}
}

func newPress(m Model, page Paper) (*press, error) {
	f, err := loadFaces()
	if err != nil {
		return nil, err
	}
	p := &press{faces: f, paper: page.size(), clear: map[float64]int{}, structure: structure{root: &element{kind: asDocument}}}
	p.left = (p.paper.w - wide) / 2
	d := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: fpdf.SizeType{Wd: p.paper.w * ptPerPx, Ht: p.paper.h * ptPerPx}})
	p.pdf = d
	d.SetCatalogSort(true)
	d.SetCreationDate(m.When.UTC())
	d.SetModificationDate(m.When.UTC())
	d.SetTitle(m.Title(), true)
	d.SetSubject(m.Subject, true)
	d.SetAuthor(m.Author, true)
	d.SetLang(m.lang("en-GB"))
	d.SetCreator(strings.TrimSpace("Underfoot "+m.Version), true)
	d.SetProducer("fpdf", true)
	d.SetDisplayMode("fullwidth", "continuous")
	d.SetAutoPageBreak(false, 0)
	d.SetMargins(0, 0, 0)
	d.SetCellMargin(0)
	for _, face := range []*typeface.Face{f.sans, f.bold, f.serif, f.medium, f.semibold} {
		d.AddUTF8FontFromBytes(face.Name, "", face.Font)
	}
	p.picture(m.Logo)
	return p, d.Error()
}

// turn begins a page.
func (p *press) turn() {
	p.pdf.AddPage()
	p.owners = append(p.owners, nil)
}

// finish writes the file.
func (p *press) finish(w io.Writer) error {
	var b bytes.Buffer
	if err := p.pdf.Output(&b); err != nil {
		return fmt.Errorf("writing the PDF: %w", err)
	}
	file, err := p.structured(b.Bytes())
	if err != nil {
		return fmt.Errorf("writing the structure of the PDF: %w", err)
	}
	_, err = w.Write(file)
	return err
}

// run is a piece of a text in one face.
type run struct {
	face  *typeface.Face
	words string
}

// runs parts a text where its face lacks letters that another has; what none has becomes a question mark.
func (p *press) runs(l lettering, words string) []run {
	words = printable(words)
	if _, lost := l.face.Shown(words); !lost {
		return []run{{l.face, words}}
	}
	others := []*typeface.Face{p.faces.sans, p.faces.serif}
	if l.face == p.faces.semibold {
		others[0] = p.faces.bold
	}
	var out []run
	for _, r := range words {
		face := l.face
		for i := 0; !face.Has(r) && i < len(others); i++ {
			if others[i].Has(r) {
				face = others[i]
			}
		}
		shown, _ := face.Shown(string(r))
		if n := len(out); n > 0 && out[n-1].face == face {
			out[n-1].words += shown
			continue
		}
		out = append(out, run{face, shown})
	}
	return out
}

// printable leaves out what is no letter; every kind of blank becomes the plain one.
func printable(words string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\u00a0' || r == '\u202f' || r == '\u2009' || r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0) || r == 0x2028 || r == 0x2029 || r == 0x00ad:
			return -1
		}
		return r
	}, words)
}

// width is that of a text on one line.
func (p *press) width(l lettering, words string) float64 {
	sum := 0.0
	for _, r := range p.runs(l, words) {
		sum += r.face.Width(r.words) + l.track*float64(len([]rune(r.words)))
	}
	return sum * l.size
}

// say sets a text with its base line at y and gives back where it ends.
func (p *press) say(x, y float64, l lettering, words string) float64 {
	p.flush()
	if words == "" {
		return x
	}
	p.forTheEye(func() { x = p.write(x, y, l, words) })
	return x
}

// write sets a text as it stands.
func (p *press) write(x, y float64, l lettering, words string) float64 {
	for _, r := range p.runs(l, words) {
		if r.words == "" {
			continue
		}
		red, green, blue := rgb(l.colour)
		p.pdf.SetTextColor(red, green, blue)
		p.pdf.SetFont(r.face.Name, "", l.size*ptPerPx)
		if l.track != 0 {
			p.pdf.RawWriteStr(number(l.track*l.size*ptPerPx) + " Tc")
		}
		p.pdf.Text(x*ptPerPx, y*ptPerPx, r.words)
		if l.track != 0 {
			p.pdf.RawWriteStr("0 Tc")
		}
		x += (r.face.Width(r.words) + l.track*float64(len([]rune(r.words)))) * l.size
	}
	return x
}

// sayEnding sets a text that ends at x.
func (p *press) sayEnding(x, y float64, l lettering, words string) {
	p.say(x-p.width(l, words), y, l, words)
}

// flush writes the strokes and areas that were drawn to the page.
func (p *press) flush() {
	if p.raw.Len() == 0 {
		return
	}
	strokes := "q\n" + p.raw.String() + "Q"
	p.raw.Reset()
	p.forTheEye(func() { p.pdf.RawWriteStr(strokes) })
}

// op writes an operator with its numbers.
func (p *press) op(operator string, numbers ...float64) {
	for _, v := range numbers {
		p.raw.WriteString(number(v))
		p.raw.WriteByte(' ')
	}
	p.raw.WriteString(operator)
	p.raw.WriteByte('\n')
}

// at gives a place on the page as PDF counts: points, up from the lower edge.
func (p *press) at(x, y float64) (float64, float64) { return x * ptPerPx, (p.paper.h - y) * ptPerPx }

// number writes a number with at most three decimals.
func number(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// rgb reads "#RRGGBB"; anything else is black.
func rgb(colour string) (r, g, b int) {
	v, err := strconv.ParseUint(strings.TrimPrefix(colour, "#"), 16, 32)
	if err != nil || len(colour) != 7 {
		return 0, 0, 0
	}
	return int(v >> 16), int(v >> 8 & 255), int(v & 255)
}

// colour chooses that of areas ("rg") or strokes ("RG").
func (p *press) colour(operator, colour string) {
	r, g, b := rgb(colour)
	p.op(operator, float64(r)/255, float64(g)/255, float64(b)/255)
}

// rule draws a straight line.
func (p *press) rule(x1, y1, x2, y2, thick float64, colour string) {
	p.colour("RG", colour)
	p.op("w", thick*ptPerPx)
	ax, ay := p.at(x1, y1)
	bx, by := p.at(x2, y2)
	p.op("m", ax, ay)
	p.op("l", bx, by)
	p.op("S")
}

// area fills a rectangle.
func (p *press) area(x, y, w, h float64, colour string) {
	p.colour("rg", colour)
	p.rect(x, y, w, h)
	p.op("f")
}

// rect adds a rectangle to the path.
func (p *press) rect(x, y, w, h float64) {
	ax, ay := p.at(x, y+h)
	p.op("re", ax, ay, w*ptPerPx, h*ptPerPx)
}

// frame strokes a rectangle with round corners.
func (p *press) frame(x, y, w, h, r, thick float64, colour string) {
	const k = 0.5523 // of a quarter circle as a cubic
	p.colour("RG", colour)
	p.op("w", thick*ptPerPx)
	move := func(op string, pts ...float64) {
		var out []float64
		for i := 0; i < len(pts); i += 2 {
			ax, ay := p.at(pts[i], pts[i+1])
			out = append(out, ax, ay)
		}
		p.op(op, out...)
	}
	c := r * (1 - k)
	move("m", x+r, y)
	move("l", x+w-r, y)
	move("c", x+w-c, y, x+w, y+c, x+w, y+r)
	move("l", x+w, y+h-r)
	move("c", x+w, y+h-c, x+w-c, y+h, x+w-r, y+h)
	move("l", x+r, y+h)
	move("c", x+c, y+h, x, y+h-c, x, y+h-r)
	move("l", x, y+r)
	move("c", x, y+c, x+c, y, x+r, y)
	p.op("s")
}
