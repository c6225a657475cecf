package figure

import "math"

// DepthGlyph is a small core with the layer from top to bottom [mm] filled to scale in a core of
// the course’s full sampled depth. It always stands beside the layer’s name, so it is not read out.
func DepthGlyph(top, bottom, total float64) *Scene {
	s := &Scene{Width: 16, Height: 27, Class: "depth", Hidden: true}
	s.rect(2.5, 1.5, 11, 24, glyphWall)
	if drawable(top) && drawable(bottom) && bottom > top {
		if !drawable(total) || total < bottom {
			total = bottom
		}
		y := scale{0, total, 1.5, 25.5}
		s.rect(2.5, y.at(top), 11, max(1, y.at(bottom)-y.at(top)), glyphFill)
	}
	s.line(1, 1.5, 15, 1.5, glyphTop)
	return s
}

// HalfDots turns a chance into half dots of ten, 0 to 20. NaN gives 0.
func HalfDots(chance float64) int {
	if math.IsNaN(chance) {
		return 0
	}
	return int(math.Round(20 * clamp(chance, 0, 1)))
}

// Odds is a chance as ten dots, halves allowed. It always stands beside the words, so it is not
// read out.
func Odds(halfDots int) *Scene {
	s := &Scene{Width: 91, Height: 10, Class: "odds-dots", Hidden: true}
	halfDots = min(max(halfDots, 0), 20)
	for i := range 10 {
		x := 5 + 9*float64(i)
		switch rest := halfDots - 2*i; {
		case rest >= 2:
			s.circle(x, 5, 3.5, oddsFull)
		case rest == 1:
			s.circle(x, 5, 3, oddsOpen)
			s.add(halfDisc(x, 5, 3.5))
		default:
			s.circle(x, 5, 3, oddsOpen)
		}
	}
	return s
}

// halfDisc fills the left half of a circle. A quarter circle is one cubic whose handles are
// 4/3·tan(π/8) of the radius long.
func halfDisc(x, y, r float64) Path {
	k := r * 4 / 3 * math.Tan(math.Pi/8)
	return Path{Style: oddsFull, Segs: []Seg{
		{Kind: MoveTo, P: [3]Point{{x, y - r}}},
		{Kind: CurveTo, P: [3]Point{{x - k, y - r}, {x - r, y - k}, {x - r, y}}},
		{Kind: CurveTo, P: [3]Point{{x - r, y + k}, {x - k, y + r}, {x, y + r}}},
		{Kind: Close},
	}}
}

// Way is a direction for organic matter.
type Way int

// Ways.
const (
	Raise Way = iota
	Hold
	Lower
)

// DirectionIcon is the arrow of a direction; it takes the colour of the words it stands beside.
func DirectionIcon(w Way) *Scene {
	s := &Scene{Width: 16, Height: 16, Class: "way", Hidden: true}
	switch w {
	case Raise:
		s.add(stroke(arrow, []float64{8, 13.5, 8, 3}, []float64{3.4, 7.4, 8, 2.8, 12.6, 7.4}))
	case Lower:
		s.add(stroke(arrow, []float64{8, 2.5, 8, 13}, []float64{3.4, 8.6, 8, 13.2, 12.6, 8.6}))
	default:
		s.add(stroke(arrow, []float64{2.5, 6, 13.5, 6}, []float64{2.5, 10.4, 13.5, 10.4}))
	}
	return s
}

// State is how a piece of work stands.
type State int

// States. A state is a shape and a word first; colour only helps.
const (
	Waiting  State = iota // ○ open
	Done                  // ✓ done
	YourMove              // ▶ your move
	Stopped               // ■ stopped
	Warning               // △ look
)

// StateMark is the shape of a state; it always stands beside the word.
func StateMark(k State) *Scene {
	s := &Scene{Width: 16, Height: 16, Class: "state", Hidden: true}
	switch k {
	case Stopped:
		s.rect(1, 1, 14, 14, stStop)
		s.add(stroke(stOn, []float64{8, 4, 8, 9.2}, []float64{8, 11, 8, 12.6}))
	case YourMove:
		s.polygon([]Point{{2.5, 1.2}, {14.5, 8}, {2.5, 14.8}}, stYou)
	case Done:
		s.add(stroke(stDone, []float64{2.2, 8.6, 6.4, 13, 14, 3.4}))
	case Warning:
		s.polygon([]Point{{8, 1.4}, {15, 14.6}, {1, 14.6}}, stWarn)
		s.add(stroke(stInk, []float64{8, 5.8, 8, 9.8}, []float64{8, 11.4, 8, 12.8}))
	default:
		s.circle(8, 8, 5.6, stWait)
	}
	return s
}

// Work is a kind of entry in the log.
type Work int

// Kinds of entry.
const (
	Topdressing Work = iota
	HollowTining
	SolidTining
	Scarifying
	RoundTaken
	ReadingsTaken
)

// WorkGlyph is the picture of a kind of entry; it always stands beside the word.
func WorkGlyph(k Work) *Scene {
	s := &Scene{Width: 20, Height: 20, Class: "opg", Hidden: true}
	switch k {
	case Topdressing:
		s.rect(1, 5, 18, 10, sandBar)
	case HollowTining:
		s.add(stroke(tine, []float64{4, 2, 4, 18}, []float64{10, 2, 10, 18}, []float64{16, 2, 16, 18}))
	case SolidTining:
		for _, x := range []float64{4, 10, 16} {
			s.add(stroke(arrow, []float64{x, 2, x, 16}, []float64{x - 1.5, 14, x, 18, x + 1.5, 14}))
		}
	case Scarifying:
		s.add(stroke(arrow, []float64{3, 4, 7, 16}, []float64{9, 4, 13, 16}, []float64{15, 4, 19, 16}))
	case RoundTaken:
		s.add(stroke(arrow, []float64{6, 2, 14, 2, 14, 18, 6, 18, 6, 2}, []float64{6, 7, 14, 7}, []float64{6, 12, 14, 12}))
	default:
		s.circle(10, 10, 5.5, arrow)
	}
	return s
}
