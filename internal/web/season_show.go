package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// seasonView is a season plan on its way to a page.
type seasonView struct {
	s     *server
	st    *standing
	ask   *seasonAsk
	found *sought
	plan  *app.SeasonPlan
	rows  *seasonRows
	terms *seasonTerms
	style say.Style // of the reader
	kept  []keptRow // set side by side
}

// seasonOf puts the season plan of an address together: the question, and the answer where one was asked for.
func (s *server) seasonOf(r *http.Request, st *standing, q url.Values) (page.Season, *seasonView) {
	out := page.Season{Course: st.Records.Course.ID}
	m, err := st.Model()
	if err != nil {
		out.Why, out.Needs = page.Sentence(err.Error()), needsOf(st)
		return out, nil
	}
	if st.Direction.Verdict == findings.Unknown {
		out.Ask = true
		return out, nil
	}
	v := &seasonView{s: s, st: st, style: say.From(r.Context()), ask: newSeasonAsk(st, m, q, say.From(r.Context()))}
	if v.ask.asked {
		v.seek(r, m, q)
	}
	out.Form = v.ask.form()
	if v.plan != nil {
		out.Result = v.result()
		out.Kept = v.keptPlans()
	}
	if out.Gone = seasonGone(st); out.Gone != nil {
		out.Gone.Says = append(out.Gone.Says, v.rest()...)
	}
	return out, v
}

// seek looks for the plan that is asked for, and reads the rows of the address.
func (v *seasonView) seek(r *http.Request, m *app.Model, q url.Values) {
	ask := v.ask.read()
	if v.ask.faulty() {
		return
	}
	v.found = v.s.seasons.find(r.Context(), v.st, m, v.ask.query().Encode(), ask)
	if v.found.err != nil {
		v.ask.errors[""] = strings.TrimPrefix(v.found.err.Error(), "season: ")
		return
	}
	v.terms = readTerms(q)
	v.rows = readRows(q, v.found.plan)
	v.plan = v.rows.fed(v.found.plan).MoneyIn(v.ask.style.Currency)
	v.rows.read(v.plan)
}

// opens says the answer at the head of the page, and gives the status of the page.
func (v *seasonView) opens(p *page.Plan) int {
	if v.plan == nil {
		p.Statement = "No plan yet: the question needs another look."
		return http.StatusUnprocessableEntity
	}
	a := v.plan.Answer
	if a.Best == nil {
		p.Statement = "No plan does what is wanted."
		p.Because = page.Sentence(a.Unmet)
		return http.StatusOK
	}
	p.Statement = v.headline(a.Best)
	if v.rows.edited && !v.asFound() {
		p.Because = "This is the plan as it was found; the work below has been changed by hand."
	}
	return http.StatusOK
}

// asFound says whether the work as typed is that which was found.
func (v *seasonView) asFound() bool {
	found := &seasonRows{}
	found.set(v.plan.Answer.Best.Plan)
	return v.rows.nitrogen == nitrogenText(v.found.plan.Nitrogen) && slices.Equal(found.date, v.rows.date) && slices.Equal(found.op, v.rows.op) && slices.Equal(found.mm, v.rows.mm)
}

// headline is a plan in one sentence.
func (v *seasonView) headline(f *season.Found) string {
	opened, dressed := 0, 0
	for _, e := range f.Plan.Entries {
		switch e.Operation.Kind {
		case season.Topdress, season.InjectSand:
			dressed++
		default:
			opened++
		}
	}
	if opened+dressed == 0 {
		return "Nothing has to be done beyond what is in the log."
	}
	s := "no dressing"
	if dressed > 0 {
		s = fmt.Sprintf("%s mm of sand in %s", page.Num(f.Cost.SandMM, 1), page.CountWords(dressed, "dressing", "dressings"))
	}
	if opened > 0 {
		s += " and " + page.CountWords(opened, "opening of the surface", "openings of the surface")
		if dressed > 0 {
			s = fmt.Sprintf("%s mm of sand: %s and %s", page.Num(f.Cost.SandMM, 1), page.CountWords(dressed, "dressing", "dressings"), page.CountWords(opened, "opening of the surface", "openings of the surface"))
		}
	}
	return upperFirst(s) + "."
}

