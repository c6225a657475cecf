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
	"underfoot/internal/report"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showCourse shows where a course stands.
func (s *server) showCourse(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	working := ""
	if !s.app.Settle(r.Context(), st, s.patience()) {
		st = st.Measured()
		working = "The profile model of this course is being worked out; it takes some seconds. Until then the sand that holds a layer and the answer go by the rounds alone, as of " + s.app.Now().Format("15:04") + "."
	}
	id := st.Records.Course.ID
	p := page.Course{
		Working: working,
		Frame:   s.courseFrame(r, st, "Where we stand", "course"), Direction: page.Direction{Verdict: string(st.Direction.Verdict)},
		Chance: directionChance(st), Statement: standSays(st), Because: standBecause(st), Next: nextSteps(st), Readings: readingPanels(st),
		ReadNote: "Filled dots fall outside what the course wants. Each is the mean of the greens read that day.",
		LayerNote: "Blocks are the last round of each layer. The charts are the rounds, with intervals that hold 9 times in 10; each spans four points " +
			"unless it says otherwise, so slopes compare. Whole-sample ignition.",
		Sand: sandOf(st, say.From(r.Context())), Answer: answerOf(st), Notes: inWords(st.Notes),
		Acts: []page.Link{
			{Href: page.CoursePath(id, "plan"), Text: "Read the answer"},
			{Href: page.CoursePath(id, "findings"), Text: "Read the findings"},
			{Href: page.CoursePath(id, "report"), Text: "Client report"},
		},
	}
	if st.Direction.Verdict == findings.Unknown {
		p.Acts[0], p.Acts[1] = page.Link{Href: page.CoursePath(id, "findings") + "#judge", Text: "Judge the direction"}, p.Acts[0]
	}
	if st.Advice().Reason != "" {
		p.Acts = slices.DeleteFunc(p.Acts, func(l page.Link) bool { return l.Text == "Read the answer" })
	}
	p.Records = []page.Link{
		{Href: page.CoursePath(id, "sands"), Text: "Sands and ash on the sieves"},
		{Href: page.CoursePath(id, "table", "greens"), Text: "Greens, bands, readings, sands: tables to type into"},
		{Href: page.CoursePath(id, "edit"), Text: "Name, place and time zone"},
		{Href: page.CoursePath(id, "report", "build"), Text: "Put a report together: sections, note, logo, paper"},
		{Href: page.CoursePath(id, "workbook.xlsx"), Text: "Every table as a workbook (.xlsx)"},
		{Href: page.CoursePath(id, "history"), Text: "What was changed, with undo"},
		{Href: page.CoursePath(id, "export"), Text: "Download the package (.zip)"},
		{Href: "/import", Text: "Bring in a package"},
	}
	for i := range st.Layers {
		p.Layers = append(p.Layers, stratum(st, &st.Layers[i], say.From(r.Context())))
	}
	p.Core = page.Draw(figure.Profile{Layers: blocks(st)}.Scene())
	p.Accounts, p.NoAccount = accountsOf(st, say.From(r.Context()))
	p.Course = id
	if working != "" {
		p.Frame.Scripts = append(p.Frame.Scripts, "fresh")
	}
	if said, ok := report.ProfileIfKnown(st); ok { // never worked out on the way to this page
		p.Outlook = said.Short()
	}
	return s.send.page(w, r, http.StatusOK, page.CoursePage(p))
}

// standSays is the one sentence that is the answer.
func standSays(st *standing) string {
	top := ""
	if len(st.Layers) > 0 {
		top = " in " + st.Layers[0].Name()
		if st.Layers[0].TopMM == 0 {
			top = " in the top " + num(st.Layers[0].BottomMM) + " mm"
		}
	}
	greens := "The " + surfaceWord(st.Surface, 2)
	switch st.Direction.Verdict {
	case findings.Lower:
		return greens + " ask for less organic matter" + top + "."
	case findings.Raise:
		return greens + " ask for more organic matter" + top + "."
	case findings.Hold:
		return greens + " ask to be held where they are."
	}
	if len(st.Layers) == 0 {
		return "Nothing has been measured on these " + surfaceWord(st.Surface, 2) + " yet."
	}
	return "No direction yet."
}

