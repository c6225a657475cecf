package workbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/app"
)

// Options are what the standing does not know about the workbook.
type Options struct {
	Author  string    // may be empty
	When    time.Time // when it was made, in the course's zone
	Version string    // of the program
	Plan    *Plan     // nil without one
	WhyNot  string    // why there is no plan, when there is none
}

// Plan is a season plan that was looked for.
type Plan struct {
	Season *app.SeasonPlan
	Found  *app.SeasonFound
}

// Of lays a course out. Tables that cannot be worked out keep their sheet, which says why under its header, as the first sheet does.
func Of(s *app.Standing, o Options) *Book {
	c := &s.Records.Course
	b := &Book{
		Title: c.Title() + ", workbook", Author: o.Author, Made: o.When,
		Subject: fmt.Sprintf("Putting greens of %s as of %s", c.Title(), s.AsOf),
	}
	why := map[string]string{}
	var results []Sheet
	results = append(results, findingSheets(s)...)
	results = append(results, benchSheets(s)...)
	results = append(results, sandSheets(s, why)...)
	results = append(results, outlookSheets(s, why)...)
	results = append(results, planSheets(o, why)...)
	results = append(results, sieveSheets(s)...)
	results = append(results, logSheets(s)...)
	for i := range results {
		if x := &results[i]; len(x.Rows) == 0 {
			x.Empty = cmp.Or(why[x.Name], nothingFor(x.Name))
		}
	}
	kept, none := records(s.Records)
	b.Sheets = append(append(append(b.Sheets, Sheet{}), results...), kept...)
	b.Sheets[0] = about(s, o, b, none)
	return b
}

// nothingFor says in a clause what a table of results without rows has nothing of.
func nothingFor(name string) string {
	switch name {
	case "Readings", "Readings and OM":
		return "there are no readings for it, or too few"
	case "Rounds", "Trends", "Evenness", "Green levels", "Material", "Material change":
		return "there are no rounds for it, or too few"
	case "Composites", "Uncertainty", "Furnace runs", "Controls":
		return "nothing was weighed and burnt for it"
	case "Sieve sizes", "Sieve curves", "Sieve classes", "Sieve limits":
		return "nothing was sieved for it"
	case "Seasons", "Log":
		return "no work is on record"
	case "Flows", "Levers", "Sand to hold ahead":
		return "the profile model cannot say it yet"
	}
	return "what is on record does not say it yet"
}

// about is the first sheet: what this is, what each sheet holds, what the numbers mean.
func about(s *app.Standing, o Options, b *Book, none []string) Sheet {
	out := Sheet{Name: "About", Plain: true, Columns: []Column{{Head: "Underfoot"}, {Head: b.Title}, {Head: "rows", Kind: Whole}}}
	say := func(name, text string) { out.Rows = append(out.Rows, []any{cell(Text, name), cell(Text, text), nil}) }
	say("Course", s.Records.Course.Title())
	if len(s.Bench)+len(s.Done)+len(s.Records.Readings) > 0 {
		out.Rows = append(out.Rows, []any{"Last record", s.AsOf, nil})
	}
	if !o.When.IsZero() {
		out.Rows = append(out.Rows, []any{"Made on", underfoot.DateOf(o.When), nil})
	}
	say("Made by", o.Author)
	say("Program", strings.TrimSpace("Underfoot "+o.Version))
	say("Where it stands", s.Advice().Statement())
	for _, n := range s.Notes {
		say("Note", n)
	}
	say("Units", "Stand in the header of each column, after the comma. Organic matter is percent of oven-dry mass; a point is one percent of it. Sand in mm is its depth over all greens; tonnes are dry unless “as delivered” is said. They are metric throughout, also for a reader whose pages are set to US customary units.")
	say("Intervals", "lower 90 and upper 90, 5 % and 95 %: in 9 cases of 10 the value lies between them. lower 95 and upper 95: in 19 of 20. s.e. and ± are one standard error or standard uncertainty. A middle is a median.")
	say("Chances", "Are shares of one: 0.80 is 8 in 10.")
	say("Empty sheets", "Say under their header why they hold nothing.")
	say("Empty cells", "Not known, or it cannot be said. No number stands for it.")
	say("Numbers", "Are kept with 15 digits; how many of them are shown is a format.")
	say("Dates", "Are calendar days of the course.")
	for _, sheet := range b.Sheets[1:] {
		text := sheet.About
		if sheet.Empty != "" {
			text += " " + sheet.emptySays()
		}
		out.Rows = append(out.Rows, []any{sheet.Name, text, len(sheet.Rows)})
	}
	if len(none) > 0 {
		say("Nothing is recorded of", strings.Join(none, ", "))
	}
	return out
}

