package app

import (
	"cmp"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"slices"
	"strconv"

	"underfoot"
	"underfoot/internal/label"
	"underfoot/outline"
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
// they are not, and in words where no position is set.
func (r *FieldRound) stop(green, name string) label.Stop {
	stop := label.Stop{Green: name}
	var at []underfoot.Position
	for _, p := range r.records.Positions {
		if p.Green == green && p.Round == r.Label {
			at = append(at, p)
		}
	}
	if len(at) == 0 {
		stop.Places = r.strolled(green)
		return stop
	}
	slices.SortStableFunc(at, func(a, b underfoot.Position) int { return cmp.Compare(a.Core, b.Core) })
	var known []underfoot.FixedPoint
	for _, p := range r.records.FixedPoints {
		if p.Green == green {
			known = append(known, p)
		}
	}
	plane := outline.NewPlane(outline.Position{Longitude: at[0].Longitude, Latitude: at[0].Latitude})
	var fixed []outline.Fixed
	plan := &label.Plan{Outline: r.rings(green, plane)}
	for _, p := range known {
		f := outline.Fixed{Name: p.Point, At: plane.Point(outline.Position{Longitude: p.Longitude, Latitude: p.Latitude})}
		fixed = append(fixed, f)
		plan.Fixed = append(plan.Fixed, label.Mark{Point: label.Point(f.At), Name: f.Name})
	}
	used, taped := map[string]bool{}, false
	for _, p := range at {
		core := plane.Point(outline.Position{Longitude: p.Longitude, Latitude: p.Latitude})
		number := strconv.Itoa(p.Core)
		plan.Cores = append(plan.Cores, label.Mark{Point: label.Point(core), Name: number})
		place := label.Place{Core: number}
		if t, err := outline.Tapes(core, fixed, longestTape); err == nil {
			place.Tapes = []label.Tape{{From: t.From.Name, Metres: t.FromM}, {From: t.And.Name, Metres: t.AndM}}
			place.Note = "to the right"
			if t.Left {
				place.Note = "to the left"
			}
			used[t.From.Name], used[t.And.Name], taped = true, true, true
		} else {
			place.Note = fmt.Sprintf("latitude %.6f°, longitude %.6f°", p.Latitude, p.Longitude)
		}
		stop.Places = append(stop.Places, place)
	}
	stop.Plan = plan
	if taped {
		stop.Walk = "Left and right as seen from the first point towards the second."
		for _, p := range known {
			if used[p.Point] && p.About != "" {
				stop.Walk += " " + p.Point + ": " + p.About + "."
			}
		}
	}
	return stop
}

// strolled puts the places of a planned round in words, where no position is set on the green.
func (r *FieldRound) strolled(green string) []label.Place {
	for _, p := range r.records.RoundPlans {
		if p.Round != r.Label || !p.Cores.Known {
			continue
		}
		walk, err := outline.Stroll(p.Cores.Value, strollSeed(p, green))
		if err != nil {
			return nil
		}
		var out []label.Place
		for i, share := range walk {
			out = append(out, label.Place{Core: strconv.Itoa(i + 1), Note: share.String()})
		}
		return out
	}
	return nil
}

// strollSeed gives every green of a round its own walk, the same each time it is asked for.
func strollSeed(p underfoot.RoundPlan, green string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(green))
	return h.Sum64() + uint64(p.Seed.Or(0))
}

// rings are the outline of a green on the plane; nil when none is known.
func (r *FieldRound) rings(green string, plane outline.Plane) [][]label.Point {
	for _, o := range r.records.Outlines {
		if o.Green != green {
			continue
		}
		var feature struct {
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
		if json.Unmarshal([]byte(o.Feature), &feature) != nil {
			return nil
		}
		var polygons [][][][]float64
		var one [][][]float64
		switch {
		case feature.Geometry.Type == "Polygon" && json.Unmarshal(feature.Geometry.Coordinates, &one) == nil:
			polygons = [][][][]float64{one}
		case feature.Geometry.Type == "MultiPolygon" && json.Unmarshal(feature.Geometry.Coordinates, &polygons) == nil:
		default:
			return nil
		}
		var out [][]label.Point
		for _, polygon := range polygons {
			for _, ring := range polygon {
				var line []label.Point
				for _, p := range ring {
					if len(p) >= 2 {
						line = append(line, label.Point(plane.Point(outline.Position{Longitude: p[0], Latitude: p[1]})))
					}
				}
				out = append(out, line)
			}
		}
		return out
	}
	return nil
}
