package workbook

import (
	"strings"

	"underfoot/internal/app"
)

// of joins a row of a layer with the layer.
type of[L, R any] struct {
	layer *L
	row   R
}

func findingSheets(s *app.Standing) []Sheet {
	f := s.Findings()
	return []Sheet{
		directionSheet(f), readingSheet(f.Direction.Kinds), responseSheet(f.Readings), roundSheet(s, f.Layers), trendSheet(f.Layers), evennessSheet(f.Layers), greenSheet(s, f.Layers),
		materialSheet(f.Material), materialChanges(f.Material),
	}
}

// directionSheet is the direction in one row.
func directionSheet(f app.Findings) Sheet {
	type direction = app.DirectionFound
	return rowsOf([]direction{f.Direction}).
		text("direction", func(d *direction) string { return d.Verdict }).
		text("decided by", func(d *direction) string { return d.DecidedBy }).
		chance("chance that the readings support it", func(d *direction) any { return d.Probability }).
		text("by the readings alone", func(d *direction) string { return d.Readings.Verdict }).
		chance("chance of lower", func(d *direction) any { return d.Readings.PLower }).
		chance("chance of hold", func(d *direction) any { return d.Readings.PHold }).
		chance("chance of raise", func(d *direction) any { return d.Readings.PRaise }).
		text("because", func(d *direction) string { return strings.Join(d.Because, " ") }).
		sheet("Direction", "What the surface asks of organic matter, and why.")
}

func readingSheet(kinds []app.KindFinding) Sheet {
	type kind = app.KindFinding
	return rowsOf(kinds).
		text("kind, with its unit", func(k *kind) string { return k.Kind }).
		text("season", func(k *kind) string { return k.Season }).
		number("mean, unit of the kind", 2, func(k *kind) any { return k.Mean }).
		number("s.e., unit of the kind", 3, func(k *kind) any { return k.SE }).
		number("degrees of freedom", 1, func(k *kind) any { return k.DF }).
		number("lower 90, unit of the kind", 2, func(k *kind) any { return k.Lower90 }).
		number("upper 90, unit of the kind", 2, func(k *kind) any { return k.Upper90 }).
		number("wanted at least, unit of the kind", 2, func(k *kind) any { return k.Low }).
		number("wanted at most, unit of the kind", 2, func(k *kind) any { return k.High }).
		chance("chance below", func(k *kind) any { return k.PBelow }).
		chance("chance within", func(k *kind) any { return k.PWithin }).
		chance("chance above", func(k *kind) any { return k.PAbove }).
		whole("reading days", func(k *kind) int { return k.Days }).
		whole("greens", func(k *kind) int { return k.Greens }).
		whole("greens below", func(k *kind) int { return k.Below }).
		whole("greens above", func(k *kind) int { return k.Above }).
		number("s.d. between greens, unit of the kind", 3, func(k *kind) any { return k.GreenSD }).
		number("s.d. between days, unit of the kind", 3, func(k *kind) any { return k.DaySD }).
		sheet("Readings", "The last season of each kind of reading against what is wanted.")
}

func responseSheet(list []app.ResponseFound) Sheet {
	type response = app.ResponseFound
	t := rowsOf(list).
		text("kind, with its unit", func(r *response) string { return r.Kind }).
		layer(func(r *response) (float64, float64) { return r.TopMM, r.BottomMM }).
		whole("readings", func(r *response) int { return r.N }).
		whole("greens", func(r *response) int { return r.Greens }).
		whole("days", func(r *response) int { return r.Days })
	slope := func(name string, at func(*response) *app.SlopeFound) {
		part := func(of func(*app.SlopeFound) *float64) func(*response) any {
			return func(r *response) any {
				if x := at(r); x != nil {
					return of(x)
				}
				return nil
			}
		}
		t.number(name, 3, part(func(x *app.SlopeFound) *float64 { return x.Value }))
		t.number(name+", lower 95", 3, part(func(x *app.SlopeFound) *float64 { return x.Lower95 }))
		t.number(name+", upper 95", 3, part(func(x *app.SlopeFound) *float64 { return x.Upper95 }))
	}
	slope("at the same water, unit of the kind a point of OM", func(r *response) *app.SlopeFound { return r.Direct })
	slope("water, unit of the kind a % of volume", func(r *response) *app.SlopeFound { return r.Water })
	slope("water following, unit of the kind a point of OM", func(r *response) *app.SlopeFound { return r.Total })
	return t.text("says", func(r *response) string { return strings.Join(append([]string{r.Why}, r.Says...), " ") }).
		sheet("Readings and OM", "How firmness goes with water content and organic matter. No number in it is a target.")
}

