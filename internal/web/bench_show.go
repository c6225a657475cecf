package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// showBench shows one furnace run of a course, the latest unless another is named.
func (s *server) showBench(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	return s.benchPage(w, r, http.StatusOK, st, nil)
}

// benchPage shows a run; form is what was typed to release it and refused.
func (s *server) benchPage(w http.ResponseWriter, r *http.Request, status int, st *standing, form *page.ReleaseForm) error {
	p := page.Bench{Frame: s.courseFrame(r, st, "Bench", "bench"), Course: st.Records.Course.ID, Statement: "Nothing has been burnt yet."}
	p.Frame.Taken = true
	runs := runsOf(st)
	q := r.URL.Query()
	if form != nil {
		q.Set("run", form.Run)
	}
	p.Frame.Scripts = append(p.Frame.Scripts, "bench")
	p.NewHref = page.CoursePath(p.Course, "bench", "enter")
	current := 0
	if q.Has("run") {
		current = -1
		for i := range runs {
			if runs[i].name == q.Get("run") {
				current = i
			}
		}
		if current < 0 {
			return underfoot.Errorf(underfoot.NotFound, "course %q has no furnace run %q", p.Course, q.Get("run"))
		}
	}
	for i := range runs {
		row := runRow(st, &runs[i])
		p.Runs = append(p.Runs, page.RunLink{Name: runs[i].title(), Href: row.Href, Current: i == current, Look: row.State != page.Finished})
	}
	if len(runs) > 0 {
		now := &runs[current]
		budget := fillRun(&p, st, now, q.Get("row"))
		p.EnterHref = p.NewHref + "?run=" + url.QueryEscape(now.name)
		if judged := st.Quality.Run(now.name); judged != nil {
			p.Quality = qualityOf(st, judged, budget, form)
		}
	}
	p.Reported = reported(st)
	if len(runs) == 0 && len(p.Reported) > 0 {
		p.Statement = "Results came as figures; nothing was weighed here."
	}
	return s.send.page(w, r, status, page.BenchPage(p))
}

// fillRun shows a run, and returns the composite whose budget is shown.
func fillRun(p *page.Bench, st *standing, r *run, chosen string) *app.BenchRow {
	row := runRow(st, r)
	p.Over = fmt.Sprintf("Run %s, burnt at %s", r.title(), temperatures(r))
	if row.Rounds != "" {
		p.Over += ", round " + row.Rounds
	}
	if len(r.crucible) == 0 {
		p.Over, p.Statement = "", "Run "+r.title()+" is begun; no crucible has been weighed yet."
		return nil
	}
	composites := page.Count(atoi(row.Composites), "composite", "composites")
	switch row.State {
	case page.Stopped:
		p.Statement = "Run " + r.title() + " is held: its checks failed."
		p.Because = "Nothing of it reaches a trend, a balance or a calibration until it is burnt again or a named person releases it."
	case page.Look:
		p.Statement = fmt.Sprintf("Run %s: %s, with something to look at.", r.title(), composites)
		p.Because = page.Sentence(row.Note)
	case page.YourMove:
		p.Statement = fmt.Sprintf("Run %s: %s, some still to weigh.", r.title(), composites)
	default:
		p.Statement = fmt.Sprintf("Run %s: %s, and its checks are quiet.", r.title(), composites)
	}
	var budget *app.BenchRow
	seen := map[string]bool{}
	for _, w := range r.crucible {
		x := crucibleRow(st, r, w, seen)
		p.Rows = append(p.Rows, x)
		if b := benchRowOf(st, w.Sample); w.OfSample() && b != nil && b.Known && b.Result.Uncertainty != nil && (budget == nil || b.Sample == chosen) {
			budget = b
		}
	}
	p.Checks = checksOf(st, r)
	if budget != nil {
		p.Budget, p.BudgetFor = budgetOf(st, budget)
	}
	return budget
}

func atoi(s string) int {
	n := 0
	fmt.Sscan(s, &n)
	return n
}

