package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Wish says which places are wanted.
type Wish struct {
	Count int     // places, 1 to 200
	Seed  uint64  // the same seed gives the same places
	Edge  float64 // at least so far from any edge [m, ≥ 0]
	Apart float64 // at least so far from each other [m, ≥ 0]
}

// What is wanted where nobody says.
const (
	UsualEdge  = 1.0 // [m], common practice, no source
	UsualApart = 1.0 // [m], common practice, no source: old holes still show within it
)

const (
	mostPlaces = 200
	starts     = 1 << 20 // of the random start, in each base
	patience   = 20_000  // points of the sequence looked at for one place
)

// Spread gives places on the outline that are spread evenly over it: points of the Halton sequence over the box around
// it, from a random start that differs between the two bases, of which those are taken that lie inside, far enough from
// the edge and from those taken before. The start is drawn again until its first point lies inside, so that every place is
// as likely as any other. Asking for more with the same seed keeps the first ones and adds to them.
// Source: Robertson, Brown, McDonald & Jaksons, Biometrics 69 (2013) 776–784; drawing the start again: Robertson,
// McDonald, Price & Brown, Environmental and Ecological Statistics 24 (2017) (from memory).
func (o *Outline) Spread(w Wish) ([]Point, error) {
	const doing = "places for cores"
	switch {
	case w.Count < 1 || w.Count > mostPlaces:
		return nil, fmt.Errorf("%s: %d: allowed are 1 to %d", doing, w.Count, mostPlaces)
	case !(w.Edge >= 0) || math.IsInf(w.Edge, 1):
		return nil, fmt.Errorf("%s: %g m from the edge: give 0 m or more", doing, w.Edge)
	case !(w.Apart >= 0) || math.IsInf(w.Apart, 1):
		return nil, fmt.Errorf("%s: %g m from each other: give 0 m or more", doing, w.Apart)
	}
	seq := o.sequence(w.Seed)
	u, v, ok := seq.start(func(p Point) bool { return o.takes(p, w.Edge) })
	if !ok {
		return nil, fmt.Errorf("%s: nothing of this green is %g m from its edge: ask for less", doing, w.Edge)
	}
	var out []Point
	for i, idle := uint64(0), 0; len(out) < w.Count; i++ {
		p := seq.at(u+i, v+i)
		if !o.takes(p, w.Edge) || near(out, p, w.Apart) {
			if idle++; idle > patience {
				return nil, fmt.Errorf("%s: %d of %d fit %g m from the edge and %g m from each other: ask for fewer, or put them closer", doing, len(out), w.Count, w.Edge, w.Apart)
			}
			continue
		}
		out, idle = append(out, p), 0
	}
	return out, nil
}

func (o *Outline) takes(p Point, edge float64) bool { return o.Inside(p) && o.EdgeDistance(p) >= edge }

func near(taken []Point, p Point, apart float64) bool {
	for _, q := range taken {
		if p.Distance(q) < apart {
			return true
		}
	}
	return false
}

// sequence is a Halton sequence over a box, with the chance that its start is drawn by.
type sequence struct {
	low, high Point
	chance    *rand.Rand
}

func (o *Outline) sequence(seed uint64) sequence {
	return sequence{o.low, o.high, rand.New(rand.NewPCG(seed, 0))}
}

func (s sequence) at(u, v uint64) Point {
	x, y := inverse(u, 2), inverse(v, 3)
	return Point{s.low.East + x*(s.high.East-s.low.East), s.low.North + y*(s.high.North-s.low.North)}
}

// start draws starts until one is taken.
func (s sequence) start(takes func(Point) bool) (u, v uint64, ok bool) {
	for range patience {
		u, v = s.chance.Uint64N(starts), s.chance.Uint64N(starts)
		if takes(s.at(u, v)) {
			return u, v, true
		}
	}
	return 0, 0, false
}
