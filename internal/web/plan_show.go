package web

import (
	"fmt"
	"net/http"
	"slices"

	"underfoot/internal/web/page"
	"underfoot/season"
)

// showPlan shows the answer in full, with what is planned.
func (s *server) showPlan(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	p := page.Plan{
		Course: st.Records.Course.ID, Direction: page.Direction{Verdict: string(st.Direction.Verdict)}, Answer: answerOf(st), Sand: sandOf(st),
	}
	p.Planned, p.Total = ledgerOf(st, st.Planned, 0)
	slices.Reverse(p.Planned)
	p.Statement = planSays(st)
	f := s.courseFrame(r, st, "Plan", "plan")
	f.Scripts = append(f.Scripts, "rehearse")
	status := http.StatusOK
	var v *seasonView
	if p.Season, v = s.seasonOf(r, st, r.URL.Query()); v != nil && v.ask.asked {
		status = v.opens(&p)
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
