package figure

//gather:none

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Option changes how a scene is written.
type Option func(*writer)

// Standalone makes the SVG a file of its own: it carries the namespace, the Desk colours in a style
// element and the patterns. Inside a page leave it out: the page's style sheets colour the figure,
// and a strict Content-Security-Policy forbids style elements.
func Standalone() Option { return func(w *writer) { w.standalone = true } }

// Lettered puts the typeface into a file of its own, as the address of its data ("data:font/woff2;base64,…"): so its lettering
// is the same where the typeface is not there.
func Lettered(face string) Option { return func(w *writer) { w.face = face } }

// Still leaves out what answers to hover and focus, for paper.
func Still() Option { return func(w *writer) { w.still = true } }

// SVG writes the scene. The same scene gives the same bytes. Inside a page it emits classes and
// presentation attributes only, no style attribute and no id.
//
// With values to show on focus the picture is a group of images, because everything inside an image
// is hidden from assistive technology (WAI-ARIA 1.2, "children presentational") and a hidden thing
// must not take focus; without them it is one image.
func (s *Scene) SVG(opts ...Option) string {
	w := writer{}
	for _, o := range opts {
		o(&w)
	}
	w.b.Grow(4096)
	w.open(s)
	for _, p := range s.Parts {
		w.part(p)
	}
	if w.marks(s) {
		w.b.WriteString("</g>")
		for _, m := range s.Marks {
			w.mark(m)
		}
	}
	w.b.WriteString("</svg>")
	return w.b.String()
}

// edgeOfFile is the paper about a drawing that is a file of its own [px].
const edgeOfFile = 12

type writer struct {
	b                 bytes.Buffer
	standalone, still bool
	face              string // address of the typeface
}

func (w *writer) marks(s *Scene) bool { return !w.still && len(s.Marks) > 0 }

func (w *writer) open(s *Scene) {
	w.b.WriteString("<svg")
	if w.standalone {
		w.b.WriteString(` xmlns="http://www.w3.org/2000/svg"`)
	}
	class := s.Class
	if s.Shrink {
		class += " shrink " + drawnClass(s.Width)
	}
	w.attr("class", strings.TrimSpace(class))
	edge := 0.0
	if w.standalone {
		edge = edgeOfFile
	}
	w.b.WriteString(` viewBox="`)
	w.pair(-edge, -edge-s.Head)
	w.b.WriteByte(' ')
	w.pair(s.Width+2*edge, s.Height+2*edge+s.Head)
	w.b.WriteByte('"')
	w.numAttr("width", s.Width+2*edge)
	w.numAttr("height", s.Height+2*edge+s.Head)
	if s.Overflow {
		w.attr("overflow", "visible")
	}
	switch {
	case s.Hidden:
		w.b.WriteString(` aria-hidden="true">`)
	case w.marks(s):
		w.attr("role", "group")
		w.attr("aria-label", s.Label)
		w.b.WriteByte('>')
	default:
		w.attr("role", "img")
		w.attr("aria-label", s.Label)
		w.b.WriteByte('>')
	}
	if !s.Hidden {
		w.element("title", s.Title)
		w.element("desc", s.Desc)
	}
	if w.standalone {
		if w.face != "" {
			w.b.WriteString(`<style>@font-face{font-family:'Atkinson Hyperlegible Next';src:url("` + w.face + `") format("woff2");font-weight:200 800}</style>`)
		}
		w.b.WriteString(deskStyle)
		w.b.WriteString(patternDefs)
		w.part(Rect{X: -edgeOfFile, Y: -edgeOfFile - s.Head, W: s.Width + 2*edgeOfFile, H: s.Height + 2*edgeOfFile + s.Head, Fill: Paper})
	}
	if w.marks(s) {
		w.b.WriteString(`<g aria-hidden="true">`)
	}
}

func (w *writer) part(p Part) {
	switch p := p.(type) {
	case Line:
		w.b.WriteString(`<path d="M`)
		w.pair(p.X1, p.Y1)
		w.b.WriteByte('L')
		w.pair(p.X2, p.Y2)
		w.b.WriteByte('"')
		w.attr("class", string(p.Style))
		w.b.WriteString("/>")
	case Rect:
		w.b.WriteString("<rect")
		w.box(p.X, p.Y, p.W, p.H)
		w.attr("class", string(p.Style))
		w.attr("fill", p.Fill)
		w.b.WriteString("/>")
	case Circle:
		w.b.WriteString("<circle")
		w.numAttr("cx", p.X)
		w.numAttr("cy", p.Y)
		w.numAttr("r", max(0, p.R))
		w.attr("class", string(p.Style))
		w.b.WriteString("/>")
	case Text:
		w.text(p)
	case Path:
		w.path(p)
	case Group:
		w.b.WriteString("<g")
		w.attr("data-part", p.Name)
		w.b.WriteByte('>')
		for _, q := range p.Parts {
			w.part(q)
		}
		w.b.WriteString("</g>")
	}
}