// result says everything about the plan.
func (v *seasonView) result() *page.SeasonResult {
	p, a, w := v.found.plan, v.plan.Answer, v.found.what
	out := &page.SeasonResult{Found: a.Best != nil, Notes: inWords(p.AllNotes()), Cautions: p.Cautions()}
	if best := p.Proposed(); best != nil {
		out.Chance = chanceOf(best.Probability)
		out.Facts = v.facts(best.Cost)
		out.Says = append(out.Says, upperFirst(p.Does(&best.Plan))+".", "Then "+p.Lies(w.Plan)+" on "+page.Day(p.Until().Time())+".")
		if p.Nitrogen > 0 {
			out.Says = append(out.Says, fmt.Sprintf("It counts on %s kg/ha of nitrogen a season, instead of what is planned.", page.Num(p.Nitrogen, 0)))
		}
	}
	out.Bench = v.bench()
	out.Plans, out.PlansNote = v.plans()
	if len(a.Curve) > 1 {
		out.Tradeoff = v.tradeoff()
	}
	for _, l := range a.Limits {
		if l.Saves > 0 {
			out.Limits = append(out.Limits, fmt.Sprintf("The limit on %s binds: without it the plan takes about %s less, disturbed days reckoned in.", l.Name, p.Money(l.Saves)))
		} else {
			out.Limits = append(out.Limits, fmt.Sprintf("The limit on %s does not bind.", l.Name))
		}
	}
	out.Order, out.Terms = v.order(), v.terms.fields()
	out.Otherwise = v.otherwise()
	out.Searched = v.searched()
	return out
}

// searched says how sure it is that nothing better was missed.
func (v *seasonView) searched() string {
	a, aim := v.plan.Answer, v.plan.Search.Aim
	s := fmt.Sprintf("%s looked at by real runs", page.Count(a.Judged, "plan was", "plans were"))
	if a.Best == nil {
		return s + "."
	}
	if a.Gap < 0.0005 {
		return s + fmt.Sprintf("; by what the search reckons no plan of the kind costs less, a disturbed day reckoned at %s.", v.plan.Money(aim.DayWorth))
	}
	return s + fmt.Sprintf("; a plan of the kind could be at most %s %% cheaper, a disturbed day reckoned at %s.", page.Num(100*a.Gap, 1), v.plan.Money(aim.DayWorth))
}

// order is the sand to buy for the work as typed, and what each month takes; nil without work that can be read.
func (v *seasonView) order() *page.SeasonOrder {
	p, plan := v.plan, v.rows.plan
	if len(v.rows.errors) > 0 {
		return nil
	}
	if len(plan.Entries) == 0 {
		return &page.SeasonOrder{Says: "There is no work, so no sand is ordered."}
	}
	for _, text := range v.terms.errors {
		if text != "" {
			return &page.SeasonOrder{Says: "Not ordered yet: something in the terms needs another look."}
		}
	}
	o, err := p.OrderOn(plan, v.terms.storageT, v.terms.lead, v.terms.on)
	if err != nil {
		return &page.SeasonOrder{Says: page.Sentence(strings.TrimPrefix(err.Error(), "sand order: "))}
	}
	out := &page.SeasonOrder{Says: fmt.Sprintf("%s t of sand as delivered are needed, %s t dry on the greens and %s t lost on the way; ordered %s t for %s.", page.Tonnes(o.Tonnes), page.Tonnes(o.DryTonnes),
		page.Tonnes(o.Losses), page.Tonnes(o.Ordered), p.Money(o.Money))}
	out.Deliveries = page.Table{Caption: p.Sand.Title(), Head: []string{"Delivered by", "For work from", "Loads", "t", costHead(p), "On the course, t"}, Left: 2}
	for _, d := range o.Deliveries {
		loads := "–"
		if d.Loads > 0 {
			loads = page.Num(float64(d.Loads), 0)
		}
		out.Deliveries.Rows = append(out.Deliveries.Rows, page.Row{Cells: []string{
			page.PlainDay(underfoot.Date(d.Day).Time()), page.PlainDay(underfoot.Date(d.Before).Time()), loads, page.Num(d.Tonnes, 1), page.Num(d.Money, 0), page.Num(d.Stored, 1),
		}})
	}
	out.Grains = append(inWords(o.Notes), p.Grains()...)
	out.Months = page.Table{Caption: "What each month takes", Head: []string{"Month", "Work", "Sand, mm", "Crew, h", costHead(p)}}
	for _, m := range plan.CostByMonth(p.Search.Prices, p.Search.Calendar) {
		out.Months.Rows = append(out.Months.Rows, page.Row{Cells: []string{
			fmt.Sprintf("%s %d", m.Month.Month.String()[:3], m.Year), page.Num(float64(m.Events), 0), page.Num(m.SandMM, 1), page.Num(m.Hours, 0), page.Num(m.Money(), 0),
		}})
	}
	c := plan.Cost(p.Search.Prices, p.Search.Calendar)
	out.Months.Rows = append(out.Months.Rows, page.Row{Total: true, Cells: []string{"In all", page.Num(float64(len(plan.Entries)), 0), page.Num(c.SandMM, 1), page.Num(c.Hours, 0), page.Num(c.Money(), 0)}})
	return out
}

