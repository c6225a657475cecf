package outline

import (
	"errors"
	"fmt"
	"math"
)

// Inside says whether a point lies within, in no hole. On the edge it may be called either.
// Source: even–odd rule with a ray to the east; Shimrat, Communications of the ACM 5 (1962) 434 (from memory).
func (o *Outline) Inside(p Point) bool {
	in := false
	for _, r := range o.rings {
		in = in != insideRing(r, p)
	}
	return in
}

func insideRing(r []Point, p Point) bool {
	in := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if (a.North > p.North) != (b.North > p.North) && p.East < a.East+(b.East-a.East)*(p.North-a.North)/(b.North-a.North) {
			in = !in
		}
	}
	return in
}

// EdgeDistance is how far a point is from the nearest edge, of a hole too [m]; inside or not.
func (o *Outline) EdgeDistance(p Point) float64 {
	least := math.Inf(1)
	for _, r := range o.rings {
		for i := 1; i < len(r); i++ {
			least = min(least, segmentDistance(r[i-1], r[i], p))
		}
	}
	return least
}

func segmentDistance(a, b, p Point) float64 {
	dx, dy := b.East-a.East, b.North-a.North
	t := 0.0
	if square := dx*dx + dy*dy; square > 0 {
		t = min(1, max(0, ((p.East-a.East)*dx+(p.North-a.North)*dy)/square))
	}
	return p.Distance(Point{a.East + t*dx, a.North + t*dy})
}

// checkRings refuses shapes whose inside is in doubt.
func (o *Outline) checkRings() error {
	if err := o.checkCrossings(); err != nil {
		return err
	}
	n := 0
	for i, p := range o.polygons {
		outer := o.rings[n]
		if a := math.Abs(ringArea(p[0])); a < 1 {
			return fmt.Errorf("outline: %s encloses %.2g m²: a green has at least 1 m²", nameOf(o.polygons, i, 0), a)
		}
		for j := range p {
			for _, c := range o.rings[n+j] {
				if j > 0 && !insideRing(outer, c) {
					return fmt.Errorf("outline: %s reaches outside its outer ring: a hole lies within", nameOf(o.polygons, i, j))
				}
			}
		}
		n += len(p)
	}
	if err := o.checkNested(); err != nil {
		return err
	}
	if o.area <= 0 {
		return errors.New("outline: its holes leave nothing of it")
	}
	return nil
}

// checkNested refuses parts within parts and holes within holes, which would count an area twice.
func (o *Outline) checkNested() error {
	type named struct {
		ring []Point
		name string
		hole bool
		part int
	}
	var all []named
	n := 0
	for i, p := range o.polygons {
		for j := range p {
			all = append(all, named{o.rings[n+j], nameOf(o.polygons, i, j), j > 0, i})
		}
		n += len(p)
	}
	for i, a := range all {
		for k, b := range all {
			same := a.hole && b.hole && a.part == b.part || !a.hole && !b.hole
			if i != k && same && insideRing(a.ring, b.ring[0]) {
				return fmt.Errorf("outline: %s lies within %s: give each piece once", b.name, a.name)
			}
		}
	}
	return nil
}

type edge struct {
	a, b       Point
	ring, last int // ring, and the number of its last edge
	at         int
}

func (o *Outline) checkCrossings() error {
	var edges []edge
	for k, r := range o.rings {
		for i := 1; i < len(r); i++ {
			edges = append(edges, edge{r[i-1], r[i], k, len(r) - 1, i})
		}
	}
	for i, e := range edges {
		for _, f := range edges[i+1:] {
			next := e.ring == f.ring && (f.at == e.at+1 || e.at == 1 && f.at == e.last)
			if !next && crosses(e.a, e.b, f.a, f.b) {
				where := o.plane.Position(Point{(e.a.East + e.b.East) / 2, (e.a.North + e.b.North) / 2})
				return fmt.Errorf("outline: its edges cross near %.6f°, %.6f° (longitude, latitude): give the corners in the order of a walk around the green", where.Longitude, where.Latitude)
			}
		}
	}
	return nil
}

// crosses says whether two segments cross, or run over each other.
func crosses(a, b, c, d Point) bool {
	if max(a.East, b.East) < min(c.East, d.East) || max(c.East, d.East) < min(a.East, b.East) ||
		max(a.North, b.North) < min(c.North, d.North) || max(c.North, d.North) < min(a.North, b.North) {
		return false
	}
	one, other := side(a, b, c)*side(a, b, d), side(c, d, a)*side(c, d, b)
	if side(a, b, c) == 0 && side(a, b, d) == 0 { // on one line, and their boxes meet
		return along(a, b, c, d) > 0
	}
	return one < 0 && other < 0
}

// along is how far two segments on one line run over each other [m].
func along(a, b, c, d Point) float64 {
	dx, dy := b.East-a.East, b.North-a.North
	at := func(p Point) float64 { return ((p.East-a.East)*dx + (p.North-a.North)*dy) / math.Hypot(dx, dy) }
	return min(at(b), max(at(c), at(d))) - max(0, min(at(c), at(d)))
}

// side is positive where c lies left of the line from a to b.
func side(a, b, c Point) float64 {
	return (b.East-a.East)*(c.North-a.North) - (b.North-a.North)*(c.East-a.East)
}