func (w *writer) path(p Path) {
	if len(p.Segs) == 0 {
		return
	}
	w.b.WriteString(`<path d="`)
	for _, s := range p.Segs {
		w.b.WriteByte(byte(s.Kind))
		n := 1
		switch s.Kind {
		case CurveTo:
			n = 3
		case Close:
			n = 0
		}
		for i := range n {
			if i > 0 {
				w.b.WriteByte(' ')
			}
			w.pair(s.P[i].X, s.P[i].Y)
		}
	}
	w.b.WriteByte('"')
	w.attr("class", string(p.Style))
	w.attr("fill", p.Fill)
	w.b.WriteString("/>")
}

func (w *writer) text(t Text) {
	w.b.WriteString("<text")
	w.numAttr("x", t.X)
	w.numAttr("y", t.Y)
	class := string(t.Style)
	if t.Halo {
		class += " halo"
	}
	w.attr("class", class)
	switch t.Anchor {
	case Middle:
		w.attr("text-anchor", "middle")
	case End:
		w.attr("text-anchor", "end")
	}
	w.attr("fill", t.Fill)
	w.b.WriteByte('>')
	w.escape(t.Words)
	w.b.WriteString("</text>")
}

// mark writes a value to show. The words are hidden by an attribute, which any style rule overrides,
// so that they stay hidden where the style sheet is missing.
func (w *writer) mark(m Mark) {
	w.b.WriteString(`<g class="mark" tabindex="0" role="img"`)
	w.attr("data-v", m.Value)
	w.attr("aria-label", m.Label)
	w.b.WriteByte('>')
	w.element("title", m.Label)
	w.b.WriteString("<rect")
	w.box(m.X, m.Y, m.W, m.H)
	w.b.WriteString(` class="hit" fill="none" pointer-events="all"/>`)
	w.b.WriteString(`<g class="tip" visibility="hidden" aria-hidden="true">`)
	w.part(m.Plate)
	for _, t := range m.Tip {
		w.text(t)
	}
	w.b.WriteString("</g></g>")
}

// attr writes an attribute, or nothing where the value is empty.
func (w *writer) attr(name, value string) {
	if value == "" {
		return
	}
	w.b.WriteByte(' ')
	w.b.WriteString(name)
	w.b.WriteString(`="`)
	w.escape(value)
	w.b.WriteByte('"')
}

func (w *writer) numAttr(name string, v float64) {
	w.b.WriteByte(' ')
	w.b.WriteString(name)
	w.b.WriteString(`="`)
	w.num(v)
	w.b.WriteByte('"')
}

func (w *writer) box(x, y, width, height float64) {
	w.numAttr("x", x)
	w.numAttr("y", y)
	w.numAttr("width", max(0, width))
	w.numAttr("height", max(0, height))
}

func (w *writer) pair(x, y float64) {
	w.num(x)
	w.b.WriteByte(' ')
	w.num(y)
}

func (w *writer) element(name, words string) {
	if words == "" {
		return
	}
	w.b.WriteByte('<')
	w.b.WriteString(name)
	w.b.WriteByte('>')
	w.escape(words)
	w.b.WriteString("</")
	w.b.WriteString(name)
	w.b.WriteByte('>')
}

// num writes a length with at most two decimals. The figures clamp their geometry; a number that
// still cannot be drawn is written as 0, so that no file ever holds NaN.
func (w *writer) num(v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0
	}
	h := math.Round(v * 100)
	if h == 0 {
		w.b.WriteByte('0')
		return
	}
	b := strconv.AppendFloat(w.b.AvailableBuffer(), h/100, 'f', 2, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	w.b.Write(b)
}

// escape writes words as XML text; what XML cannot hold becomes U+FFFD.
func (w *writer) escape(s string) {
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == '&':
			w.b.WriteString("&amp;")
		case r == '<':
			w.b.WriteString("&lt;")
		case r == '>':
			w.b.WriteString("&gt;")
		case r == '"':
			w.b.WriteString("&#34;")
		case r == '\'':
			w.b.WriteString("&#39;")
		case r == utf8.RuneError && n == 1, r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0xFFFE, r == 0xFFFF:
			w.b.WriteRune(utf8.RuneError)
		case r < ' ':
			w.b.WriteByte(' ')
		default:
			w.b.WriteString(s[i : i+n])
		}
		i += n
	}
}