// otherwise is what happens otherwise than planned.
func (v *seasonView) otherwise() []page.Word {
	p, w := v.plan, v.found.what
	var out []page.Word
	add := func(name string, r *app.Rehearsed) {
		if r != nil {
			words, _ := findings.Chance(r.Probability)
			out = append(out, page.Word{Word: name, Means: upperFirst(p.Lies(r)) + "; all of it comes about in " + words + "."})
		}
	}
	add("Only half of it is done", w.Half)
	add("Every summer is like the hottest on record here", w.Hot)
	add("Nothing is done", w.Nothing)
	return out
}

// facts are what a plan takes.
func (v *seasonView) facts(c season.Cost) []page.Fact {
	return []page.Fact{
		{Name: "Sand, as delivered", Value: page.Tonnes(c.SandTonnes), Unit: "t", Note: page.Num(c.SandMM, 1) + " mm"},
		{Name: "Cost", Value: page.Num(c.Money(), 0), Unit: v.plan.Currency(), Note: fmt.Sprintf("sand %s, contract %s, fuel %s, labour %s", page.Num(c.Sand, 0), page.Num(c.Contract, 0), page.Num(c.Fuel, 0), page.Num(c.Labour, 0))},
		{Name: "Disturbed", Value: page.Num(c.Disturbed, 0), Unit: "days", Note: page.Num(c.Hours, 0) + " crew hours"},
	}
}

// costHead heads a column of money.
func costHead(p *app.SeasonPlan) string {
	if p.Currency() == "" {
		return "Cost"
	}
	return "Cost, " + p.Currency()
}

func chanceOf(p float64) page.Chance {
	words, _ := findings.Chance(p)
	return chance(words, p)
}

// plans sets the plan and those of other kinds side by side.
func (v *seasonView) plans() (page.Table, string) {
	p, a := v.plan, v.plan.Answer
	t := page.Table{Head: []string{"Plan", "Sand, mm", "t", costHead(p), "Crew, h", "Disturbed days"}}
	for _, wanted := range p.Search.Aim.Wanted {
		t.Head = append(t.Head, underfoot.LayerName(wanted.Layer.Top, wanted.Layer.Bottom)+", %")
	}
	t.Head = append(t.Head, "Chance")
	row := func(name string, f *season.Found, total bool) {
		c := f.Cost
		cells := []string{name, page.Num(c.SandMM, 1), page.Tonnes(c.SandTonnes), page.Num(c.Money(), 0), page.Num(c.Hours, 0), page.Num(c.Disturbed, 0)}
		for _, mid := range f.Middle {
			cells = append(cells, page.Num(100*mid, 1))
		}
		words, _ := findings.Chance(f.Probability)
		t.Rows = append(t.Rows, page.Row{Total: total, Cells: append(cells, words)})
	}
	if a.Best != nil {
		row("This plan: "+a.Best.Name, a.Best, true)
	} else if a.Nearest != nil {
		row("The nearest: "+a.Nearest.Name, a.Nearest, true)
	}
	for i := range a.Others {
		row(upperFirst(a.Others[i].Name), &a.Others[i], false)
	}
	row("Nothing is done", &a.Nothing, false)
	for i := range t.Rows[:len(t.Rows)-1] { // the letters of the figure
		t.Rows[i].Cells[0] = letter(i) + "  " + t.Rows[i].Cells[0]
	}
	return t, "Organic matter is the middle, on " + page.Day(p.Until().Time()) + ", of the draws by which plans are compared; the forecast above runs every member and green, and may differ a little."
}