// greenOf gives the names of greens instead of their ids.
func greenOf(s *app.Standing) func(id string) string {
	return func(id string) string {
		if id == "" {
			return "all"
		}
		return s.GreenTitle(id)
	}
}

// logSheets are the seasons, and the log as it counts.
func logSheets(s *app.Standing) []Sheet {
	green := greenOf(s)
	list := slices.Concat(s.Done, s.Planned)
	slices.SortStableFunc(list, func(a, b app.Done) int { return cmp.Compare(a.Work.Date, b.Work.Date) })
	type done = app.Done
	log := rowsOf(list).
		day("date", func(d *done) any { return d.Work.Date }).
		text("entry", func(d *done) string { return d.Work.ID }).
		text("status", func(d *done) string {
			if d.Work.Planned() {
				return "planned"
			}
			return "done"
		}).
		text("what", func(d *done) string { return app.KindName(d.Work.Kind) }).
		text("green", func(d *done) string { return green(d.Work.Green) }).
		number("share of the area", 2, func(d *done) any { return d.Share }).
		text("sand", func(d *done) string { return d.Work.Sand }).
		number("sand on top, mm", 2, func(d *done) any { return d.SurfaceMM }).
		number("sand in holes and injected, mm", 2, func(d *done) any { return d.DeepMM }).
		number("sand in the top layer, mm", 2, func(d *done) any { return d.TopMM }).
		number("sand, kg/m²", 3, func(d *done) any { return d.SandKgM2 }).
		number("sand, dry t", 1, func(d *done) any {
			if s.AreaM2 == 0 {
				return nil
			}
			return d.TonnesOver(s.AreaM2)
		}).
		number("opened, share of the worked surface", 4, func(d *done) any { return d.Opened }).
		yesNo("cores taken off", func(d *done) bool { return d.Removed }).
		number("depth, mm", 0, func(d *done) any { return d.Work.DepthMM }).
		number("nitrogen, kg/ha", 1, func(d *done) any { return d.Work.NitrogenKgHa }).
		number("clippings, L/100 m²", 1, func(d *done) any { return d.Work.ClippingsL100M2 }).
		number(money(s.Sand.Currency, "cost"), 2, func(d *done) any { return d.Work.Cost }).
		number("labour, h", 1, func(d *done) any { return d.Work.LabourH }).
		text("note", func(d *done) string { return d.Work.Note }).
		sheet("Log", "Every entry of the log of the greens, done and planned, with what it comes to over the whole course.")
	type season = app.Season
	seasons := rowsOf(s.Seasons).
		whole("year", func(e *season) int { return e.Year }).
		number("sand on top, mm", 1, func(e *season) any { return e.SurfaceMM }).
		number("sand in holes and injected, mm", 1, func(e *season) any { return e.DeepMM }).
		number("sand in the top layer, mm", 1, func(e *season) any { return e.TopMM }).
		number("sand, kg/m²", 2, func(e *season) any { return e.SandKgM2 }).
		number("sand, dry t", 1, func(e *season) any {
			if s.AreaM2 == 0 {
				return nil
			}
			return e.SandKgM2 * s.AreaM2 / 1000
		}).
		whole("dressings", func(e *season) int { return e.Dressings }).
		number("opened, share of the surface", 4, func(e *season) any { return e.Opened }).
		number("of it cored out, share", 4, func(e *season) any { return e.Cored }).
		number("nitrogen, kg/ha", 1, func(e *season) any { return e.NitrogenKgHa }).
		number(money(s.Sand.Currency, "cost"), 2, func(e *season) any { return e.Cost }).
		number("labour, h", 1, func(e *season) any { return e.LabourH }).
		sheet("Seasons", "What was done in each calendar year, the mean over the course.")
	return []Sheet{seasons, log}
}

// money heads a column of money in a currency that may not be known.
func money(currency, what string) string {
	if currency = strings.TrimSpace(currency); currency != "" {
		return what + ", " + currency
	}
	return what
}
