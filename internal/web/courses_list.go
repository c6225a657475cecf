package web

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"underfoot"
	"underfoot/balance"
	"underfoot/findings"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// fewCourses is up to how many courses the model behind the balance is worked out for the list; with more of them it is
// worked out when a course is opened, and until then the list goes by the rounds alone.
const fewCourses = 12

// listCourses lists all courses, what needs attention first.
func (s *server) listCourses(w http.ResponseWriter, r *http.Request) error {
	list, err := s.app.Store.Courses(r.Context())
	if err != nil {
		return err
	}
	f := s.frame(r, "Courses", "courses")
	if len(list) == 0 {
		core := figure.Profile{
			Layers: []figure.Layer{
				{Top: 0, Bottom: 20, Estimate: figure.Estimate{Mid: math.NaN()}},
				{Top: 20, Bottom: 40, Estimate: figure.Estimate{Mid: math.NaN()}},
				{Top: 40, Bottom: 60, Estimate: figure.Estimate{Mid: math.NaN()}},
			}, From: 0, To: 60, Width: 170, Height: 460, Measure: measured(say.From(r.Context())),
		}.Scene().SVG()
		return s.send.page(w, r, http.StatusOK, page.EmptyPage(f, core, s.o.Local))
	}
	p := page.Courses{Frame: f, Season: strconv.Itoa(s.app.Now().Year())}
	var standings []*standing
	from, to, most := time.Time{}, time.Time{}, 8.0
	for _, k := range s.standings(r.Context(), list) {
		c, st := k.course, k.st
		if k.err != nil {
			p.Rows = append(p.Rows, page.CourseRow{ID: c.ID, Name: c.Title(), About: c.Country, Problem: page.Sentence(k.err.Error()), NeedState: page.Stopped})
			continue
		}
		standings = append(standings, st)
		if len(list) <= fewCourses {
			st.Balance()
		}
		for _, l := range st.Layers {
			for _, m := range l.Rounds {
				if from.IsZero() || m.Date.Before(from) {
					from = m.Date
				}
				if m.Date.After(to) {
					to = m.Date
				}
			}
		}
		if n := needKnown(st); n != nil {
			most = math.Max(most, n.Outer.High)
		}
	}
	for _, st := range standings {
		p.Rows = append(p.Rows, courseRow(st, from, to, most, say.From(r.Context())))
	}
	order := map[page.State]int{page.Stopped: 0, page.YourMove: 1, page.Look: 2, page.Open: 3, page.Finished: 4}
	slices.SortStableFunc(p.Rows, func(a, b page.CourseRow) int { return cmp.Compare(order[a.NeedState], order[b.NeedState]) })
	p.Statement = listSays(p.Rows)
	p.Sand = sandSoFar(standings, s.app.Now().Year())
	if p.Lately, err = s.lately(r, list); err != nil {
		return err
	}
	p.Frame.Done = s.done(r, "")
	return s.send.page(w, r, http.StatusOK, page.CoursesPage(p))
}

