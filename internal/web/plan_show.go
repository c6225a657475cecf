package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"underfoot/internal/app"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// showPlan shows the answer in full, with the season plan where one is asked for and what is planned.
func (s *server) showPlan(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	return s.planPage(w, r, http.StatusOK, st, r.URL.Query(), nil)
}

// planPage shows the plan for a question; bad is what was wrong when it was to be kept or accepted.
func (s *server) planPage(w http.ResponseWriter, r *http.Request, status int, st *standing, q url.Values, bad *app.FieldError) error {
	p := page.Plan{
		Course: st.Records.Course.ID, Direction: page.Direction{Verdict: string(st.Direction.Verdict)}, Answer: answerOf(st), Sand: sandOf(st, say.From(r.Context())),
	}
	p.Planned, p.Total = ledgerOf(st, st.Planned, 0)
	slices.Reverse(p.Planned)
	p.Statement = planSays(st)
	f := s.courseFrame(r, st, "Plan", "plan")
	f.Scripts = append(f.Scripts, "rehearse", "resume")
	var v *seasonView
	if p.Season, v = s.seasonOf(r, st, q); v != nil && v.ask.asked {
		status = max(status, v.opens(&p))
	}
	if p.Season.Result != nil {
		b := &p.Season.Result.Bench
		if name := q.Get("scenario"); name != "" { // also where something else was wrong
			b.Name = name
		}
		if bad != nil {
			b.Name, b.NameError = q.Get("scenario"), page.Sentence(bad.Text)
		}
	}
	return s.send.page(w, r, status, page.PlanPage(f, p))
}

// planSays is the statement of the plan: what the answer asks, and what is planned of it.
func planSays(st *standing) string {
	a := st.Advice()
	switch {
	case a.Reason != "":
		return "There is not enough yet to plan by."
	case a.Direction.Toward == season.Unknown:
		return "No direction yet, so nothing is advised."
	}
	var planned float64
	for i := range st.Planned {
		if st.Planned[i].Work.Date >= st.Today {
			planned += st.Planned[i].SandMM()
		}
	}
	asked := fmt.Sprintf("The answer asks for about %s mm of sand a year", page.Num(a.Top.Sand.Depth.Q50, 1))
	if a.Top.NoneNeeded {
		asked = "The answer asks for no sand on top this year"
	}
	if planned == 0 {
		return asked + "; none is planned yet."
	}
	return fmt.Sprintf("%s; %s mm is planned.", asked, page.Num(planned, 1))
}
