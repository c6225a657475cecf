package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// showRehearsal says what the work as typed would do: the part of the plan page that changes with it.
func (s *server) showRehearsal(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	_, v := s.seasonAsked(r, st)
	if v == nil || v.plan == nil {
		return underfoot.Errorf(underfoot.Invalid, "rehearse: the address holds no question for a plan: open the plan page and ask again")
	}
	return s.send.page(w, r, http.StatusOK, page.RehearsalParts(v.rehearsal(), v.order()))
}

// seasonAsked is the question of the address with its answer, nothing said of it.
func (s *server) seasonAsked(r *http.Request, st *standing) (*app.Model, *seasonView) {
	m, err := st.Model()
	if err != nil || st.Direction.Verdict == findings.Unknown {
		return nil, nil
	}
	r.ParseForm() // what is not a form holds no question
	v := &seasonView{s: s, st: st, style: say.From(r.Context()), ask: newSeasonAsk(st, m, r.Form, say.From(r.Context()))}
	if v.ask.asked {
		v.seek(r, m, r.Form)
	}
	return m, v
}

// bench is the work of the plan, ready to be changed, with what it does.
func (v *seasonView) bench() page.SeasonBench {
	p, r := v.plan, v.rows
	course := v.st.Records.Course.ID
	q := v.ask.query()
	b := page.SeasonBench{Course: course, Edited: r.edited, Back: page.CoursePath(course, "plan") + "?" + q.Encode() + "#work", Rehearsed: v.rehearsal(), Ribbon: v.ribbon()}
	b.Nitrogen, b.NitrogenError = r.nitrogen, page.Sentence(r.errors["nitrogen"])
	for _, name := range v.ask.names() {
		if text := v.ask.text(name); text != "" {
			b.Hidden = append(b.Hidden, page.Hidden{Name: name, Value: text})
		}
	}
	for i := range p.Search.Operations {
		o := &p.Search.Operations[i]
		b.Ops = append(b.Ops, page.Choice{Value: o.ID, Text: o.Name})
	}
	said := map[string]string{}
	for _, f := range b.Rehearsed.Faults {
		said[f.For] = f.Text
	}
	for i := range r.date {
		at := func(field string) string { return said[fmt.Sprintf("%s-%d", field, i)] }
		b.Rows = append(b.Rows, page.SeasonRow{
			Date: r.date[i], Op: r.op[i], MM: r.mm[i], DateError: at("date"), OpError: at("op"), MMError: at("mm"), Out: at("out"), Remark: at("row"),
		})
	}
	return b
}

// rehearsal is what the work as typed would do.
func (v *seasonView) rehearsal() page.Rehearsal {
	p, rows := v.plan, v.rows
	var out page.Rehearsal
	for _, i := range []string{"date", "op", "mm"} {
		for n := range rows.date {
			if text := rows.errors[fmt.Sprintf("%s-%d", i, n)]; text != "" {
				out.Faults = append(out.Faults, page.Fault{For: fmt.Sprintf("%s-%d", i, n), Text: page.Sentence(text)})
			}
		}
	}
	if text := rows.errors["nitrogen"]; text != "" {
		out.Faults = append(out.Faults, page.Fault{For: "nitrogen", Text: page.Sentence(text)})
	}
	if len(out.Faults) > 0 {
		out.Broken, out.Says = true, "Not rehearsed yet: something in the work above needs another look."
		return out
	}
	for _, name := range termFields {
		if text := v.terms.errors[name]; text != "" {
			out.Faults = append(out.Faults, page.Fault{For: name, Text: page.Sentence(text)})
		}
	}
	for i, e := range rows.plan.Entries {
		one := season.Plan{Entries: []season.Entry{e}}
		c := one.Cost(p.Search.Prices, p.Search.Calendar)
		text := p.Money(c.Money())
		if c.SandMM > 0 {
			text = fmt.Sprintf("%s mm, %s t, %s", page.Num(c.SandMM, 2), page.Tonnes(c.SandTonnes), text)
		}
		out.Faults = append(out.Faults, page.Fault{For: fmt.Sprintf("out-%d", rows.at[i]), Text: text})
		if remark := p.Remark(rows.plan, i); remark != "" {
			out.Faults = append(out.Faults, page.Fault{For: fmt.Sprintf("row-%d", rows.at[i]), Text: page.Sentence(remark)})
		}
	}
	r, err := v.rehearsed()
	if err != nil {
		out.Broken, out.Says = true, page.Sentence(strings.TrimPrefix(err.Error(), "plan: "))
		return out
	}
	out.Chance, out.Facts = chanceOf(r.Probability), v.facts(r.Cost)
	out.Says = upperFirst(p.Lies(r)) + " on " + page.Day(p.Until().Time()) + "."
	words, _ := findings.Chance(r.Probability)
	out.Said = fmt.Sprintf("Rehearsed: a chance of %s; %s t of sand, %s, %s disturbed days.", words, page.Tonnes(r.Cost.SandTonnes), p.Money(r.Cost.Money()), page.Num(r.Cost.Disturbed, 0))
	if out.Compare = v.beside(r); !rows.edited || v.found.plan.Answer.Best != nil && v.asFound() {
		out.Compare = "This is the plan as it was found."
	}
	out.Layers = v.layerTable(r)
	if fan, err := v.fan(r); err == nil {
		out.Fan = fan
	}
	return out
}