// listSays is the statement of the list: how many courses wait, and for whom.
func listSays(rows []page.CourseRow) string {
	var stopped, yours int
	for _, c := range rows {
		switch c.NeedState {
		case page.Stopped:
			stopped++
		case page.YourMove:
			yours++
		}
	}
	switch {
	case stopped > 0 && yours > 0:
		return fmt.Sprintf("%s; %s for you.", capital(page.CountWords(stopped, "course is stopped", "courses are stopped")), page.CountWords(yours, "waits", "wait"))
	case stopped > 0:
		return capital(page.CountWords(stopped, "course is stopped", "courses are stopped")) + "."
	case yours > 0:
		return capital(page.CountWords(yours, "course waits", "courses wait")) + " for you."
	}
	return "Nothing waits for you."
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func courseRow(st *standing, from, to time.Time, most float64, style say.Style) page.CourseRow {
	c := st.Records.Course
	row := page.CourseRow{
		ID: c.ID, Name: c.Title(), About: about(st), Direction: page.Direction{Verdict: string(st.Direction.Verdict)},
		Core: figure.Profile{Layers: blocks(st), Plain: true, Width: 22, Height: float64(max(2, 30*len(st.Layers)+2))}.Scene().SVG(),
	}
	row.Need, row.NeedState, row.NeedLink = needs(st)
	for i := range st.Layers {
		l := &st.Layers[i]
		m := l.Last()
		x := page.CourseLayer{
			Name: l.Name(), OM: page.Num(float64(m.Mean), 1), PM: page.Span(float64(m.Low90), float64(m.High90), 1), Change: "one round",
			Spark: figure.Spark{Layer: l.Name(), Rounds: roundsOf(l), From: from, To: to}.Scene().SVG(figure.Still()),
		}
		if t := l.Trend; t.Estimated {
			x.Change = "no change seen"
			if t.Verdict != findings.NoChange {
				x.Change = fmt.Sprintf("%s (%s)", page.Signed(t.SlopePerYear, 2), page.Reach(t.Lower90, t.Upper90, 2))
			}
		}
		row.Layers = append(row.Layers, x)
	}
	bar := figure.SandBar{Max: most, Measure: measured(style)}
	row.Season = strconv.Itoa(st.Today.Year())
	if e := lastSeason(st); e != nil {
		bar.Applied, row.Season = e.SandMM(), strconv.Itoa(e.Year)
		if needKnown(st) != nil {
			bar.Applied = e.TopMM
		}
	}
	if n := needKnown(st); n != nil {
		bar.Needed = &n.Estimate
	}
	row.Sand = bar.Scene().SVG(figure.Still())
	row.Due, row.DueNote = due(st)
	return row
}

// needs says in one sentence what a course needs, and where to go for it.
func needs(st *standing) (string, page.State, page.Link) {
	id := st.Records.Course.ID
	missing, all := waiting(st)
	switch {
	case all == 0:
		return "Nothing has been sampled yet. The first round gives levels.", page.YourMove, page.Link{Href: page.CoursePath(id, "round"), Text: "Rounds"}
	case missing > 0:
		return fmt.Sprintf("%d of the %d composites of the last round wait for the bench.", missing, all), page.YourMove, page.Link{Href: page.CoursePath(id, "bench"), Text: "Look at the bench"}
	}
	switch st.Direction.Verdict {
	case findings.Unknown:
		why := "No direction: no stated judgement, and the readings do not decide."
		if len(st.Records.Readings) == 0 {
			why = "No direction: no readings and no stated judgement."
		} else if len(st.Records.Targets) == 0 {
			why = "No direction: there are readings, but no band is wanted."
		}
		return why, page.YourMove, page.Link{Href: page.CoursePath(id, "findings") + "#judge", Text: "Judge the direction"}
	case findings.Hold:
		if n := needKnown(st); n != nil {
			return fmt.Sprintf("In hand: hold it, on about %s mm of sand a year.", page.Num(n.Mid, 1)), page.Finished, page.Link{Href: page.CoursePath(id), Text: "Where it stands"}
		}
		return "In hand: hold it where it is.", page.Finished, page.Link{Href: page.CoursePath(id), Text: "Where it stands"}
	}
	s := surfaceSays(st)
	if first, _ := nextPlanned(st); first == nil {
		return s + " Plan the next season.", page.YourMove, page.Link{Href: page.CoursePath(id, "plan"), Text: "Read the answer"}
	}
	return s + " Work is planned.", page.Open, page.Link{Href: page.CoursePath(id, "plan"), Text: "See the plan"}
}

// surfaceSays is the direction in a short sentence.
func surfaceSays(st *standing) string {
	top := ""
	if len(st.Layers) > 0 && st.Layers[0].Trend.Estimated {
		switch st.Layers[0].Trend.Verdict {
		case findings.Rising:
			top = ", and gaining organic matter"
		case findings.Falling:
			top = ", and losing organic matter"
		}
	}
	by := "than wanted"
	if st.Judgement != nil {
		by = "than wanted, as judged"
	}
	soft, firm := "Softer or wetter ", "Firmer or drier "
	if st.Direction.Verdict == findings.Raise {
		return firm + by + top + "."
	}
	return soft + by + top + "."
}

// due says what comes next, and when.
func due(st *standing) (when, what string) {
	if d, _ := nextPlanned(st); d != nil {
		return dayNear(d.Work.Date, st.Today), lowerFirst(workName(d.Work.Kind)) + ", planned"
	}
	_, day, samples := lastRound(st)
	if len(samples) == 0 {
		return "no date", "take the first round"
	}
	return nextRound(day, st.Today), "next round"
}

// sandSoFar is the sand of the year on every course.
func sandSoFar(list []*standing, year int) page.Table {
	t := page.Table{Caption: fmt.Sprintf("Sand put on in %d", year), Head: []string{"Course", "Dressings", "mm", "t, dry", "Holding needs, mm"}}
	for _, st := range list {
		e := seasonOf(st, year)
		if e == nil {
			continue
		}
		row := []string{st.Records.Course.Title(), strconv.Itoa(e.Dressings), page.Num(e.SandMM(), 1), "–", "not known"}
		if st.AreaM2 > 0 {
			row[3] = page.Mass(e.SandKgM2 * st.AreaM2 / 1000)
		}
		if n := needKnown(st); n != nil {
			row[4] = page.Num(n.Mid, 1)
			if len(list) > fewCourses && n.of.Basis == balance.ByRounds {
				row[4] += " by the rounds"
			}
		}
		t.Rows = append(t.Rows, page.Row{Cells: row})
	}
	return t
}

// lately lists the last changes of all courses.
func (s *server) lately(r *http.Request, list []underfoot.Course) ([]page.Step, error) {
	changes, err := s.app.Store.Changes(r.Context(), "", 6)
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	for _, c := range list {
		names[c.ID] = c.Title()
	}
	var out []page.Step
	for _, c := range changes {
		x := page.Step{When: c.At.Format("2 Jan, 15:04"), State: page.Finished, Text: changeSaysWhat(c)}
		if len(c.Courses) == 1 && names[c.Courses[0]] != "" {
			x.Href, x.Quiet = page.CoursePath(c.Courses[0], "history"), names[c.Courses[0]]
		}
		out = append(out, x)
	}
	return out, nil
}