// crucibleRow is one crucible of the sheet. seen says which composites already had their warnings shown.
func crucibleRow(st *standing, r *run, w underfoot.Weighing, seen map[string]bool) page.BenchRow {
	kind := w.Kind
	if kind == "" {
		kind = "sample"
	}
	x := page.BenchRow{Kind: kind, Crucible: w.Crucible, Tare: mass(w, "tare_g"), Dry: mass(w, "dry_g"), Ash: mass(w, "ash_g"), Lost: "–", OM: "–"}
	if lost, ok := lostMG(w); ok {
		x.Lost = page.Num(lost, 0)
	}
	om, known := lossPercent(w)
	switch kind {
	case "blank":
		x.What = "Blank"
		if lost, ok := lostMG(w); ok {
			x.Remark, x.State = blankSays(w, lost)
		}
		return x
	case "control":
		x.What = "Control " + w.Sample
		if known {
			x.OM = page.Num(om, 2)
			v, z, accepted, _ := control(st, w)
			words, state := controlSays(v, z, accepted)
			_, x.Remark, _ = strings.Cut(words, ", ")
			x.State = state
		}
		return x
	}
	b := benchRowOf(st, w.Sample)
	x.What = w.Sample
	if known {
		x.OM = page.Num(om, 2)
	}
	if b == nil {
		return x
	}
	d := depths(st, b.TopMM, b.BottomMM)
	x.What, x.Layer = st.GreenTitle(b.Green), &d
	if kind == "duplicate" {
		x.What += ", second set of cores"
		if b.OrganicMatterPercent != nil && known {
			x.Remark = page.Signed(om-*b.OrganicMatterPercent, 2) + " from the first"
		}
		return x
	}
	if len(b.Burnt) > 1 && b.OrganicMatterPercent != nil {
		x.Remark = fmt.Sprintf("%d crucibles summed: %s %%", len(b.Burnt), page.Num(*b.OrganicMatterPercent, 2))
	}
	fillComposite(&x, b)
	if seen[b.Sample] {
		x.Warnings, x.Volume, x.Density, x.DensityHow, x.Stock = nil, "", "", "", ""
	}
	seen[b.Sample] = true
	if b.Known && b.Result.Uncertainty != nil {
		x.BudgetHref = runHref(st.Records.Course.ID, r) + "&row=" + url.QueryEscape(b.Sample) + "#budget"
	}
	return x
}

func mass(w underfoot.Weighing, column string) string {
	i, _ := underfoot.Weighings.Column(column)
	if s := underfoot.Weighings.Cell(&w, i); s != "" {
		return s
	}
	return "–"
}

// blankSays judges an empty crucible: it should change by no more than the balance can explain.
func blankSays(w underfoot.Weighing, lost float64) (string, page.State) {
	if math.Abs(lost) <= w.AshSlackG()*1000 {
		return "no change the balance can see", page.Finished
	}
	if lost < 0 {
		return page.Num(-lost, 0) + " mg gained", page.Look
	}
	return page.Num(lost, 0) + " mg lost", page.Look
}

// fillComposite puts in what the bench says of the composite.
func fillComposite(x *page.BenchRow, b *app.BenchRow) {
	pick := func(v *float64, decimals int) string {
		if v == nil {
			return "–"
		}
		return page.Num(*v, decimals)
	}
	if b.StandardUncertaintyPercent != nil {
		x.PM = "±" + page.Num(*b.StandardUncertaintyPercent, 3)
	}
	x.Volume, x.Density, x.Stock = pick(b.VolumeCm3, 1), pick(b.BulkDensityKgM3, 0), pick(b.OrganicStockKgM2, 2)
	if b.BulkDensityFrom == "mixture" {
		x.DensityHow = "est."
	}
	for _, n := range b.Warnings {
		if !strings.HasPrefix(n, "held: furnace run") && !strings.HasPrefix(n, "furnace run ") { // the run says it once for all
			x.Warnings = append(x.Warnings, page.Sentence(n))
		}
	}
	switch {
	case b.Held:
		x.Remark, x.State = strings.TrimSuffix("held; "+x.Remark, "; "), page.Stopped
	case b.Released != nil:
		x.Remark, x.State = strings.TrimSuffix("released; "+x.Remark, "; "), page.Look
	}
}

