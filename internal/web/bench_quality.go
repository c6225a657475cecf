package web

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// qualityOf shows what the checks of the bench say of a run.
func qualityOf(st *standing, r *app.BenchRun, budget *app.BenchRow, form *page.ReleaseForm) *page.Quality {
	q := &page.Quality{Reasons: r.Judgement.Reasons(), Rules: ruleChecks(r), Correction: correctionSays(budget)}
	if budget != nil {
		q.Wider = widerBudget(st, r, budget)
	}
	for _, material := range materialsOf(r) {
		q.Controls = append(q.Controls, controlFigure(st, r, material))
	}
	q.Range, q.RangeNote = rangeFigure(st, r)
	q.Tares, q.TaresSay = tareChecks(st, r)
	q.Tray = trayOf(st, r)
	if r.Failed() {
		q.Release = releaseForm(st, r, form)
	}
	return q
}

// widerBudget says what the uncertainty of a result comes to with what duplicates and controls show; blank where neither shows
// anything.
func widerBudget(st *standing, r *app.BenchRun, b *app.BenchRow) string {
	var more []bench.Component
	if st.Quality.Duplicates.Judged() {
		more = append(more, st.Quality.Duplicates.Component(1))
	}
	if c, ok := st.Quality.ControlBias(r); ok {
		more = append(more, c)
	}
	if len(more) == 0 || b.Result.Uncertainty == nil {
		return ""
	}
	wide := b.Result.Uncertainty.With(more...)
	var parts []string
	for _, c := range wide.Components {
		parts = append(parts, fmt.Sprintf("%s %s", c.Name, page.Num(float64(c.Standard), 3)))
	}
	return fmt.Sprintf("With what duplicates and controls of this bench show, it is ±%s points, 19 times in 20 ±%s (effective degrees of freedom: %s): %s. The findings leave this out, because the scatter between cores and rounds that they reckon with holds it already.",
		page.Num(float64(wide.Standard), 2), page.Num(float64(wide.Expanded()), 2), freedom(wide.DF), strings.Join(parts, ", "))
}

// correctionSays tells why nothing is taken off for the mineral part, and what 2 % of clay would take off this result.
func correctionSays(b *app.BenchRow) string {
	says := bench.Corrections{}.WhyOff()
	m, err := bench.Corrections{Clay: bench.ClayAt440(0.02)}.MineralLoss()
	if err != nil || b == nil || b.OrganicMatterPercent == nil {
		return says
	}
	f, err := m.Organic(b.Result.OrganicMatter.Fraction())
	if err != nil {
		return says
	}
	return says + fmt.Sprintf(" With 2 %% of clay in the sand, %s %% would read %s.", page.Num(*b.OrganicMatterPercent, 2), page.Num(float64(f.Percent()), 2))
}

// materialsOf are the control materials burnt in a run.
func materialsOf(r *app.BenchRun) []string {
	var out []string
	for _, p := range r.Chart {
		if !slices.Contains(out, p.Material) {
			out = append(out, p.Material)
		}
	}
	return out
}

// controlFigure draws the burns of a material up to the run and after it.
func controlFigure(st *standing, now *app.BenchRun, material string) page.Figure {
	c := figure.ControlChart{Material: material}
	t := page.Table{Caption: "Burns of " + material, Head: []string{"Run", "OM, %", "Standard deviations", "Rules broken"}}
	var limits bench.Limits
	known := false
	n := 0
	for i := range st.Quality.Runs {
		r := &st.Quality.Runs[i]
		for _, p := range r.Chart {
			if p.Material != material {
				continue
			}
			n++
			limits, known = p.Limits, p.Known
			b := figure.Burn{Run: r.Name, Value: float64(p.Value), Now: r.Name == now.Name, Kind: burnKind(r, p.Burn)}
			c.Burns = append(c.Burns, b)
			z := "–"
			if known {
				z = page.Signed(limits.Z(p.Value), 1)
			}
			t.Rows = append(t.Rows, page.Row{Cells: []string{r.Name, page.Num(float64(p.Value), 2), z, symbols(rulesOf(r, p.Burn))}})
		}
	}
	f := page.Figure{YAxis: "OM of the control " + material + ", %", Table: &t}
	if known {
		c.Centre, c.SD, c.Own = float64(limits.Centre), float64(limits.SD), limits.Own
	}
	f.Picture = page.Draw(c.Scene())
	c.Width, c.Height = 340, 200
	f.Picture.Phone = c.Scene()
	f.Says, f.Sure = controlChartSays(now, material, n, limits, known)
	return f
}

