package workbook

import (
	"underfoot"
	"underfoot/calibrate"
	"underfoot/internal/app"
)

// outlookSheets are what the profile model says, as the profile page shows it and the forecast command prints it.
func outlookSheets(s *app.Standing, why map[string]string) []Sheet {
	o, err := s.Outlook()
	var forecast []app.ForecastRow
	if err == nil {
		var f *calibrate.Forecast
		if f, err = o.Model.Forecast(o.Horizons); err == nil {
			forecast = o.Model.ForecastRows(f)
		}
	}
	if o == nil {
		o = &app.Outlook{}
	}
	plan := ""
	if o.Plan != "" {
		plan = ": " + o.Plan
	}
	if err != nil {
		for _, name := range []string{"Forecast", "Outlook", "Looking back", "Learnt"} {
			why[name] = err.Error()
		}
	}
	if o.BackWhy != "" {
		why["Looking back"] = o.BackWhy
	}
	return []Sheet{
		forecastSheet(s, forecast), aheadSheet(o, plan), backSheet(o.Back), learntSheet(o.Learnt),
	}
}

// forecastSheet is the forecast of every green, as the forecast command prints it.
func forecastSheet(s *app.Standing, rows []app.ForecastRow) Sheet {
	green := greenOf(s)
	type row = app.ForecastRow
	t := rowsOf(rows).
		day("date", func(r *row) any { return r.Date }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		text("green", func(r *row) string { return green(r.Green) })
	foretold(t, func(r *row) *row { return r })
	return t.sheet("Forecast", "Organic matter one and two years on, with no more work than is planned in the log.")
}

// foretold adds what a forecast says of a layer on a day.
func foretold[T any](t *table[T], of func(*T) *app.ForecastRow) {
	t.number("organic matter, mean, %", 2, func(r *T) any { return of(r).Mean })
	t.number("s.d., %", 3, func(r *T) any { return of(r).SD })
	t.number("5 %, %", 2, func(r *T) any { return of(r).Q05 })
	t.number("middle, %", 2, func(r *T) any { return of(r).Q50 })
	t.number("95 %, %", 2, func(r *T) any { return of(r).Q95 })
}

// aheadSheet is the past and the months ahead of each layer as the profile page draws them, the mean of the greens.
func aheadSheet(o *app.Outlook, plan string) Sheet {
	type row = of[app.OutlookLayer, app.OutlookPoint]
	var rows []row
	for i := range o.Layers {
		for _, list := range [][]app.OutlookPoint{o.Layers[i].Past, o.Layers[i].Future} {
			for _, p := range list {
				rows = append(rows, row{&o.Layers[i], p})
			}
		}
	}
	t := rowsOf(rows).
		layer(func(r *row) (float64, float64) { return r.layer.Top, r.layer.Bottom }).
		day("date", func(r *row) any { return r.row.Day }).
		yesNo("ahead of the record", func(r *row) bool { return r.row.Day > o.From })
	for _, part := range []struct {
		head string
		of   func(*calibrate.Estimate) float64
	}{
		{"organic matter, mean, %", func(e *calibrate.Estimate) float64 { return e.Mean }},
		{"s.d., %", func(e *calibrate.Estimate) float64 { return e.SD }},
		{"5 %, %", func(e *calibrate.Estimate) float64 { return e.Q05 }},
		{"25 %, %", func(e *calibrate.Estimate) float64 { return e.Q25 }},
		{"middle, %", func(e *calibrate.Estimate) float64 { return e.Q50 }},
		{"75 %, %", func(e *calibrate.Estimate) float64 { return e.Q75 }},
		{"95 %, %", func(e *calibrate.Estimate) float64 { return e.Q95 }},
	} {
		t.number(part.head, 2, func(r *row) any { return 100 * part.of(&r.row.Estimate) })
	}
	return t.sheet("Outlook", "Each layer by the profile model, before and after the last record, the mean of the greens"+plan+".")
}

func backSheet(list []calibrate.Hindcast) Sheet {
	type row = calibrate.Hindcast
	return rowsOf(list).
		text("round left out", func(r *row) string { return r.Round }).
		day("date", func(r *row) any { return underfoot.Date(r.Day) }).
		layer(func(r *row) (float64, float64) { return r.Layer.Top, r.Layer.Bottom }).
		whole("composites", func(r *row) int { return r.N }).
		number("measured, %", 2, func(r *row) any { return 100 * r.Measured }).
		number("foretold, middle, %", 2, func(r *row) any { return 100 * r.Foretold.Q50 }).
		number("would be measured, 5 %, %", 2, func(r *row) any { return 100 * r.Sampled.Q05 }).
		number("would be measured, 95 %, %", 2, func(r *row) any { return 100 * r.Sampled.Q95 }).
		yesNo("inside", func(r *row) bool { return r.Inside() }).
		number("last value before, %", 2, func(r *row) any { return 100 * r.LastValue }).
		sheet("Looking back", "The last round left out, and foretold from the others.")
}

func learntSheet(list []calibrate.Learnt) Sheet {
	type row = calibrate.Learnt
	return rowsOf(list).
		text("unknown", func(r *row) string { return r.Entry().Name }).
		text("unit", func(r *row) string {
			if u := r.Entry().Unit; u != "1" {
				return u
			}
			return "share"
		}).
		number("before, 5 %, that unit", 4, func(r *row) any { return r.Prior.Q05 }).
		number("before, middle, that unit", 4, func(r *row) any { return r.Prior.Q50 }).
		number("before, 95 %, that unit", 4, func(r *row) any { return r.Prior.Q95 }).
		number("after, 5 %, that unit", 4, func(r *row) any { return r.After.Q05 }).
		number("after, middle, that unit", 4, func(r *row) any { return r.After.Q50 }).
		number("after, 95 %, that unit", 4, func(r *row) any { return r.After.Q95 }).
		chance("decided by the rounds, share", func(r *row) any { return r.Decided }).
		text("in words", func(r *row) string { return r.Word() }).
		text("source of what was taken before", func(r *row) string { return r.Entry().Source }).
		sheet("Learnt", "What the rounds decided of the profile model's unknowns, and what is still assumed.")
}