// checksOf are the checks of a run.
func checksOf(st *standing, r *run) []page.RunCheck {
	var out []page.RunCheck
	if judged := st.Quality.Run(r.name); judged != nil {
		for _, c := range judged.Judgement.Checks {
			words := strings.ToUpper(c.What[:1]) + c.What[1:]
			out = append(out, page.RunCheck{What: words, Found: c.Found, State: stateOf(c)})
		}
	}
	controls, blanks, pending, warned := 0, 0, 0, 0
	seen := map[string]bool{}
	for _, w := range r.crucible {
		switch w.Kind {
		case "control":
			controls++
		case "blank":
			blanks++
		default:
			b := benchRowOf(st, w.Sample)
			if b == nil || seen[w.Sample] {
				continue
			}
			seen[w.Sample] = true
			if !b.Known {
				pending++
			} else if len(b.Warnings) > 0 {
				warned++
			}
		}
	}
	if controls == 0 {
		out = append(out, page.RunCheck{What: "Control material", Found: "none was burnt with this run", State: page.Open})
	}
	if blanks == 0 {
		out = append(out, page.RunCheck{What: "Blank crucible", Found: "none was burnt with this run", State: page.Open})
	}
	out = append(out, temperatureCheck(r))
	if pending > 0 {
		out = append(out, page.RunCheck{What: "Still to weigh", Found: page.Count(pending, "composite", "composites"), State: page.YourMove})
	}
	if warned > 0 {
		out = append(out, page.RunCheck{What: "Composites with warnings", Found: fmt.Sprint(warned), State: page.Look})
	}
	return out
}

// stateOf is how a check of the bench stands.
func stateOf(c bench.Check) page.State {
	switch c.Verdict {
	case bench.Failed:
		return page.Stopped
	case bench.Look:
		return page.Look
	}
	if strings.HasSuffix(c.Found, "to compare with") {
		return page.Open
	}
	return page.Finished
}

// temperatureCheck looks for crucibles outside the working range of 440 ± 40 °C.
func temperatureCheck(r *run) page.RunCheck {
	c := page.RunCheck{What: "Furnace within 440 ± 40 °C", Found: temperatures(r), State: page.Finished}
	for _, w := range r.crucible {
		if w.AshC.Known && math.Abs(w.AshC.Value-440) > 40 {
			c.State = page.Look
		}
	}
	if c.Found == "not said" {
		c.State = page.Open
	}
	return c
}

// budgetOf draws where the uncertainty of a composite comes from.
func budgetOf(st *standing, b *app.BenchRow) (*page.Figure, string) {
	u := b.Result.Uncertainty
	f := figure.Budget{Unit: "points of OM", Decimals: 3}
	t := page.Table{Caption: "Standard uncertainty, points of OM", Head: []string{"From", "Points", "Degrees of freedom"}}
	for _, c := range u.Components {
		f.Shares = append(f.Shares, figure.Share{Name: page.Sentence(c.Name)[:len(page.Sentence(c.Name))-1], Value: float64(c.Standard)})
		t.Rows = append(t.Rows, page.Row{Cells: []string{c.Name, page.Num(float64(c.Standard), 3), freedom(c.DF)}})
	}
	t.Rows = append(t.Rows, page.Row{Total: true, Cells: []string{"Together, in squares", page.Num(float64(u.Standard), 3), freedom(u.DF)}})
	name := fmt.Sprintf("%s, %s: %s %% ± %s as a measurement. How far the cores stand for the green is added in the findings.", st.GreenTitle(b.Green),
		layerName(b.TopMM, b.BottomMM), page.Num(*b.OrganicMatterPercent, 2), page.Num(float64(u.Standard), 3))
	says := "The measurement is doubtful by " + page.Num(float64(u.Standard), 3) + " points."
	if len(u.Components) > 0 {
		says = "Most of the doubt of this burn is in the " + u.Components[0].Name + "."
	}
	sure := fmt.Sprintf("The true value of what was burnt lies within ±%s points 19 times in 20 (effective degrees of freedom: %s).", page.Num(float64(u.Expanded()), 3), freedom(u.DF))
	return &page.Figure{Picture: page.Draw(f.Scene()), Says: says, Sure: sure, YAxis: "Standard uncertainty, points of OM", Table: &t}, name
}

// freedom writes degrees of freedom.
func freedom(df float64) string {
	if math.IsInf(df, 1) {
		return "unlimited"
	}
	return page.Num(df, 1)
}

// reported lists the results that came without weighings.
func reported(st *standing) []page.BenchRow {
	var out []page.BenchRow
	for i := range st.Bench {
		b := &st.Bench[i]
		if len(b.Burnt)+len(b.Repeat) > 0 || b.OrganicMatterPercent == nil {
			continue
		}
		d := depths(st, b.TopMM, b.BottomMM)
		x := page.BenchRow{What: st.GreenTitle(b.Green) + ", " + b.Round, Layer: &d, OM: page.Num(*b.OrganicMatterPercent, 2)}
		fillComposite(&x, b)
		switch b.Method {
		case "whole":
			x.Remark = "whole"
		case "":
			x.Remark, x.State = "not said", page.Look
		default:
			x.Remark, x.State = b.Method+": another quantity", page.Look
		}
		out = append(out, x)
	}
	return out
}