func burnKind(r *app.BenchRun, b bench.Burn) figure.BurnKind {
	switch {
	case r.Failed() && r.Release != nil:
		return figure.RunFreed
	case r.Failed():
		return figure.RunFailed
	case len(rulesOf(r, b)) > 0:
		return figure.Warned
	}
	return figure.Ordinary
}

// rulesOf are the rules that one burn of a run broke.
func rulesOf(r *app.BenchRun, b bench.Burn) []bench.Rule {
	what := "control " + b.Material
	if b.Crucible != "" {
		what += ", crucible " + b.Crucible
	}
	for _, c := range r.Judgement.Checks {
		if c.What == what {
			return c.Rules
		}
	}
	return nil
}

func symbols(rules []bench.Rule) string {
	if len(rules) == 0 {
		return "none"
	}
	var out []string
	for _, r := range rules {
		out = append(out, string(r))
	}
	return strings.Join(out, ", ")
}

// controlChartSays is the sentence of a control chart, and how sure it is.
func controlChartSays(r *app.BenchRun, material string, n int, l bench.Limits, known bool) (says, sure string) {
	burns := page.Count(n, "burn", "burns")
	switch {
	case !known:
		return fmt.Sprintf("%s of the control %s, and no accepted value with a deviation to hold them against.", burns, material),
			"An accepted value and the deviation of single burns in controls.csv, or ten burns, draw the lines."
	case r.Failed() && len(r.Judgement.Rules) > 0:
		says = "The control speaks against this run: " + lastRule(r).Words() + "."
		sure = "It " + lastRule(r).Points() + "."
	case len(r.Judgement.Rules) > 0:
		says = "The control asks for a look: " + lastRule(r).Words() + "."
		sure = "It " + lastRule(r).Points() + "."
	default:
		says = fmt.Sprintf("The control %s is quiet in this run, %s on the chart.", material, burns)
		sure = fmt.Sprintf("Held against %s %% with a standard deviation of %s of single burns.", page.Num(float64(l.Centre), 2), page.Num(float64(l.SD), 2))
	}
	if l.Own {
		sure += " The lines come from the burns themselves: they cannot tell that all burns are wrong, and never fail a run."
	}
	return says, sure
}

func lastRule(r *app.BenchRun) bench.Rule { return r.Judgement.Rules[len(r.Judgement.Rules)-1] }

// ruleChecks lists every rule of the chart with whether the run broke it; nothing where no control was burnt.
func ruleChecks(r *app.BenchRun) []page.RunCheck {
	if len(r.Chart) == 0 {
		return nil
	}
	var out []page.RunCheck
	for _, rule := range bench.Rules() {
		words := rule.Words()
		c := page.RunCheck{What: strings.ToUpper(words[:1]) + words[1:] + " (" + string(rule) + ")", Found: "no"}
		if slices.Contains(r.Judgement.Rules, rule) {
			c.Found, c.State = "yes", page.Look
			if r.Failed() && rule != bench.OneBeyond2 {
				c.State = page.Stopped
			}
		}
		out = append(out, c)
	}
	return out
}

// rangeFigure draws the composites that were burnt twice; nil where there are none.
func rangeFigure(st *standing, r *app.BenchRun) (*page.Figure, string) {
	q := st.Quality
	if len(q.Pairs) == 0 {
		return nil, "No composite was burnt twice yet: one in ten shows how far the bench repeats itself."
	}
	d := q.Duplicates
	c := figure.RangeChart{}
	if d.Judged() {
		c.Mean, c.Upper = float64(d.MeanRange), float64(d.Upper)
	}
	t := page.Table{Caption: "Composites burnt twice", Left: 2, Head: []string{"Composite", "Run", "First, %", "Second, %", "Apart, points"}}
	for _, p := range q.Pairs {
		c.Pairs = append(c.Pairs, figure.PairRange{Name: p.Run, Points: float64(p.Range()), Now: p.Run == r.Name})
		t.Rows = append(t.Rows, page.Row{Cells: []string{p.Name, p.Run, page.Num(float64(p.First), 2), page.Num(float64(p.Second), 2), page.Num(float64(p.Range()), 2)}})
	}
	f := &page.Figure{
		Says: fmt.Sprintf("Two burns of one composite stand %s points apart on average.", page.Num(float64(d.MeanRange), 2)),
		Sure: fmt.Sprintf("From %s: standard deviation of one burn %s points; two burns differ by more than %s once in 20.",
			page.Count(d.Pairs, "pair", "pairs"), page.Num(float64(d.SD), 2), page.Num(float64(d.Repeatability), 2)),
		YAxis: "Difference of two burns, points of OM", Picture: page.Draw(c.Scene()), Table: &t,
	}
	c.Width = 340
	f.Picture.Phone = c.Scene()
	note := "Where the second is a second set of cores, their difference counts too: it asks for a look and never fails a run."
	if ratio, ok := d.HorRat(); ok {
		note += fmt.Sprintf(" HorRat, the scatter beside what chemical methods show at this level, is %s; half to two thirds of 1 is usual within one laboratory. An indication only, for loss on ignition is not such a method.", page.Num(ratio, 1))
	}
	return f, note
}