// tradeoff draws the chance against the sand.
func (v *seasonView) tradeoff() *page.Figure {
	a := v.plan.Answer
	f := figure.Tradeoff{XName: v.style.Unit("mm") + " of sand in all", Decimals: 1 + measured(v.style).Decimals, Wanted: v.plan.Search.Aim.Probability}
	t := page.Table{Head: []string{"Sand, mm", costHead(v.plan), "Disturbed days", "Chance"}, Left: 0}
	for _, c := range a.Curve {
		q := figure.TradePoint{X: v.style.Value(c.Cost.SandMM, "mm"), Chance: c.Probability, Chosen: math.Abs(c.Cost.SandMM-a.Best.Cost.SandMM) < 0.01}
		if q.Chosen {
			q.Name = letter(0)
		}
		f.Curve = append(f.Curve, q)
		words, _ := findings.Chance(c.Probability)
		t.Rows = append(t.Rows, page.Row{Total: q.Chosen, Cells: []string{page.Num(c.Cost.SandMM, 1), page.Num(c.Cost.Money(), 0), page.Num(c.Cost.Disturbed, 0), words}})
	}
	for i, o := range a.Others {
		f.Others = append(f.Others, figure.TradePoint{X: v.style.Value(o.Cost.SandMM, "mm"), Chance: o.Probability, Name: letter(i + 1)})
	}
	narrow := f
	narrow.Width = figure.PhoneWidth
	return &page.Figure{Picture: page.Draw(f.Scene(), narrow.Scene()), Says: v.tradeSays(), Table: &t, Note: "The line is plan A with less and with more sand; open dots are the other plans, by their letters above."}
}

// tradeSays says what more and less sand than the plan's brings.
func (v *seasonView) tradeSays() string {
	a := v.plan.Answer
	var less, more *season.Found
	for i := range a.Curve {
		c := &a.Curve[i]
		switch {
		case c.Cost.SandMM < a.Best.Cost.SandMM-0.01:
			less = c // the nearest below
		case c.Cost.SandMM > a.Best.Cost.SandMM+0.01 && more == nil:
			more = c
		}
	}
	var parts []string
	say := func(c *season.Found) {
		words, _ := findings.Chance(c.Probability)
		parts = append(parts, fmt.Sprintf("with %s mm it is %s", page.Num(c.Cost.SandMM, 1), words))
	}
	if less != nil {
		say(less)
	}
	if more != nil {
		say(more)
	}
	words, _ := findings.Chance(a.Best.Probability)
	s := fmt.Sprintf("%s mm of sand bring it about in %s", page.Num(a.Best.Cost.SandMM, 1), words)
	if parts != nil {
		s += "; " + strings.Join(parts, ", ")
	}
	return s + "."
}

// inPercent turns a modelled estimate into one of a figure.
func inPercent(e calibrate.Estimate) figure.Estimate {
	return figure.Estimate{
		Mid: 100 * e.Q50, Outer: figure.Interval{Low: 100 * e.Q05, High: 100 * e.Q95}, Inner: figure.Interval{Low: 100 * e.Q25, High: 100 * e.Q75},
	}
}

// letter names a plan of the table and the figure.
func letter(i int) string { return string(rune('A' + i)) }
