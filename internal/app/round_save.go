package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/exchange"
	"underfoot/outline"
)

// SaveRound keeps a plan of a round with the positions of its cores, in place of the plan called was where that is not "".
// The first error names the column at fault where there is one; see [FieldError].
func (a *App) SaveRound(ctx context.Context, who string, plan underfoot.RoundPlan, was string) (underfoot.Change, error) {
	s, err := a.Standing(ctx, plan.Course)
	if err != nil {
		return underfoot.Change{}, err
	}
	plan.Round = strings.TrimSpace(plan.Round)
	if plan.Round == "" {
		return underfoot.Change{}, fieldError("round", "empty: give the round a name, such as 2027")
	}
	if plan.Round == "." || plan.Round == ".." {
		return underfoot.Change{}, fieldError("round", "%q: give a name with a letter or a figure", plan.Round)
	}
	if _, err := s.Round(plan); err != nil {
		return underfoot.Change{}, err
	}
	planned := slices.ContainsFunc(s.Records.RoundPlans, func(p underfoot.RoundPlan) bool { return p.Round == plan.Round })
	if planned && was != plan.Round {
		return underfoot.Change{}, fieldError("round", "%q is planned already: give another name, or change that one", plan.Round)
	}
	what := "planned round " + plan.Round
	if was != "" {
		what = "changed the plan of round " + plan.Round
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		if was != "" && was != plan.Round {
			if err := dropRound(tx, s.Records, was); err != nil {
				return err
			}
		}
		if _, err := tx.Put(&plan); err != nil {
			return err
		}
		for _, g := range s.roundGreens(plan) {
			if was == plan.Round && len(s.storedPositions(&plan, g)) == plan.Cores.Or(0) {
				continue // they stay as they are, wherever they are from
			}
			if err := putPlaces(tx, s.Records, &plan, g); err != nil {
				return err
			}
		}
		return clearPlaces(tx, s.Records, plan.Round, s.roundGreens(plan))
	})
}

func (s *Standing) roundGreens(p underfoot.RoundPlan) []string {
	return append(strings.Fields(p.FullGreens), strings.Fields(p.TopGreens)...)
}

// DeleteRound hides a plan with its positions; it can be undone.
func (a *App) DeleteRound(ctx context.Context, who, course, round string) (underfoot.Change, error) {
	rs, err := a.Store.Records(ctx, course)
	if err != nil {
		return underfoot.Change{}, err
	}
	return a.Store.Change(ctx, who, "deleted the plan of round "+round, func(tx underfoot.Tx) error { return dropRound(tx, rs, round) })
}

func dropRound(tx underfoot.Tx, rs *underfoot.Records, round string) error {
	if err := clearPlaces(tx, rs, round, nil); err != nil {
		return err
	}
	return tx.Delete(underfoot.RoundPlans, underfoot.Key{rs.Course.ID, round})
}

// clearPlaces hides the positions of a round on all greens but some.
func clearPlaces(tx underfoot.Tx, rs *underfoot.Records, round string, but []string) error {
	for _, p := range rs.Positions {
		if p.Round != round || slices.Contains(but, p.Green) {
			continue
		}
		if err := tx.Delete(underfoot.Positions, positionKey(&p)); err != nil {
			return err
		}
	}
	return nil
}

func positionKey(p *underfoot.Position) underfoot.Key {
	return underfoot.Key{p.Course, p.Green, p.Round, underfoot.FormatNumber(float64(p.Core))}
}

// putPlaces keeps the positions that a plan's seed gives on a green, and hides those it no longer gives. Without a usable
// outline there are none.
func putPlaces(tx underfoot.Tx, rs *underfoot.Records, plan *underfoot.RoundPlan, green string) error {
	o, err := OutlineOf(rs, green)
	if err != nil {
		o = nil // the page and the command say what is wrong with it
	}
	var at []outline.Position
	if o != nil {
		if at, err = drawPlaces(o, plan, green); err != nil {
			at = nil
		}
	}
	for _, p := range rs.Positions {
		if p.Round == plan.Round && p.Green == green && p.Core > len(at) {
			if err := tx.Delete(underfoot.Positions, positionKey(&p)); err != nil {
				return err
			}
		}
	}
	for i, q := range at {
		if _, err := tx.Put(&underfoot.Position{Course: plan.Course, Green: green, Round: plan.Round, Core: i + 1, Longitude: q.Longitude, Latitude: q.Latitude}); err != nil {
			return err
		}
	}
	return nil
}

