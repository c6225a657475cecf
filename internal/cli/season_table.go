package cli

import (
	"fmt"
	"io"
	"slices"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

// print tells the plan to people: the answer first, then the work, what it does, what else there is, and care.
func (c *seasonCommand) print(env *Env, plan *app.SeasonPlan, f *app.SeasonFound) {
	w := env.Stdout
	s := plan.Search
	fmt.Fprintf(w, "Season plan of %s, %s to %s\n\n", f.Title, f.From, f.Until)
	for _, sentence := range f.Says {
		fmt.Fprintln(w, wrapped(sentence))
	}
	if p := plan.Proposed(); p != nil {
		printWork(w, plan, p)
		printMonths(w, plan, p)
	}
	printSeasonForecast(w, f)
	if f.Feasible {
		printOthers(w, f)
		printOrder(w, f)
		fmt.Fprintf(w, "\nSearch: %d plans judged in %s s; no plan of this kind weighs less than %s, disturbed days at %s each; this one %s (%s %% more at most).\n",
			f.Search.Judged, number(f.Search.Seconds, 1), number(f.Search.Bound, 0), number(f.Search.DayWorth, 0), number(f.Search.Weight, 0), number(100*f.Search.Gap, 1))
	}
	if c.Operations == "" {
		printCatalogue(w, s.Operations)
	}
	for _, n := range f.Notes {
		fmt.Fprintln(w, wrapped("note: "+n))
	}
	fmt.Fprintln(w, "\nCare")
	for _, caution := range f.Cautions {
		fmt.Fprintln(w, wrapped(caution))
	}
}

func printWork(w io.Writer, plan *app.SeasonPlan, p *season.Found) {
	what := "The work"
	if plan.Answer.Best == nil {
		what = "The nearest plan"
	}
	fmt.Fprintf(w, "\n%s, on all greens:\n", what)
	g := newGrid("date", "what", ">on top, mm", ">in holes, mm", ">sand, t", ">money", ">hours", ">disturbed days")
	for _, e := range p.Plan.Entries {
		cost := plan.CostOf(e)
		g.row(underfoot.Date(e.Day).String(), e.Operation.Name, number(e.SandMM, 2), number(cost.SandMM-e.SandMM, 1), number(cost.SandTonnes, 1), number(cost.Money(), 0),
			number(cost.Hours, 0), number(cost.Disturbed, 0))
	}
	all := p.Cost
	g.row("all", "", "", number(all.SandMM, 1), number(all.SandTonnes, 1), number(all.Money(), 0), number(all.Hours, 0), number(all.Disturbed, 0))
	g.print(w)
	nitrogen := 0.0
	for _, gift := range plan.Gifts {
		nitrogen += gift.NitrogenKgHa.Or(0)
	}
	if nitrogen > 0 {
		fmt.Fprintf(w, "It counts on the planned nitrogen: %s, %s kg/ha.\n", counted(len(plan.Gifts), "gift", "gifts"), number(nitrogen, 0))
	}
}

func printMonths(w io.Writer, plan *app.SeasonPlan, p *season.Found) {
	if len(p.Plan.Entries) == 0 {
		return
	}
	fmt.Fprintln(w, "\nBy month:")
	g := newGrid("month", ">sand, t", ">sand", ">contract", ">fuel", ">labour", ">together", ">hours")
	for _, m := range p.Plan.CostByMonth(plan.Search.Prices, plan.Search.Calendar) {
		g.row(fmt.Sprintf("%d-%02d", m.Year, int(m.Month.Month)), number(m.SandTonnes, 1), number(m.Sand, 0), number(m.Contract, 0), number(m.Fuel, 0), number(m.Labour, 0), number(m.Money(), 0), number(m.Hours, 0))
	}
	g.print(w)
}

// printSeasonForecast sets the layers at the end beside one another: as planned, and otherwise.
func printSeasonForecast(w io.Writer, f *app.SeasonFound) {
	fmt.Fprintf(w, "\nOrganic matter on %s, %% of oven-dry mass, mean of the greens (9 in 10):\n", f.Until)
	columns := []struct {
		head string
		rows []app.ForecastRow
	}{{"as planned", f.Forecast}, {"half done", otherwise(f.Half)}, {"hot summers", otherwise(f.Hot)}, {"nothing done", otherwise(f.Nothing)}}
	if !f.Feasible {
		columns = columns[3:]
		if f.Nearest != nil {
			columns = slices.Insert(columns, 0, struct {
				head string
				rows []app.ForecastRow
			}{"nearest plan", f.Nearest.Forecast})
		}
	}
	heads := []string{"layer", ">wanted"}
	for _, c := range columns {
		heads = append(heads, ">"+c.head)
	}
	g := newGrid(heads...)
	cell := func(rows []app.ForecastRow, top float64) string {
		for _, r := range rows {
			if r.Green == "" && r.TopMM == top && r.Date == f.Until {
				return number(r.Q50, 1) + " (" + number(r.Q05, 1) + " to " + number(r.Q95, 1) + ")"
			}
		}
		return "–"
	}
	for _, r := range f.Forecast {
		if r.Green != "" || r.Date != f.Until {
			continue
		}
		wanted := ""
		for _, b := range f.Bands {
			if b.TopMM == r.TopMM && b.BottomMM == r.BottomMM && b.On == f.Until {
				wanted = number(b.Low, 1) + " to " + number(b.High, 1)
			}
		}
		row := []string{underfoot.LayerName(r.TopMM, r.BottomMM), wanted}
		for _, c := range columns {
			row = append(row, cell(c.rows, r.TopMM))
		}
		g.row(row...)
	}
	g.print(w)
}

func otherwise(x *app.SeasonWhatIf) []app.ForecastRow {
	if x == nil {
		return nil
	}
	return x.Forecast
}

func printOthers(w io.Writer, f *app.SeasonFound) {
	fmt.Fprintln(w, "\nOther plans that do it, and the same one with less and more sand:")
	g := newGrid("plan", ">sand, mm", ">money", ">disturbed days", ">of 100 in the bands")
	g.row("this one: "+f.Name, number(f.SandMM, 1), number(f.Cost, 0), number(f.Disturbed, 0), number(100*f.Probability, 0))
	for _, o := range f.Others {
		g.row(o.Name, number(o.SandMM, 1), number(o.Cost, 0), number(o.Disturbed, 0), number(100*o.Probability, 0))
	}
	for _, x := range f.Curve {
		g.row("  other sand", number(x.SandMM, 1), number(x.Cost, 0), number(x.Disturbed, 0), number(100*x.Probability, 0))
	}
	g.print(w)
}

func printOrder(w io.Writer, f *app.SeasonFound) {
	o := f.Order
	if o.NeededT == 0 {
		return
	}
	fmt.Fprintf(w, "\nSand order: %s t of %s as delivered, %s t of it lost on the way; ordered %s t", number(o.NeededT, 1), o.Sand, number(o.LossesT, 1), number(o.OrderedT, 1))
	if o.Loads > 0 {
		fmt.Fprintf(w, " in %s", counted(o.Loads, "load", "loads"))
	}
	fmt.Fprintf(w, ", %s over, %s %s\n", number(o.LeftT, 1), number(o.Cost, 0), f.Currency)
	g := newGrid("comes on", ">loads", ">t", ">money", "for work from", ">then stored, t")
	for _, d := range o.Deliveries {
		loads := "–"
		if d.Loads > 0 {
			loads = fmt.Sprint(d.Loads)
		}
		g.row(d.Date, loads, number(d.T, 1), number(d.Cost, 0), d.Before, number(d.StoredT, 1))
	}
	g.print(w)
	for _, says := range o.Grains {
		fmt.Fprintln(w, wrapped(says))
	}
}

func printCatalogue(w io.Writer, list []season.Operation) {
	fmt.Fprintln(w, "\nThe plan could choose from these; --print-operations writes them to be edited:")
	g := newGrid("id", "what", ">sand, mm", ">contract", ">fuel", ">h/ha", ">disturbed days", ">least growth", ">days apart", ">a season")
	for _, o := range list {
		most := "–"
		if o.PerSeason > 0 {
			most = fmt.Sprint(o.PerSeason)
		}
		g.row(o.ID, o.Name, number(o.SandLow, 2)+" to "+number(o.SandHigh, 2), number(o.Contract, 0), number(o.Fuel, 0), number(o.Labour, 0), number(o.Disturbed, 1),
			number(o.Growth, 2), fmt.Sprint(o.Spacing), most)
	}
	g.print(w)
}