func roundSheet(s *app.Standing, layers []app.LayerFinding) Sheet {
	type row = of[app.LayerFinding, app.RoundFinding]
	var rows []row
	for i := range layers {
		for _, r := range layers[i].Rounds {
			rows = append(rows, row{&layers[i], r})
		}
	}
	return rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.TopMM, r.layer.BottomMM }).
		text("round", func(r *row) string { return r.row.Round }).
		day("date", func(r *row) any { return r.row.Date }).
		number("organic matter, mean, %", 2, func(r *row) any { return r.row.Mean }).
		number("s.e., %", 3, func(r *row) any { return r.row.SE }).
		number("lower 90, %", 2, func(r *row) any { return r.row.Lower90 }).
		number("upper 90, %", 2, func(r *row) any { return r.row.Upper90 }).
		number("degrees of freedom", 1, func(r *row) any { return r.row.DF }).
		whole("greens", func(r *row) int { return r.row.N }).
		yesNo("holds released results", func(r *row) bool {
			l := s.Layer(r.layer.TopMM, r.layer.BottomMM)
			return l != nil && l.Released(r.row.Round)
		}).
		sheet("Rounds", "The mean of each layer in each round, with its interval.")
}

func trendSheet(layers []app.LayerFinding) Sheet {
	type row = of[app.LayerFinding, *app.TrendFinding]
	var rows []row
	for i := range layers {
		if t := layers[i].Trend; t != nil {
			rows = append(rows, row{&layers[i], t})
		}
	}
	t := rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.TopMM, r.layer.BottomMM }).
		text("verdict", func(r *row) string { return r.row.Verdict }).
		number("change, points a year", 3, func(r *row) any { return r.row.SlopePerYear }).
		number("s.e., points a year", 3, func(r *row) any { return r.row.SE }).
		number("degrees of freedom", 1, func(r *row) any { return r.row.DF }).
		number("lower 95, points a year", 3, func(r *row) any { return r.row.Lower95 }).
		number("upper 95, points a year", 3, func(r *row) any { return r.row.Upper95 }).
		chance("chance of rising", func(r *row) any { return r.row.PRising }).
		number("smallest visible, points a year", 3, func(r *row) any { return r.row.SmallestVisiblePerYear }).
		number("smallest that matters, points a year", 2, func(r *row) any { return r.row.Matters }).
		yesNo("steady", func(r *row) bool { return r.row.Steady }).
		chance("chance of steady", func(r *row) any { return r.row.PSteady })
	behind := func(name string, of func(*app.UnderlyingFinding) *float64) {
		t.number("line behind the rounds, "+name, 3, func(r *row) any {
			if u := r.row.Underlying; u != nil {
				return of(u)
			}
			return nil
		})
	}
	behind("points a year", func(u *app.UnderlyingFinding) *float64 { return u.SlopePerYear })
	behind("lower 95, points a year", func(u *app.UnderlyingFinding) *float64 { return u.Lower95 })
	behind("upper 95, points a year", func(u *app.UnderlyingFinding) *float64 { return u.Upper95 })
	return t.number("s.d. of rounds beyond cores, points", 3, func(r *row) any { return r.row.RoundSD }).
		number("s.d. of a core about its green, points", 3, func(r *row) any { return r.row.CoreSD }).
		text("says", func(r *row) string { return r.layer.Says }).
		text("model", func(r *row) string { return r.row.Model }).
		text("why this model", func(r *row) string { return r.row.Choice }).
		text("method", func(r *row) string { return r.row.Method }).
		text("warnings", func(r *row) string { return strings.Join(r.row.Warnings, "; ") }).
		sheet("Trends", "The change of each layer at its depth over the rounds. One round has no trend.")
}

