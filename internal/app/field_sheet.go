package app

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"slices"
	"strconv"

	"underfoot"
	"underfoot/internal/label"
)

// longestTape is the tape that a crew carries, m: common practice, no source.
const longestTape = 50.0

// Sheet is the field sheet of the round: the greens in walking order, their bags, and where each core is cut.
func (r *FieldRound) Sheet(paper label.Paper) label.Sheet {
	s := label.Sheet{
		Paper: paper, Course: r.records.Course.Title(), Round: r.Label, Facts: r.facts(), Layers: r.layers(), Cautions: label.Cautions(),
	}
	if r.Date != 0 {
		s.Date = r.Date.Time().Format("Monday 2 January 2006")
	}
	names := r.greenNames()
	for _, c := range r.Composites {
		n := len(s.Stops) - 1
		if n < 0 || s.Stops[n].Green != names[c.Green] {
			s.Stops = append(s.Stops, r.stop(c.Green, names[c.Green]))
			n++
		}
		stop := &s.Stops[n]
		stop.Bags = append(stop.Bags, label.Packed{Sample: c.ID, Layer: c.Layer()})
		stop.Cores = max(stop.Cores, c.Cores.Or(0))
	}
	for i := range s.Stops {
		if stop := &s.Stops[i]; len(stop.Places) == 0 {
			stop.Walk = "Spread the cores over the whole green, away from the edge, old hole positions and worn paths; cut every layer of a core at the same place."
		}
	}
	return s
}

// layers are those of the round, shallow first.
func (r *FieldRound) layers() []label.Layer {
	var out []label.Layer
	for _, c := range r.Composites {
		l := label.Layer{Name: c.Layer(), Top: c.TopMM, Bottom: c.BottomMM}
		if !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	slices.SortFunc(out, func(a, b label.Layer) int { return cmp.Or(cmp.Compare(a.Top, b.Top), cmp.Compare(a.Bottom, b.Bottom)) })
	return out
}

// stop says where on a green the cores are cut: by tape from fixed points where they are known, by latitude and longitude where
// they are not, and in words where the shape of the green is not known.
func (r *FieldRound) stop(green, name string) label.Stop {
	stop := label.Stop{Green: name}
	plan, ok := r.plan(green)
	if !ok {
		return stop
	}
	g := (&Standing{Records: r.records}).placesOf(&plan, green)
	for i, words := range g.Walk {
		stop.Places = append(stop.Places, label.Place{Core: strconv.Itoa(i + 1), Note: words})
	}
	if len(g.Places) == 0 {
		return stop
	}
	stop.Plan = &label.Plan{}
	if g.Outline != nil {
		for _, ring := range g.Outline.Rings() {
			var line []label.Point
			for _, p := range ring {
				line = append(line, label.Point(p))
			}
			stop.Plan.Outline = append(stop.Plan.Outline, line)
		}
	}
	for _, f := range g.Fixed {
		stop.Plan.Fixed = append(stop.Plan.Fixed, label.Mark{Point: label.Point(f.At), Name: f.Name})
	}
	used := map[string]bool{}
	for _, p := range g.Places {
		number := strconv.Itoa(p.Core)
		stop.Plan.Cores = append(stop.Plan.Cores, label.Mark{Point: label.Point(p.Point), Name: number})
		place := label.Place{Core: number}
		if t := p.Tapes; t != nil {
			place.Tapes = []label.Tape{{From: t.From.Name, Metres: t.FromM}, {From: t.And.Name, Metres: t.AndM}}
			place.Note = "to the right"
			if t.Left {
				place.Note = "to the left"
			}
			used[t.From.Name], used[t.And.Name] = true, true
		} else {
			place.Note = fmt.Sprintf("latitude %.6f°, longitude %.6f°", p.LatitudeDeg, p.LongitudeDeg)
		}
		stop.Places = append(stop.Places, place)
	}
	stop.Walk = r.points(green, used)
	return stop
}

// points says what the fixed points are that places are taped from.
func (r *FieldRound) points(green string, used map[string]bool) string {
	if len(used) == 0 {
		return ""
	}
	words := "Left and right as seen from the first point towards the second."
	for _, p := range r.records.FixedPoints {
		if p.Green == green && used[p.Point] && p.About != "" {
			words += " " + p.Point + ": " + p.About + "."
		}
	}
	return words
}

// plan is the plan of the round, or what the positions on record come to; false without either.
func (r *FieldRound) plan(green string) (underfoot.RoundPlan, bool) {
	for _, p := range r.records.RoundPlans {
		if p.Round == r.Label {
			return p, true
		}
	}
	n := 0
	for _, p := range r.records.Positions {
		if p.Round == r.Label && p.Green == green {
			n++
		}
	}
	return underfoot.RoundPlan{Course: r.records.Course.ID, Round: r.Label, Cores: underfoot.Some(n)}, n > 0
}

// strollSeed gives every green of a round its own walk, the same each time it is asked for.
func strollSeed(p underfoot.RoundPlan, green string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(green))
	return h.Sum64() + uint64(p.Seed.Or(0))
}