// tareChecks lists the crucibles of the run whose tare needs a look.
func tareChecks(st *standing, r *app.BenchRun) ([]page.RunCheck, string) {
	in := map[string]bool{}
	for _, w := range r.Crucibles {
		in[w.Crucible] = true
	}
	var out []page.RunCheck
	told, n := 0, 0
	for _, h := range st.TareHistories() {
		if !in[h.Crucible] {
			continue
		}
		n++
		if h.State != bench.TareUntold {
			told++
		}
		if h.Flagged() {
			out = append(out, page.RunCheck{What: h.Crucible, Found: h.String(), State: page.Look})
		}
	}
	switch {
	case told == 0:
		return nil, "No crucible of this run was weighed empty before: nothing can be said of their tares yet."
	case len(out) == 0:
		return nil, fmt.Sprintf("Tares: %d of the %d crucibles were weighed empty before, and none has moved by more than cooling explains.", told, n)
	}
	return out, fmt.Sprintf("Tares: %s of this run need a look.", page.Count(len(out), "crucible", "crucibles"))
}

// trayOf lays the crucibles out as they stood; nil where no place was written down.
func trayOf(st *standing, r *app.BenchRun) *page.Tray {
	rows, columns := 0, 0
	for i := range st.Records.Runs {
		if x := &st.Records.Runs[i]; x.ID == r.Name {
			rows, columns = x.TrayRows.Or(0), x.TrayColumns.Or(0)
		}
	}
	stood := map[string]string{}
	for i := range st.Records.TrayPlaces {
		p := &st.Records.TrayPlaces[i]
		if p.FurnaceRun != r.Name {
			continue
		}
		if row, column, ok := p.At(); ok {
			stood[p.Place] = p.Crucible
			rows, columns = max(rows, row), max(columns, column)
		}
	}
	if len(stood) == 0 {
		return nil
	}
	holds := map[string]underfoot.Weighing{}
	for _, w := range r.Crucibles {
		holds[w.Crucible] = w
	}
	t := &page.Tray{Door: "furnace door"}
	for c := range columns {
		t.Columns = append(t.Columns, fmt.Sprint(c+1))
	}
	for i := range rows {
		row := page.TrayRow{Name: string(rune('A' + i))}
		for c := range columns {
			p := page.TrayPlace{Crucible: stood[app.PlaceName(i, c)], Kind: "empty"}
			if w, ok := holds[p.Crucible]; ok && p.Crucible != "" {
				p.Kind, p.What = cmp.Or(w.Kind, "sample"), trayWhat(st, w)
			}
			row.Places = append(row.Places, p)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// trayWhat is what a crucible on the tray holds, in few words.
func trayWhat(st *standing, w underfoot.Weighing) string {
	switch w.Kind {
	case "blank":
		return "blank"
	case "control":
		return "control"
	}
	if b := benchRowOf(st, w.Sample); b != nil {
		return st.GreenTitle(b.Green) + ", " + layerName(b.TopMM, b.BottomMM)
	}
	return w.Sample
}

// releaseForm is the form that releases a failed run, or says who did.
func releaseForm(st *standing, r *app.BenchRun, form *page.ReleaseForm) *page.ReleaseForm {
	f := page.ReleaseForm{}
	if form != nil {
		f = *form
	}
	f.Course, f.Run = st.Records.Course.ID, r.Name
	n := 0
	for i := range st.Bench {
		if slices.Contains(st.Bench[i].FurnaceRuns, r.Name) {
			n++
		}
	}
	f.Results = page.Count(n, "composite", "composites")
	if rel := r.Release; rel != nil {
		f.Released = fmt.Sprintf("Released by %s on %s: %s", rel.By, rel.Date, page.Sentence(rel.Reason))
	}
	return &f
}