func evennessSheet(layers []app.LayerFinding) Sheet {
	type row = app.LayerFinding
	t := rowsOf(layers).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		number("s.d. between greens, points", 3, func(r *row) any { return r.BetweenGreenSD }).
		number("lower 95, points", 3, func(r *row) any { return r.BetweenGreenSDLower95 }).
		number("upper 95, points", 3, func(r *row) any { return r.BetweenGreenSDUpper95 })
	growing := func(f func(*app.SpreadFinding) any) func(*row) any {
		return func(r *row) any {
			if r.Spread == nil {
				return nil
			}
			return f(r.Spread)
		}
	}
	return t.number("growth of the spread, share a year", 3, growing(func(x *app.SpreadFinding) any { return x.PerYear })).
		number("lower 95, share a year", 3, growing(func(x *app.SpreadFinding) any { return x.Lower95 })).
		number("upper 95, share a year", 3, growing(func(x *app.SpreadFinding) any { return x.Upper95 })).
		chance("chance of growing apart", growing(func(x *app.SpreadFinding) any { return x.PGrowing })).
		sheet("Evenness", "How even the greens are in each layer, and whether they grow apart.")
}

func greenSheet(s *app.Standing, layers []app.LayerFinding) Sheet {
	green := greenOf(s)
	type row = of[app.LayerFinding, app.GreenFinding]
	var rows []row
	for i := range layers {
		for _, g := range layers[i].Greens {
			rows = append(rows, row{&layers[i], g})
		}
	}
	return rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.TopMM, r.layer.BottomMM }).
		text("green", func(r *row) string { return green(r.row.Green) }).
		number("organic matter, %", 2, func(r *row) any { return r.row.Estimate }).
		number("s.e., %", 3, func(r *row) any { return r.row.SE }).
		yesNo("stands out", func(r *row) bool { return r.row.StandsOut }).
		sheet("Green levels", "The level of each green in each layer, drawn towards the rest as far as its own cores are few.")
}

func materialSheet(m app.MaterialFound) Sheet {
	type row = of[app.BandFound, app.BandRound]
	var rows []row
	for i := range m.Bands {
		for _, r := range m.Bands[i].Rounds {
			rows = append(rows, row{&m.Bands[i], r})
		}
	}
	return rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.TopMM, r.layer.BottomMM }).
		text("round", func(r *row) string { return r.row.Round }).
		day("date", func(r *row) any { return r.row.Date }).
		number("its top then, mm", 1, func(r *row) any { return r.row.TopMM }).
		number("its bottom then, mm", 1, func(r *row) any { return r.row.BottomMM }).
		number("organic matter, %", 2, func(r *row) any { return r.row.OM }).
		number("s.e., %", 3, func(r *row) any { return r.row.SE }).
		number("organic, kg/m²", 3, func(r *row) any { return r.row.Organic }).
		number("s.e., kg/m²", 3, func(r *row) any { return r.row.OrganicSE }).
		number("taken out, organic, kg/m²", 3, func(r *row) any { return r.row.Removed }).
		number("sand laid since, mm", 1, func(r *row) any { return r.row.SandMM }).
		number("at the fixed depth, %", 2, func(r *row) any { return r.row.Fixed }).
		number("s.e. at the fixed depth, %", 3, func(r *row) any { return r.row.FixedSE }).
		sheet("Material", "The material of the first round's layers followed downwards: top and bottom are where it lay in round "+m.Reference+".")
}

func materialChanges(m app.MaterialFound) Sheet {
	type row = struct {
		band   *app.BandFound
		what   string
		change *app.ChangeFound
	}
	var rows []row
	for i := range m.Bands {
		b := &m.Bands[i]
		for _, r := range []row{{b, "organic matter of the material, points a year", b.Change}, {b, "organic mass of the material, kg/m² a year", b.Stock}, {b, "organic matter at the fixed depth, points a year", b.Fixed}} {
			if r.change != nil {
				rows = append(rows, r)
			}
		}
	}
	return rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.band.TopMM, r.band.BottomMM }).
		text("change of, with its unit", func(r *row) string { return r.what }).
		number("a year, that unit", 3, func(r *row) any { return r.change.PerYear }).
		number("s.e., that unit", 3, func(r *row) any { return r.change.SE }).
		number("lower 95, that unit", 3, func(r *row) any { return r.change.Lower95 }).
		number("upper 95, that unit", 3, func(r *row) any { return r.change.Upper95 }).
		chance("chance of rising", func(r *row) any { return r.change.PRising }).
		text("verdict", func(r *row) string { return r.change.Verdict }).
		whole("rounds", func(r *row) int { return r.change.Rounds }).
		text("says", func(r *row) string { return r.band.Says }).
		sheet("Material change", "The change of the followed material, beside that at the fixed depth.")
}