// rehearsed runs the work as typed; what was found needs no run again.
func (v *seasonView) rehearsed() (*app.Rehearsed, error) {
	if !v.rows.edited && v.plan == v.found.plan && v.found.what.Plan != nil {
		return v.found.what.Plan, nil
	}
	return v.plan.Rehearse(v.rows.plan)
}

// beside sets the work as typed beside the plan as it was found.
func (v *seasonView) beside(r *app.Rehearsed) string {
	was := v.found.what.Plan
	if was == nil {
		return ""
	}
	diff := func(d float64, unit string, decimals int) string {
		return page.Signed(d, decimals) + " " + unit
	}
	before, _ := findings.Chance(was.Probability)
	now, _ := findings.Chance(r.Probability)
	return fmt.Sprintf("Beside the plan as it was found: %s, %s, %s; %s instead of %s.", diff(r.Cost.SandMM-was.Cost.SandMM, "mm of sand", 1),
		strings.TrimSpace(diff(r.Cost.Money()-was.Cost.Money(), v.plan.Currency(), 0)), diff(r.Cost.Disturbed-was.Cost.Disturbed, "disturbed days", 0), now, before)
}

// layerTable is where each layer comes to lie.
func (v *seasonView) layerTable(r *app.Rehearsed) page.Table {
	t := page.Table{Head: []string{"Organic matter, " + page.PlainDay(v.plan.Until().Time()), "Middle, %", "9 in 10, %", "Wanted, %", "In the band"}}
	f := r.Forecast
	last := len(f.Days) - 1
	for l, layer := range f.Layers {
		e := f.Estimate(-1, last, l)
		row := []string{underfoot.LayerName(layer.Top, layer.Bottom), page.Num(100*e.Q50, 1), page.Reach(100*e.Q05, 100*e.Q95, 1), "–", "–"}
		for i, w := range v.plan.Search.Aim.Wanted {
			if w.Layer == layer {
				row[3] = page.Reach(100*w.Low, 100*w.High, 1)
				row[4], _ = findings.Chance(r.Each[i])
			}
		}
		t.Rows = append(t.Rows, page.Row{Cells: row})
	}
	return t
}

// fan draws the forecast of each layer against its band, with ticks for the work.
func (v *seasonView) fan(r *app.Rehearsed) (page.Figure, error) {
	layers, err := v.plan.Fan(r)
	if err != nil {
		return page.Figure{}, err
	}
	f := figure.Forecast{Now: v.st.Today.Time()}
	for _, e := range r.Plan.Entries {
		f.Work = append(f.Work, underfoot.Date(e.Day).Time())
	}
	for _, l := range layers {
		x := figure.ForecastLayer{Name: underfoot.LayerName(l.Top, l.Bottom)}
		if found := v.st.Layer(l.Top, l.Bottom); found != nil {
			x.Rounds = roundsOf(found)
			x.Rounds = x.Rounds[max(0, len(x.Rounds)-3):]
		}
		for _, q := range l.Future {
			x.Future = append(x.Future, figure.FanPoint{At: q.Day.Time(), Estimate: inPercent(q.Estimate)})
		}
		i := slices.IndexFunc(v.plan.Search.Aim.Wanted, func(w season.Wanted) bool { return w.Layer == l.Layer })
		if i >= 0 {
			w := v.plan.Search.Aim.Wanted[i]
			x.Wanted = &figure.Interval{Low: 100 * w.Low, High: 100 * w.High}
		}
		f.Layers = append(f.Layers, x)
	}
	return page.Figure{Picture: page.Draw(fanAt(f, 1264), fanAt(f, figure.PhoneWidth))}, nil
}

// year draws the time of the plan by week: growth, closed days and the work.
func (v *seasonView) year() page.Figure {
	c := v.plan.Search.Calendar
	f := figure.SeasonYear{From: v.plan.From().Time(), Until: v.plan.Until().Time(), Growth: v.growth(), Work: yearWork(v.rows.plan)}
	for _, x := range c.Closed {
		f.Closed = append(f.Closed, figure.YearSpan{From: underfoot.Date(x.From).Time(), Until: underfoot.Date(x.Until).Time()})
	}
	for _, t := range c.Tournaments {
		f.Tournaments = append(f.Tournaments, underfoot.Date(t.Day).Time())
	}
	narrow := f
	narrow.Width = figure.PhoneWidth
	return page.Figure{Picture: page.Draw(f.Scene(), narrow.Scene())}
}

// growth is the growth index of an ordinary year, by week.
func (v *seasonView) growth() []float64 {
	var list []float64
	for c, d := v.plan.Search.Calendar, v.plan.Search.Calendar.From; d <= c.Until; d += 7 {
		list = append(list, c.Index(d))
	}
	return list
}

// yearWork is the work of a plan for a picture.
func yearWork(plan season.Plan) []figure.YearWork {
	var list []figure.YearWork
	for _, e := range plan.Entries {
		o := e.Operation
		list = append(list, figure.YearWork{
			At: underfoot.Date(e.Day).Time(), SandMM: e.SandMM, Opens: o.Kind != season.Topdress && o.Kind != season.InjectSand, Name: o.Name,
		})
	}
	return list
}
