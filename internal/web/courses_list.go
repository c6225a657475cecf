package web

import (
	"cmp"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"underfoot"
	"underfoot/balance"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// coursesPage is how many courses a page of the list holds: with them it stays well below 150 kB over the wire.
const coursesPage = 40

// listedCourse is one course of the list with what it needs.
type listedCourse struct {
	app.Listed
	today underfoot.Date
	needs []page.CourseNeed
	due   underfoot.Date // 0 for no date
}

func (c *listedCourse) state() page.State {
	switch {
	case c.Summary == nil:
		return page.Open
	case c.Summary.Problem != "":
		return page.Stopped
	}
	return c.needs[0].State
}

// listCourses lists all courses, what needs attention first.
func (s *server) listCourses(w http.ResponseWriter, r *http.Request) error {
	all, err := s.app.Summaries(r.Context(), s.patience())
	if err != nil {
		return err
	}
	f := s.frame(r, "Courses", "courses")
	if len(all) == 0 {
		core := figure.Profile{
			Layers: []figure.Layer{
				{Top: 0, Bottom: 20, Estimate: figure.Estimate{Mid: math.NaN()}},
				{Top: 20, Bottom: 40, Estimate: figure.Estimate{Mid: math.NaN()}},
				{Top: 40, Bottom: 60, Estimate: figure.Estimate{Mid: math.NaN()}},
			}, From: 0, To: 60, Width: 170, Height: 460, Measure: measured(say.From(r.Context())),
		}.Scene().SVG()
		return s.send.page(w, r, http.StatusOK, page.EmptyPage(f, core, s.o.Local))
	}
	list := make([]*listedCourse, len(all))
	for i := range all {
		c := &listedCourse{Listed: all[i], today: all[i].Course.Today(s.app.Now())}
		if x := c.Summary; x != nil && x.Problem == "" {
			c.needs = courseNeeds(x, c.today)
			c.due, _, _ = dueOf(x, c.today)
		}
		list[i] = c
	}
	p := page.Courses{Frame: f, Season: strconv.Itoa(s.app.Now().Year()), Statement: listSays(list), Drafts: s.waitingDrafts()}
	few := len(all) <= app.FewCourses
	p.Because = workingSays(list)
	ask := r.URL.Query()
	shown := choose(&p, list, ask)
	p.Rows = rowsOf(shown, few, say.From(r.Context()))
	if slices.ContainsFunc(p.Rows, func(c page.CourseRow) bool { return c.Working != "" }) {
		p.Frame.Scripts = append(p.Frame.Scripts, "fresh")
	}
	p.Sand = sandSoFar(shown, s.app.Now().Year(), few)
	if p.Lately, err = s.lately(r, all); err != nil {
		return err
	}
	p.Frame.Done = s.done(r, "")
	return s.send.page(w, r, http.StatusOK, page.CoursesPage(p))
}

// workingSays tells how much of the list is still being worked out, empty when nothing is.
func workingSays(list []*listedCourse) string {
	missing, old := 0, 0
	for _, c := range list {
		switch {
		case c.Summary == nil:
			missing++
		case !c.Fresh:
			old++
		}
	}
	var out []string
	if missing > 0 {
		out = append(out, fmt.Sprintf("%s being worked out, one after the other; a course that is opened comes first.", capital(page.CountWords(missing, "course is", "courses are"))))
	}
	if old > 0 {
		out = append(out, fmt.Sprintf("%s changed since and shown as of the day stated.", capital(page.CountWords(old, "course has", "courses have"))))
	}
	return strings.Join(out, " ")
}

// filters are the ways to see part of the list.
var filters = []struct {
	key, text string
	state     page.State
	take      func(*listedCourse) bool
}{
	{"", "All courses", "", func(*listedCourse) bool { return true }},
	{"stopped", "Stopped", page.Stopped, func(c *listedCourse) bool { return c.state() == page.Stopped }},
	{"yours", "Your move", page.YourMove, func(c *listedCourse) bool { return c.state() == page.YourMove }},
	{"look", "Look at this", page.Look, func(c *listedCourse) bool { return c.state() == page.Look }},
	{"month", "Due within a month", "", func(c *listedCourse) bool { return c.due != 0 && c.due <= c.today+31 }},
	{"lower", "Lower", "", func(c *listedCourse) bool { return c.directed(findings.Lower) }},
	{"hold", "Hold", "", func(c *listedCourse) bool { return c.directed(findings.Hold) }},
	{"raise", "Raise", "", func(c *listedCourse) bool { return c.directed(findings.Raise) }},
	{"none", "No direction", "", func(c *listedCourse) bool { return c.directed(findings.Unknown) }},
}

func (c *listedCourse) directed(v findings.Verdict) bool {
	return c.Summary != nil && c.Summary.Problem == "" && c.Summary.Direction == v
}

// choose filters, orders and pages the list as asked, and fills in the links that do so.
func choose(p *page.Courses, list []*listedCourse, ask url.Values) []*listedCourse {
	show, order := ask.Get("show"), ask.Get("order")
	link := func(show, order string, page int) string {
		q := url.Values{}
		for k, v := range map[string]string{"show": show, "order": order} {
			if v != "" {
				q.Set(k, v)
			}
		}
		if page > 1 {
			q.Set("page", strconv.Itoa(page))
		}
		if len(q) == 0 {
			return "/"
		}
		return "/?" + q.Encode()
	}
	taken := list
	for _, f := range filters {
		var some []*listedCourse
		for _, c := range list {
			if f.take(c) {
				some = append(some, c)
			}
		}
		if f.key != "" && (len(some) == 0 || len(some) == len(list)) && f.key != show {
			continue
		}
		if f.key == show {
			taken = some
		}
		p.Filters = append(p.Filters, page.ListLink{Href: link(f.key, order, 1), Text: fmt.Sprintf("%s %d", f.text, len(some)), State: f.state, Current: f.key == show})
	}
	taken = slices.Clone(taken)
	sortCourses(taken, order)
	for _, o := range []struct{ key, text string }{{"", "What needs attention"}, {"name", "Name"}, {"due", "Next date"}} {
		p.Orders = append(p.Orders, page.ListLink{Href: link(show, o.key, 1), Text: o.text, Current: o.key == order})
	}
	pages := max(1, (len(taken)+coursesPage-1)/coursesPage)
	at, _ := strconv.Atoi(ask.Get("page"))
	at = min(max(at, 1), pages)
	from := (at - 1) * coursesPage
	until := min(len(taken), from+coursesPage)
	if pages > 1 {
		p.Shown = fmt.Sprintf("Courses %d to %d of %d", from+1, until, len(taken))
		if at > 1 {
			p.Pages = append(p.Pages, page.ListLink{Href: link(show, order, at-1), Text: "The ones before"})
		}
		for n := 1; n <= pages; n++ {
			if n == 1 || n == pages || n >= at-2 && n <= at+2 {
				p.Pages = append(p.Pages, page.ListLink{Href: link(show, order, n), Text: strconv.Itoa(n), Current: n == at})
			}
		}
		if at < pages {
			p.Pages = append(p.Pages, page.ListLink{Href: link(show, order, at+1), Text: "The next ones"})
		}
	} else if len(taken) == 0 {
		p.Shown = "No course is like that now."
	}
	return taken[from:until]
}

func sortCourses(list []*listedCourse, order string) {
	name := func(a, b *listedCourse) int {
		return cmp.Or(strings.Compare(strings.ToLower(a.Course.Title()), strings.ToLower(b.Course.Title())), strings.Compare(a.Course.ID, b.Course.ID))
	}
	switch order {
	case "name":
		slices.SortStableFunc(list, name)
	case "due":
		slices.SortStableFunc(list, func(a, b *listedCourse) int {
			if (a.due == 0) != (b.due == 0) {
				return cmp.Compare(b.due, a.due)
			}
			return cmp.Or(cmp.Compare(a.due, b.due), name(a, b))
		})
	default:
		slices.SortStableFunc(list, func(a, b *listedCourse) int { return cmp.Compare(attention[a.state()], attention[b.state()]) })
	}
}

// listSays is the statement of the list: how many courses wait, and for whom.
func listSays(list []*listedCourse) string {
	var stopped, yours int
	for _, c := range list {
		switch c.state() {
		case page.Stopped:
			stopped++
		case page.YourMove:
			yours++
		}
	}
	return statementOf(stopped, yours)
}

func statementOf(stopped, yours int) string {
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

// rowsOf lays the courses of a page out; their sparks share one span of time and their bars one scale.
func rowsOf(list []*listedCourse, few bool, style say.Style) []page.CourseRow {
	from, to, most := time.Time{}, time.Time{}, 8.0
	for _, c := range list {
		if c.Summary == nil {
			continue
		}
		for i := range c.Summary.Layers {
			for _, m := range c.Summary.Layers[i].Rounds {
				if from.IsZero() || m.At.Before(from) {
					from = m.At
				}
				if m.At.After(to) {
					to = m.At
				}
			}
		}
		if n := c.Summary.Need; n != nil {
			most = math.Max(most, n.High)
		}
	}
	rows := make([]page.CourseRow, len(list))
	for i, c := range list {
		rows[i] = courseRow(c, few, from, to, most, style)
	}
	return rows
}

func courseRow(c *listedCourse, few bool, from, to time.Time, most float64, style say.Style) page.CourseRow {
	row := page.CourseRow{ID: c.Course.ID, Name: c.Course.Title()}
	s := c.Summary
	if s == nil {
		row.About, row.Blank, row.NeedState, row.Working = c.Course.Country, true, page.Open, "This course is being worked out."
		return row
	}
	if s.Problem != "" {
		row.About, row.Problem, row.NeedState = c.Course.Country, page.Sentence(s.Problem), page.Stopped
		return row
	}
	row.About = aboutGreens(s.Surface, s.Greens, s.Species)
	row.Direction = page.Direction{Verdict: string(s.Direction)}
	if !c.Fresh {
		row.Working = fmt.Sprintf("As of %s; what changed since is being worked out.", dayNear(s.Day, c.today))
	}
	row.Need, row.NeedState, row.NeedLink, row.Also = c.needs[0].Text, c.needs[0].State, c.needs[0].Link, c.needs[1:]
	var core []figure.Layer
	for i := range s.Layers {
		l := &s.Layers[i]
		core = append(core, figure.Layer{Top: l.TopMM, Bottom: l.BottomMM, Estimate: levelIn(l.Last())})
		row.Layers = append(row.Layers, courseLayer(l, from, to))
	}
	row.Core = figure.Profile{Layers: core, Plain: true, Width: 22, Height: float64(max(2, 30*len(s.Layers)+2))}.Scene().SVG()
	bar := figure.SandBar{Max: most, Measure: measured(style)}
	row.Season = strconv.Itoa(c.today.Year())
	if e := s.Season; e != nil {
		bar.Applied, row.Season = e.SandMM(), strconv.Itoa(e.Year)
		if s.Need != nil {
			bar.Applied = e.TopMM
		}
	}
	if n := s.Need; n != nil {
		bar.Needed = &figure.Estimate{Mid: n.Mid, Outer: figure.Interval{Low: n.Low, High: n.High}}
	}
	row.Sand = bar.Scene().SVG(figure.Still())
	if !s.Settled && few && row.Working == "" {
		row.Working = "The need is by the rounds alone; the profile model is being worked out."
	} else if s.Need != nil && s.Need.Basis == balance.ByRounds && !s.Settled {
		row.SandNote = "need by the rounds"
	}
	_, row.Due, row.DueNote = dueOf(s, c.today)
	return row
}

func levelIn(m app.SummaryRound) figure.Estimate {
	return figure.Estimate{Mid: m.Mean, Outer: figure.Interval{Low: m.Low, High: m.High}}
}

func courseLayer(l *app.SummaryLayer, from, to time.Time) page.CourseLayer {
	m := l.Last()
	x := page.CourseLayer{Name: l.Name(), OM: page.Num(m.Mean, 1), PM: page.Span(m.Low, m.High, 1), Change: "one round"}
	spark := figure.Spark{Layer: l.Name(), From: from, To: to}
	for _, r := range l.Rounds {
		round := figure.Round{At: r.At, Estimate: levelIn(r)}
		if r.Released {
			round.Kind = figure.Released
		}
		spark.Rounds = append(spark.Rounds, round)
	}
	x.Spark = spark.Scene().SVG(figure.Still())
	if l.Estimated {
		x.Change = "no change seen"
		if l.Verdict != findings.NoChange {
			x.Change = fmt.Sprintf("%s (%s)", page.Signed(l.Slope, 2), page.Reach(l.Low90, l.High90, 2))
		}
	}
	return x
}

// sandSoFar is the sand of the year on the courses of a page.
func sandSoFar(list []*listedCourse, year int, few bool) page.Table {
	t := page.Table{Caption: fmt.Sprintf("Sand put on in %d", year), Head: []string{"Course", "Dressings", "mm", "t, dry", "Holding needs, mm"}}
	for _, c := range list {
		if c.Summary == nil || c.Summary.Season == nil || c.Summary.Season.Year != year {
			continue
		}
		e := c.Summary.Season
		row := []string{c.Course.Title(), strconv.Itoa(e.Dressings), page.Num(e.SandMM(), 1), "–", "not known"}
		if c.Summary.AreaM2 > 0 {
			row[3] = page.Mass(e.SandKgM2 * c.Summary.AreaM2 / 1000)
		}
		if n := c.Summary.Need; n != nil {
			row[4] = page.Num(n.Mid, 1)
			if n.Basis == balance.ByRounds && !c.Summary.Settled {
				row[4] += " by the rounds"
			}
		}
		t.Rows = append(t.Rows, page.Row{Cells: row})
	}
	return t
}

// lately lists the last changes of all courses.
func (s *server) lately(r *http.Request, list []app.Listed) ([]page.Step, error) {
	changes, err := s.app.Lately(r.Context())
	if err != nil {
		return nil, err
	}
	var out []page.Step
	for _, c := range changes {
		x := page.Step{When: c.At.Format("2 Jan, 15:04"), State: page.Finished, Text: changeSaysWhat(c)}
		if len(c.Courses) == 1 {
			if i := slices.IndexFunc(list, func(l app.Listed) bool { return l.Course.ID == c.Courses[0] }); i >= 0 {
				x.Href, x.Quiet = page.CoursePath(c.Courses[0], "history"), list[i].Course.Title()
			}
		}
		out = append(out, x)
	}
	return out, nil
}