// SaveOutline keeps the shape of a green, of closed rings of [longitude, latitude], and places the cores of the rounds that are still
// to be taken on it. Without polygons the outline is taken away.
func (a *App) SaveOutline(ctx context.Context, who, course, green string, polygons [][][][2]float64) (underfoot.Change, error) {
	s, err := a.Standing(ctx, course)
	if err != nil {
		return underfoot.Change{}, err
	}
	if !slices.ContainsFunc(s.Records.Greens, func(g underfoot.Green) bool { return g.ID == green }) {
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "green %q is not on course %q", green, course)
	}
	rs := *s.Records
	rs.Outlines = slices.DeleteFunc(slices.Clone(rs.Outlines), func(o underfoot.Outline) bool { return o.Green == green })
	what := "took away the outline of " + s.GreenTitle(green)
	var record *underfoot.Outline
	if len(polygons) > 0 {
		o, err := newOutline(polygons)
		if err != nil {
			return underfoot.Change{}, fieldError("outline", "%s", strings.TrimPrefix(err.Error(), "outline: "))
		}
		if record, err = exchange.OutlineRecord(course, green, ringsOf(o)); err != nil {
			return underfoot.Change{}, err
		}
		what = fmt.Sprintf("drew the outline of %s", s.GreenTitle(green))
		rs.Outlines = append(rs.Outlines, *record)
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		if record == nil {
			if err := tx.Delete(underfoot.Outlines, underfoot.Key{course, green}); err != nil {
				return err
			}
		} else if _, err := tx.Put(record); err != nil {
			return err
		}
		for i := range rs.RoundPlans {
			p := &rs.RoundPlans[i]
			if slices.Contains(s.roundGreens(*p), green) && !s.taken(p.Round) {
				if err := putPlaces(tx, &rs, p, green); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// taken says whether anything of a round is on record.
func (s *Standing) taken(round string) bool {
	return slices.ContainsFunc(s.Records.Samples, func(m underfoot.Sample) bool { return m.RoundLabel() == round })
}

// ringsOf are the polygons of an outline, turned as GeoJSON wants them.
func ringsOf(o *outline.Outline) [][][][2]float64 {
	var out [][][][2]float64
	for _, p := range o.Polygons() {
		var polygon [][][2]float64
		for _, r := range p {
			var ring [][2]float64
			for _, c := range r {
				ring = append(ring, [2]float64{c.Longitude, c.Latitude})
			}
			polygon = append(polygon, ring)
		}
		out = append(out, polygon)
	}
	return out
}

// SaveFixedPoints keeps the fixed points beside a green in place of those it had.
func (a *App) SaveFixedPoints(ctx context.Context, who, course, green string, points []underfoot.FixedPoint) (underfoot.Change, error) {
	s, err := a.Standing(ctx, course)
	if err != nil {
		return underfoot.Change{}, err
	}
	names := map[string]bool{}
	for i := range points {
		points[i].Course, points[i].Green = course, green
		if names[points[i].Point] {
			return underfoot.Change{}, fieldError("point", "%q is named twice: give each fixed point a name of its own", points[i].Point)
		}
		names[points[i].Point] = true
	}
	return a.Store.Change(ctx, who, "set the fixed points of "+s.GreenTitle(green), func(tx underfoot.Tx) error {
		for _, p := range s.Records.FixedPoints {
			if p.Green == green && !names[p.Point] {
				if err := tx.Delete(underfoot.FixedPoints, underfoot.Key{course, green, p.Point}); err != nil {
					return err
				}
			}
		}
		for i := range points {
			if _, err := tx.Put(&points[i]); err != nil {
				return err
			}
		}
		return nil
	})
}
