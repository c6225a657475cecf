package sieve

import (
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Edge is a limit between two classes of a system.
type Edge struct {
	Size  unit.Millimetres
	Sieve unit.Millimetres // the sieve of the standard stack that is used for it; 0 for the size itself
}

// System is a way of cutting sizes into classes. Names go from the finest up and are one more than edges.
type System struct {
	Name   string
	Source string
	Edges  []Edge   // ascending
	Names  []string // below the first edge, between edges, above the last
}

// Construction is the system of the construction recommendation for sand-based greens. Its fine sand begins at 0.15 mm,
// not at 0.10. Source: USGA Green Section recommendation of 1993 as reprinted by Kopec, University of Arizona, Turfgrass
// Consortium report 694; sieves of ASTM F1632 from memory (No. 270, 0.053 mm, stands for 0.05; No. 6, 3.35, for 3.4).
func Construction() System {
	return System{
		Name:   "construction recommendation for greens",
		Source: "USGA recommendation of 1993, reprint of the University of Arizona; sieves of ASTM F1632",
		Edges:  []Edge{{0.05, 0.053}, {0.15, 0}, {0.25, 0}, {0.5, 0}, {1, 0}, {2, 0}, {3.4, 3.35}},
		Names:  []string{"silt and clay", "very fine sand", "fine sand", "medium sand", "coarse sand", "very coarse sand", "fine gravel", "gravel"},
	}
}

// USDA is the system of soil texture of the United States Department of Agriculture. Its fine sand begins at 0.10 mm.
// Source: Soil Survey Manual, USDA Handbook 18, ch. 3, particle-size classes; sieves No. 140 (0.106 mm) for 0.10 and No. 270.
func USDA() System {
	return System{
		Name:   "USDA",
		Source: "USDA Handbook 18, Soil Survey Manual, ch. 3",
		Edges:  []Edge{{0.05, 0.053}, {0.10, 0.106}, {0.25, 0}, {0.5, 0}, {1, 0}, {2, 0}},
		Names:  []string{"silt and clay", "very fine sand", "fine sand", "medium sand", "coarse sand", "very coarse sand", "gravel"},
	}
}

// ISO is the system of ISO 14688-1. Its sands are cut at 0.063, 0.20, 0.63 and 2.0 mm. Source: ISO 14688-1, table of
// particle size fractions (from memory).
func ISO() System {
	return System{
		Name:   "ISO 14688-1",
		Source: "ISO 14688-1, particle size fractions (from memory)",
		Edges:  []Edge{{0.063, 0}, {0.20, 0}, {0.63, 0}, {2, 0}},
		Names:  []string{"silt and clay", "fine sand", "medium sand", "coarse sand", "gravel"},
	}
}

// Differences says, in words, where the three systems part: the same name is not the same grains.
func Differences() []string {
	return []string{
		"Fine sand is 0.15–0.25 mm by the construction recommendation, 0.10–0.25 mm by USDA and 0.063–0.20 mm by ISO 14688-1.",
		"Very fine sand is 0.05–0.15 mm by the construction recommendation, 0.05–0.10 mm by USDA; ISO 14688-1 has none.",
		"Medium sand is 0.25–0.5 mm by the first two and 0.20–0.63 mm by ISO 14688-1; coarse sand 0.5–1 mm and 0.63–2 mm.",
		"Silt and clay begin below 0.05 mm by the first two and below 0.063 mm by ISO 14688-1; sieves cannot part them.",
	}
}

// Class is what a curve has in a class of a system. Where the curve does not reach an edge, the classes on both sides of it
// are given as one.
type Class struct {
	Name    string
	From    unit.Millimetres // 0 for everything finer
	To      unit.Millimetres // +Inf for everything coarser
	Percent unit.Percent
	SD      unit.Percent
	Between bool // an edge was read between two sieves
}

// at gives the size an edge is read at on this curve, and whether it was sieved there.
func (e Edge) at(c *Curve) (unit.Millimetres, bool) {
	for _, d := range []unit.Millimetres{e.Size, e.Sieve} {
		if d > 0 && c.used(d) {
			return d, true
		}
	}
	return e.Size, false
}

// Classes cuts a curve by a system, the coarsest class first.
func (s System) Classes(c *Curve) []Class {
	out := make([]Class, 0, len(s.Names))
	low := Edge{}
	name := s.Names[0]
	between := false
	add := func(to unit.Millimetres, read unit.Millimetres, cut bool) {
		from, at := low.Size, low.Size
		if low.Size > 0 {
			at, _ = low.at(c)
		}
		p, sd, ok := c.Between(at, read)
		if ok {
			out = append(out, Class{name, from, to, p, sd, between || cut})
		}
	}
	for i, e := range s.Edges {
		at, sieved := e.at(c)
		if _, ok := c.Passing(at); !ok {
			name = joined(name, s.Names[i+1])
			continue
		}
		cut := !sieved && at > c.Finest() && at < c.Coarsest()
		add(e.Size, at, cut)
		low, name, between = e, s.Names[i+1], cut
	}
	inf := unit.Millimetres(math.Inf(1))
	add(inf, inf, false)
	slices.Reverse(out)
	return out
}

func joined(a, b string) string { return fmt.Sprintf("%s and %s", a, b) }
