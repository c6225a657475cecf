package web

import (
	"fmt"
	"math"
	"net/http"
	"strings"

	"underfoot/bench"
	"underfoot/internal/web/page"
)

// listRuns lists the furnace runs of all courses: the bench mixes courses.
func (s *server) listRuns(w http.ResponseWriter, r *http.Request) error {
	list, err := s.app.Store.Courses(r.Context())
	if err != nil {
		return err
	}
	p := page.Runs{Frame: s.frame(r, "Bench", "bench")}
	p.Frame.Taken = true
	n, look := 0, 0
	list, p.Pages = someOf(r, list)
	for _, k := range s.standings(r.Context(), list) {
		if k.err != nil {
			return k.err
		}
		cr := page.CourseRuns{ID: k.course.ID, Name: k.course.Title()}
		for _, run := range runsOf(k.st) {
			row := runRow(k.st, &run)
			if row.State != page.Finished {
				look++
			}
			n++
			cr.Runs = append(cr.Runs, row)
		}
		p.Courses = append(p.Courses, cr)
	}
	switch {
	case n == 0:
		p.Statement = "No furnace run yet."
	case look == 0:
		p.Statement = fmt.Sprintf("%s, nothing to look at.", capital(page.CountWords(n, "furnace run", "furnace runs")))
	default:
		p.Statement = fmt.Sprintf("%s, %s to look at.", capital(page.CountWords(n, "furnace run", "furnace runs")), page.CountWords(look, "of them", "of them"))
	}
	if len(p.Pages) > 0 {
		p.Statement = "On the courses of this page: " + lowerFirst(p.Statement)
	}
	return s.send.page(w, r, http.StatusOK, page.RunsPage(p))
}

// runRow is one run in the list, with the worst thing to look at.
func runRow(st *standing, r *run) page.RunRow {
	row := page.RunRow{
		Name: r.title(), Href: runHref(st.Records.Course.ID, r), Temperature: temperatures(r), Control: "none burnt", State: page.Finished, Note: "nothing",
	}
	samples := map[string]bool{}
	rounds := map[string]bool{}
	var names []string
	worst := func(s page.State, note string) {
		if rank(s) < rank(row.State) {
			row.State, row.Note = s, note
		}
	}
	for _, w := range r.crucible {
		switch w.Kind {
		case "blank":
		case "control":
			om, z, accepted, ok := control(st, w)
			if !ok {
				continue
			}
			_, state := controlSays(om, z, accepted)
			if row.Control == "none burnt" || rank(state) < rank(row.State) {
				row.Control = page.Num(om, 2) + " %"
				if !math.IsNaN(z) {
					row.Control += ", " + page.Signed(z, 1) + " SD"
				}
			}
		default:
			samples[w.Sample] = true
			b := benchRowOf(st, w.Sample)
			if b == nil {
				continue
			}
			if !rounds[b.Round] {
				rounds[b.Round] = true
				names = append(names, b.Round)
			}
			if !b.Known {
				worst(page.YourMove, "composites still to weigh")
			} else if len(b.Warnings) > 0 {
				worst(page.Look, "warnings on composites")
			}
		}
	}
	if judged := st.Quality.Run(r.name); judged != nil {
		switch {
		case judged.Held():
			worst(page.Stopped, "held: "+strings.Join(judged.Judgement.Reasons(), "; "))
		case judged.Failed():
			worst(page.Look, "failed, released by "+judged.Release.By)
		case judged.Judgement.Verdict == bench.Look:
			worst(page.Look, strings.Join(judged.Judgement.Looks(), "; "))
		}
	}
	row.Composites, row.Rounds = fmt.Sprint(len(samples)), page.List(names)
	return row
}

func rank(s page.State) int {
	switch s {
	case page.Stopped:
		return 0
	case page.YourMove:
		return 1
	case page.Look:
		return 2
	case page.Open:
		return 3
	}
	return 4
}
