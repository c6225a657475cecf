package workbook

import (
	"strings"

	"underfoot/internal/app"
)

func benchSheets(s *app.Standing) []Sheet {
	green := greenOf(s)
	type row = app.BenchRow
	composites := rowsOf(s.Bench).
		text("sample", func(r *row) string { return r.Sample }).
		text("green", func(r *row) string { return green(r.Green) }).
		text("round", func(r *row) string { return r.Round }).
		day("date", func(r *row) any { return r.Of.Date }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		number("organic matter, %", 2, func(r *row) any { return r.OrganicMatterPercent }).
		number("standard uncertainty, %", 3, func(r *row) any { return r.StandardUncertaintyPercent }).
		number("half width that holds 95 in 100, %", 3, func(r *row) any { return r.ExpandedPercent }).
		number("effective degrees of freedom", 1, func(r *row) any { return r.DegreesOfFreedom }).
		number("dry mass, g", 2, func(r *row) any { return r.DryMassG }).
		number("water, % of dry mass", 1, func(r *row) any { return r.WaterPercent }).
		number("volume, cm³", 1, func(r *row) any { return r.VolumeCm3 }).
		number("bulk density, kg/m³", 0, func(r *row) any { return r.BulkDensityKgM3 }).
		text("bulk density from", func(r *row) string { return r.BulkDensityFrom }).
		number("organic, kg/m²", 3, func(r *row) any { return r.OrganicStockKgM2 }).
		number("mineral, kg/m²", 2, func(r *row) any { return r.MineralKgM2 }).
		text("method", func(r *row) string { return r.Method }).
		text("furnace runs", func(r *row) string { return strings.Join(r.FurnaceRuns, ", ") }).
		text("run", func(r *row) string {
			switch {
			case r.Held:
				return "failed: held"
			case r.Released != nil:
				return "failed: released by " + r.Released.By
			case len(r.RunFailed) > 0:
				return "failed"
			}
			return ""
		}).
		yesNo("stands in trends", func(r *row) bool { return r.Comparable() }).
		text("why the run failed", func(r *row) string { return strings.Join(r.RunFailed, "; ") }).
		text("warnings", func(r *row) string { return strings.Join(r.Warnings, "; ") }).
		text("notes", func(r *row) string { return strings.Join(r.Notes, "; ") }).
		sheet("Composites", "What the bench says of every composite, with the uncertainty of the measurement and the state of its furnace run.")
	type part = of[row, app.Doubt]
	var parts []part
	for i := range s.Bench {
		for _, d := range s.Bench[i].Budget {
			parts = append(parts, part{&s.Bench[i], d})
		}
	}
	budget := rowsOf(parts).
		text("sample", func(p *part) string { return p.layer.Sample }).
		text("from", func(p *part) string { return p.row.From }).
		number("standard uncertainty, %", 4, func(p *part) any { return p.row.StandardPercent }).
		number("degrees of freedom", 1, func(p *part) any { return p.row.DegreesOfFreedom }).
		sheet("Uncertainty", "The parts of each composite's standard uncertainty, the largest first.")
	type run = app.BenchRun
	runs := rowsOf(s.Quality.Runs).
		text("furnace run", func(r *run) string { return r.Name }).
		day("date", func(r *run) any {
			if !r.Dated && r.Date == 0 {
				return nil
			}
			return r.Date
		}).
		yesNo("burnt on that date", func(r *run) bool { return r.Dated }).
		whole("crucibles", func(r *run) int { return len(r.Crucibles) }).
		text("checks", func(r *run) string { return string(r.Judgement.Verdict) }).
		text("why it failed", func(r *run) string { return strings.Join(r.Judgement.Reasons(), "; ") }).
		text("to look at", func(r *run) string { return strings.Join(r.Judgement.Looks(), "; ") }).
		yesNo("held", func(r *run) bool { return r.Held() }).
		text("released by", func(r *run) string {
			if r.Release == nil {
				return ""
			}
			return r.Release.By
		}).
		text("reason of the release", func(r *run) string {
			if r.Release == nil {
				return ""
			}
			return r.Release.Reason
		}).
		sheet("Furnace runs", "The checks of every load of the furnace. Results of a failed run are held until a named person releases it.")
	var burns []app.ControlPoint
	for i := range s.Quality.Runs {
		burns = append(burns, s.Quality.Runs[i].Chart...)
	}
	known := func(of func(*app.ControlPoint) float64) func(*app.ControlPoint) any {
		return func(p *app.ControlPoint) any {
			if !p.Known {
				return nil
			}
			return of(p)
		}
	}
	type point = app.ControlPoint
	controls := rowsOf(burns).
		text("control material", func(p *point) string { return p.Material }).
		text("furnace run", func(p *point) string { return p.Run }).
		text("crucible", func(p *point) string { return p.Crucible }).
		day("date", func(p *point) any { return p.Date }).
		number("found, %", 3, func(p *point) any { return float64(p.Value) }).
		number("centre, %", 3, known(func(p *point) float64 { return float64(p.Limits.Centre) })).
		number("standard deviation, %", 4, known(func(p *point) float64 { return float64(p.Limits.SD) })).
		sheet("Controls", "Every burn of a control material on its chart.")
	return []Sheet{composites, budget, runs, controls}
}
