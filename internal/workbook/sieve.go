package workbook

import (
	"strings"

	"underfoot"
	"underfoot/internal/app"
)

func layerName(top, bottom float64) string { return underfoot.LayerName(top, bottom) }

func sieveSheets(s *app.Standing) []Sheet {
	rows := app.Sieve(s.Records)
	return []Sheet{sizeSheet(s, rows), passingSheet(rows), classSheet(rows), limitSheet(rows)}
}

func sizeSheet(s *app.Standing, rows []app.SieveRow) Sheet {
	green := greenOf(s)
	type row = app.SieveRow
	t := rowsOf(rows).
		text("source", func(r *row) string { return r.Source }).
		text("name", func(r *row) string { return r.Name }).
		text("green", func(r *row) string {
			if r.Green == "" {
				return ""
			}
			return green(r.Green)
		}).
		day("date", func(r *row) any { return r.Date }).
		number("top, mm", 0, func(r *row) any { return r.TopMM }).
		number("bottom, mm", 0, func(r *row) any { return r.BottomMM }).
		number("on the sieves, g", 2, func(r *row) any { return r.MassRetainedG }).
		number("start mass, g", 2, func(r *row) any { return r.StartMassG }).
		number("washed out, g", 2, func(r *row) any { return r.WashedG }).
		number("lost, %", 2, func(r *row) any { return r.LossPercent })
	for _, d := range []struct {
		head string
		of   func(*row) *float64
	}{
		{"D10, mm", func(r *row) *float64 { return r.D10 }},
		{"D15, mm", func(r *row) *float64 { return r.D15 }},
		{"D20, mm", func(r *row) *float64 { return r.D20 }},
		{"D30, mm", func(r *row) *float64 { return r.D30 }},
		{"D50, mm", func(r *row) *float64 { return r.D50 }},
		{"D60, mm", func(r *row) *float64 { return r.D60 }},
		{"D85, mm", func(r *row) *float64 { return r.D85 }},
		{"D90, mm", func(r *row) *float64 { return r.D90 }},
		{"D10 s.d., mm", func(r *row) *float64 { return r.D10SD }},
		{"D50 s.d., mm", func(r *row) *float64 { return r.D50SD }},
		{"uniformity D60/D10", func(r *row) *float64 { return r.Uniformity }},
		{"curvature", func(r *row) *float64 { return r.Curvature }},
		{"gradation index D90/D10", func(r *row) *float64 { return r.Gradation }},
		{"fineness modulus", func(r *row) *float64 { return r.Fineness }},
		{"fineness modulus if nothing is coarser", func(r *row) *float64 { return r.FinenessIf }},
	} {
		t.number(d.head, 3, func(r *row) any { return d.of(r) })
	}
	return t.text("warnings", func(r *row) string { return strings.Join(r.Warnings, "; ") }).
		text("notes", func(r *row) string { return strings.Join(r.Notes, "; ") }).
		sheet("Sieve sizes", "Sizes of every sand and ash; empty where a size lies outside the sieves used.")
}

// sieved joins the rows of each sieving with it.
func sieved[R any](rows []app.SieveRow, list func(*app.SieveRow) []R) []of[app.SieveRow, R] {
	var out []of[app.SieveRow, R]
	for i := range rows {
		for _, r := range list(&rows[i]) {
			out = append(out, of[app.SieveRow, R]{&rows[i], r})
		}
	}
	return out
}

func passingSheet(rows []app.SieveRow) Sheet {
	type row = of[app.SieveRow, app.SievePoint]
	return rowsOf(sieved(rows, func(r *app.SieveRow) []app.SievePoint { return r.Passing })).
		text("source", func(r *row) string { return r.layer.Source }).
		exact("sieve, mm", func(r *row) float64 { return r.row.SieveMM }).
		number("passing, % of mass", 2, func(r *row) any { return r.row.Percent }).
		sheet("Sieve curves", "Percent by mass that passes each sieve.")
}

func classSheet(rows []app.SieveRow) Sheet {
	type class struct {
		system string
		app.SieveClass
	}
	type row = of[app.SieveRow, class]
	return rowsOf(sieved(rows, func(r *app.SieveRow) []class {
		var out []class
		for _, s := range []struct {
			name string
			list []app.SieveClass
		}{{"construction", r.Classes}, {"USDA", r.USDA}, {"ISO 14688-1", r.ISO}} {
			for _, c := range s.list {
				out = append(out, class{s.name, c})
			}
		}
		return out
	})).
		text("source", func(r *row) string { return r.layer.Source }).
		text("system", func(r *row) string { return r.row.system }).
		text("class", func(r *row) string { return r.row.Class }).
		exact("from, mm", func(r *row) float64 { return r.row.FromMM }).
		add(Column{Head: "to, mm", Kind: Exact}, func(r *row) any { return r.row.ToMM }).
		number("in it, % of mass", 2, func(r *row) any { return r.row.Percent }).
		number("s.d., %", 3, func(r *row) any { return r.row.SD }).
		yesNo("read between two sieves", func(r *row) bool { return r.row.Between }).
		sheet("Sieve classes", "What lies in each class of sizes, by three systems.")
}

func limitSheet(rows []app.SieveRow) Sheet {
	type row = of[app.SieveRow, app.SieveLimit]
	return rowsOf(sieved(rows, func(r *app.SieveRow) []app.SieveLimit { return r.Limits })).
		text("source", func(r *row) string { return r.layer.Source }).
		text("limit", func(r *row) string { return r.row.Limit }).
		text("allowed, %", func(r *row) string { return r.row.Allowed }).
		number("found, %", 2, func(r *row) any { return r.row.Found }).
		number("found at least, %", 2, func(r *row) any { return r.row.Low }).
		number("found at most, %", 2, func(r *row) any { return r.row.High }).
		number("s.d., %", 3, func(r *row) any { return r.row.SD }).
		chance("chance that it is met", func(r *row) any { return r.row.Chance }).
		text("verdict", func(r *row) string { return r.row.Verdict }).
		sheet("Sieve limits", "The limits of the construction recommendation.")
}
