package web

import (
	"fmt"
	"net/http"

	"underfoot/internal/web/page"
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
	p.Statement = planSays(st)
	f := s.courseFrame(r, st, "Plan", "plan")
	return s.send.page(w, r, http.StatusOK, page.PlanPage(f, p))
}

// planSays is the statement of the plan: the need, and what is planned of it.
func planSays(st *standing) string {
	n := needMM(st)
	if n == nil {
		return "There is not enough yet to plan by."
	}
	return fmt.Sprintf("Holding %s takes about %s mm of sand a year.", n.layer, page.Num(n.Mid, 1))
}