// standBecause is the evidence in a few sentences.
func standBecause(st *standing) string {
	var out []string
	if st.Judgement != nil {
		out = append(out, fmt.Sprintf("This is the stated judgement of %s, %s: %s", st.Judgement.By, page.Day(st.Judgement.Date.Time()), page.Sentence(st.Judgement.Reason)))
	}
	for i := range st.Direction.Kinds {
		k := &st.Direction.Kinds[i]
		if words := dayWords(k); words != "" && (k.Kind == findings.FirmnessGmax || k.Kind == findings.FirmnessMM || k.Kind == findings.Moisture) {
			out = append(out, words)
		}
	}
	if len(out) == 0 && len(st.Direction.Because) > 0 {
		why := st.Direction.Because[len(st.Direction.Because)-1]
		out = append(out, page.Sentence(strings.TrimPrefix(why, "No direction: ")))
	}
	if len(st.Layers) > 0 {
		l := &st.Layers[0]
		if l.Trend.Estimated {
			out = append(out, l.Name()+": "+lowerFirst(l.Trend.Sentence()))
		} else {
			m := l.Last()
			out = append(out, fmt.Sprintf("%s holds %s %% of organic matter (%s); one round gives a level, not a trend.", l.Name(), page.Num(float64(m.Mean), 1),
				page.Span(float64(m.Low90), float64(m.High90), 1)))
		}
	}
	if n := needMM(st); n != nil {
		if e := lastSeason(st); e != nil && n.of.Short > 0.5 && e.TopMM < n.Mid {
			out = append(out, fmt.Sprintf("The %s mm of sand put into %s in %d falls short of the %s that holding it needs.", page.Num(e.TopMM, 1), n.layer, e.Year, page.Num(n.Mid, 1)))
		}
	}
	return strings.Join(out, " ")
}

func lastSeason(st *standing) *app.Season {
	if len(st.Seasons) == 0 {
		return nil
	}
	return &st.Seasons[len(st.Seasons)-1]
}

