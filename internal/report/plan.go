package report

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"underfoot/internal/app"
	"underfoot/internal/figure"
)

// toCome is the work to come on the surface of the report that sand or tines do, by date, as it is on record.
func (b *builder) toCome() []app.Done {
	var out []app.Done
	for _, d := range b.s.PlanOnRecord().Work {
		if d.SandMM() > 0 || d.Opened > 0 {
			out = append(out, d)
		}
	}
	return out
}

// planFrom says where the plan was taken from.
func (b *builder) planFrom() string {
	if name := b.s.PlanOnRecord().Name; name != "" {
		return "the kept plan “" + name + "”"
	}
	return "the work planned in the log"
}

// plan shows the work to come, week by week, and what it amounts to; without any on record, the advice.
func (b *builder) plan() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "The plan"}
	work := b.toCome()
	if len(work) == 0 {
		section.Blocks = []Block{Text{Words: b.noPlan()}}
		return section
	}
	section.Blocks = []Block{b.planFigure(work), b.planTable(work)}
	return section
}

// noPlan is what there is to say without a plan.
func (b *builder) noPlan() string {
	words := "No dated plan is on record yet."
	if b.advised() && !b.s.Advice().Top.NoneNeeded {
		words += " The advice: " + lowerFirst(b.askSand())
	}
	return words + " A season plan that is accepted, or work entered as planned, stands here with its dates."
}

// planFigure draws the work over its years.
func (b *builder) planFigure(work []app.Done) Figure {
	first, last := work[0].Work.Date.Time(), work[len(work)-1].Work.Date.Time()
	year := figure.SeasonYear{From: time.Date(first.Year(), 1, 1, 0, 0, 0, 0, time.UTC), Until: time.Date(last.Year(), 12, 31, 0, 0, 0, 0, time.UTC), Width: wide}
	year.Height = 22 + 80*float64(last.Year()-first.Year()+1)
	for _, d := range work {
		year.Work = append(year.Work, figure.YearWork{At: d.Work.Date.Time(), SandMM: d.SandMM(), Opens: d.Opened > 0, Name: app.KindName(d.Work.Kind)})
	}
	for _, c := range b.s.Records.Closings {
		if c.Why == "tournament" {
			year.Tournaments = append(year.Tournaments, c.From.Time())
			continue
		}
		year.Closed = append(year.Closed, figure.YearSpan{From: c.From.Time(), Until: c.Until.Time()})
	}
	sure := "Bars: sand by day, in holes too, mm; tines: the surface is opened. From " + b.planFrom() + "; weather decides the day."
	return Figure{Number: b.figure(), Says: b.planSays(work), Sure: sure, Panels: []Panel{{Scene: year.Scene()}}}
}

// planSays counts the work: "Five dressings and one coring from 23 March to 25 May 2027: 3.9 mm of sand."
func (b *builder) planSays(work []app.Done) string {
	var parts []string
	mm := 0.0
	for _, g := range byKind(work) {
		names := map[string][2]string{
			"topdress": {"dressing", "dressings"}, "hollow_core": {"coring", "corings"}, "solid_tine": {"solid tining", "solid tinings"},
			"scarify": {"scarifying", "scarifyings"}, "inject_sand": {"sand injection", "sand injections"},
		}
		n, ok := names[g[0].Work.Kind]
		if !ok {
			n = [2]string{"other piece of work", "other pieces of work"}
		}
		parts = append(parts, count(len(g), n[0], n[1]))
		for _, d := range g {
			mm += d.SandMM()
		}
	}
	words := fmt.Sprintf("%s %s", upper(list(parts)), fromTo(work))
	if mm > 0 {
		words += fmt.Sprintf(": %s mm of sand", num(mm, 1))
	}
	return words + "."
}

// fromTo gives the days of work: "on 6 April 2027", "from 6 April to 25 May 2027".
func fromTo(work []app.Done) string {
	a, z := work[0].Work.Date.Time(), work[len(work)-1].Work.Date.Time()
	switch {
	case a.Equal(z):
		return "on " + day(a)
	case a.Year() == z.Year():
		return "from " + a.Format("2 January") + " to " + day(z)
	}
	return "from " + day(a) + " to " + day(z)
}

// byKind parts work by its kind, in the order kinds first come.
func byKind(work []app.Done) [][]app.Done {
	var out [][]app.Done
	for _, d := range work {
		i := slices.IndexFunc(out, func(g []app.Done) bool { return g[0].Work.Kind == d.Work.Kind })
		if i < 0 {
			out = append(out, nil)
			i = len(out) - 1
		}
		out[i] = append(out[i], d)
	}
	return out
}

