package web

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"strings"

	"underfoot/findings"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/internal/workbook"
)

// sendWorkbook sends every table of a course as a spreadsheet, with the season plan the address asks for, or the usual one.
func (s *server) sendWorkbook(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	q := r.URL.Query()
	o := workbook.Options{Author: strings.TrimSpace(q.Get("by")), When: s.app.Now().In(st.Records.Course.Zone()), Version: s.o.Version}
	if o.Author == "" {
		o.Author = orWho("", r)
	}
	o.Plan, o.WhyNot = s.planFor(r.Context(), st, q)
	var b bytes.Buffer
	if err := workbook.Of(st, o).Write(&b); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
	h.Set("Content-Disposition", `attachment; filename="`+plainName(st.Records.Course.ID)+`.xlsx"`)
	h.Set("Cache-Control", "private, no-store")
	w.Write(b.Bytes()) // one who has left needs no answer
	return nil
}

// planFor looks for the plan that an address asks for, or the usual one; why says in a sentence why there is none.
func (s *server) planFor(ctx context.Context, st *standing, q url.Values) (p *workbook.Plan, why string) {
	if st.Direction.Verdict == findings.Unknown {
		return nil, "there is no direction to plan for yet."
	}
	m, err := st.Model()
	if err != nil {
		return nil, page.Sentence(err.Error())
	}
	a := newSeasonAsk(st, m, q, say.From(ctx))
	ask := a.read()
	if a.faulty() {
		return nil, "the question for a plan needs another look: ask it on the plan page."
	}
	x := s.seasons.find(ctx, st, m, a.query().Encode(), ask)
	if x.err != nil {
		return nil, page.Sentence(strings.TrimPrefix(x.err.Error(), "season: "))
	}
	terms := readTerms(q)
	found, err := x.plan.Found(x.took.Seconds(), terms.storageT, terms.lead)
	if err != nil {
		return nil, page.Sentence(strings.TrimPrefix(err.Error(), "sand order: "))
	}
	return &workbook.Plan{Season: x.plan, Found: found}, found.Unmet
}
