package workbook

import (
	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

// planSheets are a season plan: its dated work with cost, by month, beside the others, what it brings, and the sand to order.
func planSheets(o Options, why map[string]string) []Sheet {
	f := &app.SeasonFound{}
	var entries []season.Entry
	cost := func(season.Entry) season.Cost { return season.Cost{} }
	if o.Plan != nil {
		f = o.Plan.Found
		cost = o.Plan.Season.CostOf
		if best := o.Plan.Season.Proposed(); best != nil {
			entries = best.Plan.Entries
		}
	}
	if f.Order == nil {
		f.Order = &app.OrderFound{}
	}
	for _, name := range []string{"Plan", "Plan by month", "Plans compared", "Plan bands", "Plan forecast", "Sand order"} {
		why[name] = o.WhyNot
	}
	return []Sheet{workSheet(f, entries, cost), monthSheet(f), plansSheet(f), bandSheet(f), planForecast(f), orderSheet(f)}
}

func workSheet(f *app.SeasonFound, entries []season.Entry, cost func(season.Entry) season.Cost) Sheet {
	type row struct {
		season.Entry
		cost season.Cost
	}
	rows := make([]row, len(entries))
	for i, e := range entries {
		rows[i] = row{e, cost(e)}
	}
	about := "The dated work of the plan on all greens, with what each day takes."
	if f.Name != "" && !f.Feasible {
		about = "No plan does what is wanted; this is the nearest, with what each day takes."
	}
	return rowsOf(rows).
		day("date", func(r *row) any { return underfoot.Date(r.Day) }).
		text("what", func(r *row) string { return r.Operation.Name }).
		number("sand on top, mm", 2, func(r *row) any { return r.SandMM }).
		number("sand in all, mm", 2, func(r *row) any { return r.cost.SandMM }).
		number("sand, t as delivered", 2, func(r *row) any { return r.cost.SandTonnes }).
		number(money(f.Currency, "sand"), 2, func(r *row) any { return r.cost.Sand }).
		number(money(f.Currency, "contract"), 2, func(r *row) any { return r.cost.Contract }).
		number(money(f.Currency, "fuel"), 2, func(r *row) any { return r.cost.Fuel }).
		number(money(f.Currency, "labour"), 2, func(r *row) any { return r.cost.Labour }).
		number(money(f.Currency, "together"), 2, func(r *row) any { return r.cost.Money() }).
		number("labour, h", 1, func(r *row) any { return r.cost.Hours }).
		number("disturbed days", 1, func(r *row) any { return r.cost.Disturbed }).
		sheet("Plan", about)
}

func monthSheet(f *app.SeasonFound) Sheet {
	type row = app.MonthFound
	return rowsOf(f.Months).
		day("month begins", func(r *row) any { return r.Month + "-01" }).
		whole("pieces of work", func(r *row) int { return r.Events }).
		number("sand in all, mm", 2, func(r *row) any { return r.SandMM }).
		number("sand, t as delivered", 2, func(r *row) any { return r.SandT }).
		number(money(f.Currency, "sand"), 2, func(r *row) any { return r.Sand }).
		number(money(f.Currency, "contract"), 2, func(r *row) any { return r.Contract }).
		number(money(f.Currency, "fuel"), 2, func(r *row) any { return r.Fuel }).
		number(money(f.Currency, "labour"), 2, func(r *row) any { return r.Labour }).
		number(money(f.Currency, "together"), 2, func(r *row) any { return r.Cost }).
		number("labour, h", 1, func(r *row) any { return r.Hours }).
		number("disturbed days", 1, func(r *row) any { return r.Disturbed }).
		sheet("Plan by month", "What each month of the plan takes.")
}

// plansSheet sets the plan beside others, and beside itself with less and more sand.
func plansSheet(f *app.SeasonFound) Sheet {
	var rows []app.SeasonOther
	if f.Feasible {
		rows = append(rows, app.SeasonOther{Name: "this plan: " + f.Name, SandMM: f.SandMM, SandT: f.SandT, Cost: f.Cost, Disturbed: f.Disturbed, Probability: f.Probability})
	} else if f.Nearest != nil {
		rows = append(rows, *f.Nearest)
		rows[0].Name = "the nearest: " + f.Nearest.Name
	}
	rows = append(rows, f.Others...)
	type row = app.SeasonOther
	t := rowsOf(rows).
		text("plan", func(r *row) string { return r.Name }).
		number("sand in all, mm", 2, func(r *row) any { return r.SandMM }).
		number("sand, t as delivered", 2, func(r *row) any { return r.SandT }).
		number(money(f.Currency, "cost"), 2, func(r *row) any { return r.Cost }).
		number("disturbed days", 1, func(r *row) any { return r.Disturbed }).
		chance("chance of all that is wanted", func(r *row) any { return r.Probability })
	s := t.sheet("Plans compared", "The plan, the best of other kinds, and the plan with less and more sand.")
	for _, c := range f.Curve {
		s.Rows = append(s.Rows, []any{"other sand", c.SandMM, nil, c.Cost, c.Disturbed, c.Probability})
	}
	return s
}

func bandSheet(f *app.SeasonFound) Sheet {
	type row = app.WantedFound
	return rowsOf(f.Bands).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM }).
		day("on", func(r *row) any { return r.On }).
		number("wanted at least, %", 2, func(r *row) any { return r.Low }).
		number("wanted at most, %", 2, func(r *row) any { return r.High }).
		chance("chance", func(r *row) any { return r.Probability }).
		sheet("Plan bands", "Where the plan is to bring the layers, and how likely it does.")
}

// planForecast is where the layers lie at the end: as planned, and otherwise.
func planForecast(f *app.SeasonFound) Sheet {
	type row = struct {
		what string
		app.ForecastRow
	}
	var rows []row
	add := func(what string, list []app.ForecastRow) {
		for _, r := range list {
			if r.Green == "" {
				rows = append(rows, row{what, r})
			}
		}
	}
	if f.Feasible {
		add("as planned", f.Forecast)
	} else if f.Nearest != nil {
		add("the nearest plan", f.Nearest.Forecast)
	}
	for _, x := range []struct {
		what string
		does *app.SeasonWhatIf
	}{{"half of it is done", f.Half}, {"every summer is the hottest of the course's own", f.Hot}, {"nothing is done", f.Nothing}} {
		if x.does != nil {
			add(x.what, x.does.Forecast)
		}
	}
	t := rowsOf(rows).
		text("if", func(r *row) string { return r.what }).
		day("date", func(r *row) any { return r.Date }).
		layer(func(r *row) (float64, float64) { return r.TopMM, r.BottomMM })
	foretold(t, func(r *row) *app.ForecastRow { return &r.ForecastRow })
	return t.sheet("Plan forecast", "Where the layers lie with the plan, and otherwise than planned, the mean of the greens.")
}

func orderSheet(f *app.SeasonFound) Sheet {
	type row = app.DeliveryFound
	return rowsOf(f.Order.Deliveries).
		day("comes on", func(r *row) any { return r.Date }).
		text("sand", func(*row) string { return f.Order.Sand }).
		whole("loads", func(r *row) int { return r.Loads }).
		number("delivered, t", 2, func(r *row) any { return r.T }).
		number(money(f.Currency, "cost"), 2, func(r *row) any { return r.Cost }).
		day("for work from", func(r *row) any { return r.Before }).
		number("then on the course, t", 2, func(r *row) any { return r.StoredT }).
		sheet("Sand order", "Sand to order for the plan, a delivery a row.")
}