// planTable is the work by kind; the crew sheet has every day.
func (b *builder) planTable(work []app.Done) Table {
	t := Table{
		Caption: "The work by kind",
		Columns: []Column{{"Work", false}, {"Times", true}, {"Days", false}, {"Sand each time, mm", true}, {"Sand, mm", true}, {"Dry sand, t", true}},
	}
	cost := slices.ContainsFunc(work, func(d app.Done) bool { return d.Work.Cost.Known })
	if cost {
		t.Columns = append(t.Columns, Column{strings.TrimRight("Cost, "+b.currency(), ", "), true})
	}
	var mm, kg, money float64
	for _, g := range byKind(work) {
		var sum, mass, paid float64
		low, high := math.Inf(1), 0.0
		for _, d := range g {
			sum, mass, paid = sum+d.SandMM(), mass+d.SandKgM2, paid+d.Work.Cost.Or(0)
			low, high = min(low, d.SandMM()), max(high, d.SandMM())
		}
		each := some(high, 2)
		if high-low >= 0.005 {
			each = num(low, 2) + " to " + num(high, 2)
		}
		name := upper(app.KindName(g[0].Work.Kind))
		if setup := g[0].Setup(); setup != "" && sameSetup(g) {
			name += ", " + setup
		}
		row := []string{name, num(float64(len(g)), 0), daysOf(g), each, some(sum, 2), b.overArea(mass)}
		if cost {
			row = append(row, some(paid, 0))
		}
		t.Rows = append(t.Rows, row)
		mm, kg, money = mm+sum, kg+mass, money+paid
	}
	if a := b.s.Advice(); b.advised() && !a.Top.NoneNeeded && a.Top.Sand.Depth.Q50 > 1.1*mm {
		t.Note = fmt.Sprintf("The advice for a whole season is about %s; what is dated so far comes to %s mm.", middle(a.Top.Sand.Depth, 1, "mm"), num(mm, 1))
	}
	t.Total = []string{"In all", num(float64(len(work)), 0), "", "", num(mm, 2), b.overArea(kg)}
	if cost {
		t.Total = append(t.Total, num(money, 0))
	}
	return t
}

func sameSetup(g []app.Done) bool {
	return !slices.ContainsFunc(g, func(d app.Done) bool { return d.Setup() != g[0].Setup() })
}

// daysOf gives up to three days, else the first and the last.
func daysOf(g []app.Done) string {
	if len(g) > 3 {
		return shortDay(g[0].Work.Date.Time()) + " to " + shortDay(g[len(g)-1].Work.Date.Time())
	}
	var days []string
	for i, d := range g {
		if t := d.Work.Date.Time(); i < len(g)-1 && g[i+1].Work.Date.Year() == t.Year() {
			days = append(days, t.Format("2 Jan"))
		} else {
			days = append(days, shortDay(t))
		}
	}
	return list(days)
}

// overArea gives a mass per area in tonnes over all greens of the report.
func (b *builder) overArea(kgM2 float64) string {
	switch {
	case kgM2 == 0:
		return "–"
	case b.s.AreaM2 <= 0:
		return "area not known"
	}
	return tonnes(kgM2 * b.s.AreaM2 / 1000)
}

// order is the sand to buy: for the plan on record, else for the advice.
func (b *builder) order() Section {
	if b.empty() || b.s.AreaM2 <= 0 {
		return Section{}
	}
	dry, why := 0.0, ""
	if work := b.toCome(); len(work) > 0 {
		for _, d := range work {
			dry += d.SandKgM2 * b.s.AreaM2 / 1000
		}
		why = "for " + b.planFrom()
	} else if b.advised() && !b.s.Advice().Top.NoneNeeded {
		dry, why = b.s.Advice().Top.Sand.Dry.Q50, "for a season of the advice"
	}
	if dry == 0 {
		return Section{}
	}
	return Section{Title: "The order", Blocks: []Block{b.orderTable(dry, why)}}
}

// orderTable goes from dry sand to what is delivered and paid.
func (b *builder) orderTable(dry float64, why string) Table {
	sand := &b.s.Sand
	water := sand.MoisturePercent.Or(0)
	delivered := dry * (1 + water/100)
	t := Table{
		Caption: fmt.Sprintf("%s, %s", sand.Title(), why), Columns: []Column{{"", false}, {"", true}},
		Rows: [][]string{{"Dry sand", tonnes(dry) + " t"}},
	}
	if sand.MoisturePercent.Known {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("As delivered, with %s %% of water", num(water, 1)), tonnes(delivered) + " t"})
	}
	if sand.LoadT.Known {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("Loads of %s t", num(sand.LoadT.Value, 1)), num(math.Ceil(delivered/sand.LoadT.Value-1e-9), 0)})
	}
	if sand.PricePerT.Known {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("At %s a tonne as delivered", b.money(sand.PricePerT.Value, 2)), b.money(delivered*sand.PricePerT.Value, 0)})
	}
	t.Note = "Nothing is added for losses, and nothing taken off for what lies in store."
	if !sand.MoisturePercent.Known {
		t.Note += " Its water as delivered is not on record: what is delivered weighs more."
	}
	return t
}
