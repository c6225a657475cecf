package figure

// Scene is a finished drawing: primitives with resolved geometry, in the order they are painted.
// Lengths are CSS pixels at true size; y goes down. A writer needs nothing but the scene and
// Style.Look to draw it.
type Scene struct {
	Width, Height float64
	Class         string       // extra CSS classes of the svg element
	Label         string       // one line with the values, read out in place of the picture
	Title, Desc   string       // what the picture is; how to read it
	Shrink        bool         // may narrow on a phone; its lettering grows to stay readable
	Overflow      bool         // may paint outside its box (turf above a core)
	Head          float64      // room above the drawing, for the title of one that is taken away [px]
	Hidden        bool         // stands beside words that say the same: not read out
	Parts         []Part       // the drawing
	Marks         []Mark       // the values that hover and focus show, above the drawing
	Values        func() Table // its values as a table; nil for a mark that stands in a line of text
}

// Part is one primitive of a scene: Line, Path, Rect, Circle, Text or Group.
type Part interface{ part() }

// Anchor says which point of a text stands at its X.
type Anchor int

// Anchors of text.
const (
	Start Anchor = iota
	Middle
	End
)

// Line is a straight stroke.
type Line struct {
	Style          Style
	X1, Y1, X2, Y2 float64
}

// Rect is an upright box. Fill, if set, is a colour of the data ("#C44E4A") and wins over Style.
type Rect struct {
	Style      Style
	X, Y, W, H float64
	Fill       string
}

// Circle is a dot or ring.
type Circle struct {
	Style   Style
	X, Y, R float64
}

// Text is one line of lettering with its baseline at Y. Halo paints paper behind the letters;
// Fill, if set, wins over Style.
type Text struct {
	Style  Style
	X, Y   float64
	Anchor Anchor
	Words  string
	Halo   bool
	Fill   string
}

// Path is a run of segments. Fill, if set, is a colour of the data and wins over Style.
type Path struct {
	Style Style
	Segs  []Seg
	Fill  string
}

// Group is parts that belong together, with a name for the reader of the file.
type Group struct {
	Name  string
	Parts []Part
}

// SegKind is what a segment of a path does.
type SegKind byte

// Kinds of segment, named by their SVG letters.
const (
	MoveTo  SegKind = 'M'
	LineTo  SegKind = 'L'
	CurveTo SegKind = 'C' // cubic Bézier by its two control points and its end
	Close   SegKind = 'z'
)

// Seg is one segment: MoveTo and LineTo use P[0], CurveTo P[0] to P[2], Close none.
type Seg struct {
	Kind SegKind
	P    [3]Point
}

// Point is a place on the drawing.
type Point struct{ X, Y float64 }

// Mark is a value that hover and focus show: a box to point at and the words of the value. The
// drawing itself is in Scene.Parts, so that the words lie above every line; a print writer leaves
// marks out.
type Mark struct {
	Value      string // the bare value, for scripts and tests ("7.2")
	Label      string // the value in words
	X, Y, W, H float64
	Plate      Rect   // what the shown words stand on
	Tip        []Text // the shown words, line by line
}

func (Line) part()   {}
func (Rect) part()   {}
func (Circle) part() {}
func (Text) part()   {}
func (Path) part()   {}
func (Group) part()  {}

func (s *Scene) add(p ...Part) { s.Parts = append(s.Parts, p...) }

func (s *Scene) line(x1, y1, x2, y2 float64, st Style) {
	s.add(Line{Style: st, X1: x1, Y1: y1, X2: x2, Y2: y2})
}

func (s *Scene) rect(x, y, w, h float64, st Style) {
	s.add(Rect{Style: st, X: x, Y: y, W: w, H: h})
}

func (s *Scene) circle(x, y, r float64, st Style) {
	s.add(Circle{Style: st, X: x, Y: y, R: r})
}

func (s *Scene) text(x, y float64, words string, st Style, a Anchor) {
	s.add(Text{Style: st, X: x, Y: y, Anchor: a, Words: words})
}

// polyline strokes the points in order; fewer than two draw nothing.
func (s *Scene) polyline(pts []Point, st Style) {
	if len(pts) > 1 {
		s.add(Path{Style: st, Segs: segments(pts, false)})
	}
}

// polygon closes the points to an area; fewer than three draw nothing.
func (s *Scene) polygon(pts []Point, st Style) {
	if len(pts) > 2 {
		s.add(Path{Style: st, Segs: segments(pts, true)})
	}
}

func segments(pts []Point, closed bool) []Seg {
	segs := make([]Seg, 0, len(pts)+1)
	for i, p := range pts {
		k := LineTo
		if i == 0 {
			k = MoveTo
		}
		segs = append(segs, Seg{Kind: k, P: [3]Point{p}})
	}
	if closed {
		segs = append(segs, Seg{Kind: Close})
	}
	return segs
}

// stroke builds a path from runs of x, y pairs, one run a pen-down stroke.
func stroke(st Style, runs ...[]float64) Path {
	p := Path{Style: st}
	for _, r := range runs {
		pts := make([]Point, 0, len(r)/2)
		for i := 0; i+1 < len(r); i += 2 {
			pts = append(pts, Point{r[i], r[i+1]})
		}
		p.Segs = append(p.Segs, segments(pts, false)...)
	}
	return p
}

// smallestTarget is the least width and height of a box to point at [px]: WCAG 2.2, 2.5.8.
const smallestTarget = 24

// mark adds a value to show on hover and focus over the box, grown about its middle to the
// smallest target.
func (s *Scene) mark(value, label string, x, y, w, h float64) {
	if w < smallestTarget {
		x, w = x+(w-smallestTarget)/2, smallestTarget
	}
	if h < smallestTarget {
		y, h = y+(h-smallestTarget)/2, smallestTarget
	}
	x, w = within(x, w, s.Width)
	y, h = within(y, h, s.Height)
	m := Mark{Value: value, Label: label, X: x, Y: y, W: w, H: h}
	s.tip(&m)
	s.Marks = append(s.Marks, m)
}

// tip places the words of a mark on their plate: above its box, or below it where there is no room
// above, inside the drawing.
func (s *Scene) tip(m *Mark) {
	const line, pad = 17, 8
	lines := wrapped(m.Label, tipStyle, max(s.Width-2*pad-2, 40))
	w := 0.0
	for _, l := range lines {
		w = max(w, textWidth(l, tipStyle))
	}
	w += 2 * pad
	h := float64(len(lines)*line) + pad
	x, w := within(m.X+m.W/2-w/2, w, s.Width)
	y := m.Y - h - 3
	if y < 0 {
		y = m.Y + m.H + 3
	}
	y, h = within(y, h, s.Height)
	m.Plate = Rect{Style: plate, X: x, Y: y, W: w, H: h}
	for i, l := range lines {
		m.Tip = append(m.Tip, Text{Style: tipStyle, X: x + w/2, Y: y + 16.5 + float64(i*line), Anchor: Middle, Words: l})
	}
}

// within keeps a span inside 0..limit.
func within(at, size, limit float64) (float64, float64) {
	size = min(size, limit)
	return clamp(at, 0, limit-size), size
}

func clamp(v, lo, hi float64) float64 { return max(lo, min(hi, v)) }