// dayWords tells on how many days a reading fell outside its band: "Softer than wanted on 6 of 9 reading days in 2025."
func dayWords(k *findings.KindVerdict) string {
	under, over := "Softer", "Firmer"
	switch k.Kind {
	case findings.FirmnessMM:
		under, over = over, under
	case findings.Moisture:
		under, over = "Drier", "Wetter"
	}
	n, word := k.DaysBelow, under
	if k.DaysAbove > n {
		n, word = k.DaysAbove, over
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("%s than wanted on %d of %s in %s.", word, n, page.Count(k.Days, "reading day", "reading days"), k.Season)
}

// rowHeight is that of a layer’s row at a desk, in pixels; the core’s pieces meet at it.
const rowHeight = 196

// stratum is one layer’s row beside its piece of the core.
func stratum(st *standing, l *app.Layer, style say.Style) page.Stratum {
	m := l.Last()
	s := page.Stratum{
		Depths: depths(st, l.TopMM, l.BottomMM),
		Core:   page.Draw(figure.Profile{Layers: blocks(st), From: l.TopMM, To: l.BottomMM, Joined: true, Width: 150, Height: rowHeight, Measure: measured(style)}.Scene()).Still(),
		Colour: figure.OMColour(float64(m.Mean)),
		Now:    page.Num(float64(m.Mean), 1), Range: page.Span(float64(m.Low90), float64(m.High90), 1) + " %", Trend: page.Draw(trendOf(l, 432, 160)),
		Says: l.Trend.Sentence(), Figures: l.Trend.Figures(), Chances: chances(l.Trend), Note: l.Trend.Visible(), Table: levels(l),
	}
	if stock, ok := stockOf(l, m.Round); ok {
		s.Stock = page.Num(stock, 2) + " kg/m² of OM"
	}
	return s
}

// stockOf is the mean organic matter per area of a layer in a round, kg/m².
func stockOf(l *app.Layer, round string) (float64, bool) {
	var sum, n float64
	for i := range l.Rows {
		if b := &l.Rows[i]; b.Round == round && b.OrganicStockKgM2 != nil {
			sum += *b.OrganicStockKgM2
			n++
		}
	}
	return sum / n, n > 0
}

// nextSteps is what was done last round the circle, and what comes next.
func nextSteps(st *standing) []page.Step {
	id := st.Records.Course.ID
	var out []page.Step
	_, day, samples := lastRound(st)
	if len(samples) == 0 {
		return []page.Step{
			{When: "now", State: page.YourMove, Text: "Take the first round", Href: page.CoursePath(id, "round"), Now: true},
			{When: "then", State: page.Open, Text: "Weigh and burn it", Href: page.CoursePath(id, "bench")},
		}
	}
	greens := map[string]bool{}
	cores := 0
	for _, s := range samples {
		greens[s.Green] = true
		cores += s.Cores.Or(0)
	}
	text := "Round taken: " + page.Count(len(greens), "green", "greens")
	if cores > 0 {
		text += ", " + page.Count(cores, "core", "cores")
	}
	out = append(out, page.Step{When: dayNear(day, st.Today), State: page.Finished, Text: text, Href: page.CoursePath(id, "round")})
	moved := false
	step := func(done bool, when, text, pending, href string) {
		x := page.Step{When: when, State: page.Finished, Text: text, Href: href}
		if !done {
			x.When, x.Text, x.State = "next", pending, page.Open
			if !moved {
				x.When, x.State, x.Now, moved = "now", page.YourMove, true, true
			}
		}
		out = append(out, x)
	}
	missing, all := waiting(st)
	step(missing == 0, "", fmt.Sprintf("Burnt and weighed: %d of %d", all, all), fmt.Sprintf("Burn and weigh %d of %d composites", missing, all), page.CoursePath(id, "bench"))
	known := st.Direction.Verdict != findings.Unknown
	decided, when := "Direction from the readings: "+string(st.Direction.Verdict), lastReading(st)
	if st.Judgement != nil {
		decided, when = "Direction as judged: "+string(st.Direction.Verdict), dayNear(st.Judgement.Date, st.Today)
	}
	step(known, when, decided, "Judge the direction, or bring in readings", page.CoursePath(id, "findings")+"#judge")
	if e := seasonOf(st, st.Today.Year()); e != nil && e.Dressings > 0 {
		out = append(out, page.Step{
			When: fmt.Sprint(e.Year), State: page.Finished, Text: "Logged: " + page.Count(e.Dressings, "dressing", "dressings"), Href: page.CoursePath(id, "log"),
			Quiet: page.Num(e.SandMM(), 1) + " mm of sand in all",
		})
	}
	if planned, n := nextPlanned(st); planned == nil {
		step(false, "", "", "Plan the sand and the work of next season", page.CoursePath(id, "plan"))
	} else {
		out = append(out, page.Step{
			When: dayNear(planned.Work.Date, st.Today), State: page.Open, Text: "First of " + page.CountWords(n, "planned entry", "planned entries"),
			Quiet: app.KindName(planned.Work.Kind), Href: page.CoursePath(id, "plan"),
		})
	}
	return append(out, page.Step{When: nextRound(day, st.Today), State: page.Open, Text: "Next round", Quiet: "a year after the last"})
}

// lastReading is the day of the last reading.
func lastReading(st *standing) string {
	var last underfoot.Date
	for _, r := range st.Records.Readings {
		if r.Date <= st.Today {
			last = max(last, r.Date)
		}
	}
	if last == 0 {
		return ""
	}
	return dayNear(last, st.Today)
}

// nextPlanned is the first planned entry still to come, and how many there are.
func nextPlanned(st *standing) (first *app.Done, n int) {
	for i := range st.Planned {
		if st.Planned[i].Work.Date >= st.Today {
			if first == nil {
				first = &st.Planned[i]
			}
			n++
		}
	}
	return first, n
}

// nextRound is a year after the last round.
func nextRound(last, today underfoot.Date) string {
	next := underfoot.DateOf(last.Time().AddDate(1, 0, 0))
	if next < today {
		return "due now"
	}
	return next.Time().Format("Jan 2006")
}
