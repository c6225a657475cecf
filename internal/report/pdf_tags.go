//gather:none

package report

import (
	"strings"

	"underfoot/internal/figure"
)

// Kinds of elements: standard structure types of ISO 32000-1, 14.8.4.
const (
	asDocument   = "Document"
	asSection    = "Sect"
	asGroup      = "Div"
	asTitle      = "H1"
	asHeading    = "H2"
	asSubheading = "H3"
	asParagraph  = "P"
	asList       = "L"
	asItem       = "LI"
	asLabel      = "Lbl"
	asBody       = "LBody"
	asTable      = "Table"
	asCaption    = "Caption"
	asHead       = "THead"
	asRows       = "TBody"
	asRow        = "TR"
	asHeader     = "TH"
	asCell       = "TD"
	asFigure     = "Figure"
)

// Attributes of lists and of the heads in tables: ISO 32000-1, 14.8.5.
const (
	withDots    = "/O /List /ListNumbering /Disc"
	withNumbers = "/O /List /ListNumbering /Decimal"
	ofColumn    = "/O /Table /Scope /Column"
	ofRow       = "/O /Table /Scope /Row"
)

// element is a part of the document as a reader that speaks it meets it: a heading, a row, a picture.
type element struct {
	kind string
	alt  string // what a picture shows
	attr string // attributes, as a dictionary without its brackets
	kids []any  // *element, or marked where its words stand
}

// marked is a piece of a page that belongs to an element: ISO 32000-1, 14.7.4.2.
type marked struct{ page, id int }

func (e *element) add(kind string) *element {
	kid := &element{kind: kind}
	e.kids = append(e.kids, kid)
	return kid
}

// structure is the tree of a document while it is set.
type structure struct {
	root   *element
	owners [][]*element // of the marks, page by page
	inside bool         // what is drawn belongs to an element already
}

// as draws what belongs to an element; to nil belongs what is for the eye alone.
func (p *press) as(e *element, draw func()) {
	if e == nil || p.inside {
		draw()
		return
	}
	p.flush()
	page := len(p.owners) - 1
	m := marked{page, len(p.owners[page])}
	p.owners[page] = append(p.owners[page], e)
	e.kids = append(e.kids, m)
	p.pdf.RawWriteStr("/" + e.kind + " <</MCID " + number(float64(m.id)) + ">> BDC")
	p.inside = true
	draw()
	p.flush()
	p.inside = false
	p.pdf.RawWriteStr("EMC")
}

// forTheEye writes what no element holds: rules, boxes, running heads.
func (p *press) forTheEye(write func()) {
	if p.inside {
		write()
		return
	}
	p.pdf.RawWriteStr("/Artifact BMC")
	write()
	p.pdf.RawWriteStr("EMC")
}

// tag adds an element where the flow is.
func (f *flow) tag(kind string) *element { return f.at.add(kind) }

// within puts what is added meanwhile into an element.
func (f *flow) within(e *element, add func()) {
	outer := f.at
	f.at = e
	add()
	f.at = outer
}

// tagged gives a paragraph its element.
func (f *flow) tagged(kind string, g paragraph) paragraph {
	if len(g.lines) > 0 {
		g.of = f.tag(kind)
	}
	return g
}

// pictured adds the element of a picture; nil for one that stands beside words that say the same.
func (f *flow) pictured(s *figure.Scene) *element {
	if s == nil || s.Hidden {
		return nil
	}
	e := f.tag(asFigure)
	e.alt = s.Title
	for _, words := range []string{s.Label, s.Desc} {
		switch {
		case strings.HasPrefix(words, e.alt): // a label that begins with the title
			e.alt = words
		case words != "":
			e.alt = strings.TrimRight(e.alt, ".") + ". " + words
		}
	}
	return e
}

// under adds the element of a picture under another one.
func (f *flow) under(e *element, s *figure.Scene) *element {
	var out *element
	f.within(e, func() { out = f.pictured(s) })
	return out
}

// sceneOf draws a picture that belongs to an element.
func (f *flow) sceneOf(e *element, s *figure.Scene, x, y, k float64) {
	if s == nil {
		return
	}
	if e != nil {
		x0, y0 := f.press.at(x, y+s.Height*k)
		x1, y1 := f.press.at(x+s.Width*k, y)
		e.attr = "/O /Layout /Placement /Block /BBox [" + number(x0) + " " + number(y0) + " " + number(x1) + " " + number(y1) + "]"
	}
	f.as(e, func() { f.scene(s, x, y, k) })
}
