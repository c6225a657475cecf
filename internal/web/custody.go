package web

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// marking is the form of one round as it was filled in.
type marking struct {
	round          string
	date, by, note string
	read           string
	ticked         map[string]bool
	at, wrong      string // the field at fault, and why
}

// showCustody shows where the composites of every round are.
func (s *server) showCustody(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	round := r.URL.Query().Get("round")
	if sample := r.URL.Query().Get("sample"); sample != "" {
		for i := range st.Records.Samples {
			if x := &st.Records.Samples[i]; x.ID == sample {
				round = x.RoundLabel()
			}
		}
	}
	return s.custodyPage(w, r, http.StatusOK, st, &marking{round: round})
}

// markCustody writes one step down for many composites, or shows the page again with what is wrong.
func (s *server) markCustody(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	course := st.Records.Course.ID
	f := &marking{
		round: r.PostFormValue("round"), date: strings.TrimSpace(r.PostFormValue("date")), by: strings.TrimSpace(r.PostFormValue("by")),
		note: strings.TrimSpace(r.PostFormValue("note")), read: r.PostFormValue("read"), ticked: map[string]bool{},
	}
	for _, name := range r.PostForm["sample"] {
		f.ticked[name] = true
	}
	m := app.Marking{Course: course, Step: r.PostFormValue("step"), By: f.by, Note: f.note}
	var round *app.CustodyRound
	rounds := app.Custody(st.Records, st.Today)
	for i := range rounds {
		if rounds[i].Label == f.round {
			round = &rounds[i]
		}
	}
	if round == nil {
		return underfoot.Errorf(underfoot.NotFound, "course %q has no round %q", course, f.round)
	}
	if all := r.PostFormValue("all"); all != "" {
		m.Step = all
		for _, row := range round.Rows {
			if row.Next == all {
				m.Samples = append(m.Samples, row.Sample.ID)
			}
		}
	} else {
		m.Samples = f.chosen(round)
	}
	if f.wrong == "" {
		if m.Date, err = underfoot.ParseDate(f.date); err != nil {
			f.at, f.wrong = "date", "date: "+err.Error()
		}
	}
	if f.wrong == "" {
		var bad *app.FieldError
		change, err := s.app.MarkCustody(r.Context(), s.who(w, r, f.by), m)
		if err == nil {
			to := page.CustodyPath(course, f.round)
			if change.ID != 0 {
				to += "&done=" + strconv.FormatInt(change.ID, 10)
			}
			http.Redirect(w, r, to, http.StatusSeeOther)
			return nil
		}
		if !errors.As(err, &bad) {
			return err
		}
		f.at, f.wrong = bad.Column, bad.Text
		if bad.Column == "sample" || bad.Column == "step" {
			f.at = ""
		}
	}
	return s.custodyPage(w, r, http.StatusUnprocessableEntity, st, f)
}

// chosen are the composites ticked, and those whose names were typed or read from their codes: lines that are no name of
// the round's composites are the rest of a label's text.
func (f *marking) chosen(round *app.CustodyRound) []string {
	lines := map[string]bool{}
	for line := range strings.Lines(f.read) {
		if line = strings.TrimSpace(line); line != "" {
			lines[line] = true
		}
	}
	found := false
	var out []string
	for _, row := range round.Rows {
		found = found || lines[row.Sample.ID]
		if f.ticked[row.Sample.ID] || lines[row.Sample.ID] {
			out = append(out, row.Sample.ID)
		}
	}
	if len(lines) > 0 && !found {
		f.at, f.wrong = "read", fmt.Sprintf("no line of what was read names a bag of round %q: names such as %s are allowed", round.Label, round.Rows[0].Sample.ID)
	}
	return out
}

func (s *server) custodyPage(w http.ResponseWriter, r *http.Request, status int, st *standing, f *marking) error {
	course := st.Records.Course.ID
	rounds := app.Custody(st.Records, st.Today)
	p := page.Custody{Frame: s.courseFrame(r, st, "Chain of custody", "round"), Course: course}
	if len(rounds) == 0 {
		p.Statement = "No round has been taken or planned yet, so there is nothing in anyone’s hands."
		return s.send.page(w, r, status, page.CustodyPage(p))
	}
	p.Statement, p.Because = custodySays(rounds)
	open := f.round
	if open == "" {
		open = rounds[0].Label
	}
	for i := range rounds {
		c := s.custodyRound(st, &rounds[i])
		c.Open = c.Label == open
		day, by := st.Today.String(), orWho("", r)
		if c.Label == f.round && f.wrong != "" {
			day, by, c.Error, c.ErrorAt = f.date, f.by, page.Sentence(f.wrong), f.at
			c.Read.Value, c.Note.Value = f.read, f.note
			for k := range c.Rows {
				c.Rows[k].Ticked = f.ticked[c.Rows[k].Sample]
			}
		}
		c.Date = page.Field{Name: "date", Label: "Day", Type: "date", Value: day, Wide: 3, Half: true, Need: true}
		c.By = page.Field{Name: "by", Label: "In whose hands", Value: by, Wide: 4, Half: true, Need: true}
		c.Note.Name, c.Note.Label, c.Note.Wide = "note", "Note", 4
		c.Read.Name, c.Read.Label, c.Read.Type, c.Read.Wide = "read", "Names read from labels, one a line", "area", 6
		c.Read.Hint = "for a reader that types; lines that are no name are passed over"
		for _, x := range []*page.Field{&c.Date, &c.By, &c.Note, &c.Read} {
			if c.ErrorAt == x.Name {
				x.Error = c.Error
			}
		}
		p.Rounds = append(p.Rounds, c)
	}
	return s.send.page(w, r, status, page.CustodyPage(p))
}

// custodySays is the answer of the page: whether a bag is missing.
func custodySays(rounds []app.CustodyRound) (statement, because string) {
	behind, kept := 0, 0
	for i := range rounds {
		if rounds[i].Kept {
			kept++
		}
		for _, row := range rounds[i].Rows {
			if custodyMissing(&row) {
				behind++
			}
		}
	}
	latest := &rounds[0]
	switch {
	case behind > 0:
		statement = fmt.Sprintf("%s where the others of the round are.", capital(page.CountWords(behind, "bag is not", "bags are not")))
	case kept == 0:
		statement = "Nobody has written down yet who had the bags when."
	default:
		statement = "No bag is missing from its round."
	}
	because = fmt.Sprintf("Round “%s” holds %s. What is marked here can be undone; steps that weighings and results show are said to be implied.", latest.Label, page.CountWords(len(latest.Rows), "bag", "bags"))
	return statement, because
}

func custodyMissing(row *app.CustodyRow) bool {
	for _, c := range row.Cells {
		if c.State == app.CustodyBehind {
			return true
		}
	}
	return false
}

func (s *server) custodyRound(st *standing, r *app.CustodyRound) page.CustodyRound {
	c := page.CustodyRound{Label: r.Label, When: "No day yet", Kept: r.Kept, Steps: app.CustodySteps()}
	if r.Date != 0 {
		c.When = page.Day(r.Date.Time())
	}
	waiting := map[string]int{}
	done := 0
	for i := range r.Rows {
		row := &r.Rows[i]
		if row.Next == "" {
			done++
		} else {
			waiting[row.Next]++
		}
		c.Rows = append(c.Rows, custodyRow(st, row))
	}
	deepest := 0.0
	for _, row := range c.Rows {
		deepest = max(deepest, row.Layer.BottomMM)
	}
	for i := range c.Rows {
		c.Rows[i].Layer.TotalMM = deepest
	}
	var parts []string
	for _, step := range c.Steps {
		if n := waiting[step]; n > 0 {
			c.Quick = append(c.Quick, page.CustodyQuick{Step: step, Text: fmt.Sprintf("Mark %s as %s", allOf(n, len(r.Rows)), step)})
			parts = append(parts, fmt.Sprintf("%s to be %s", page.CountWords(n, "waits", "wait"), step))
		}
	}
	if done > 0 {
		parts = append(parts, page.CountWords(done, "has its result", "have their results"))
	}
	c.Says = fmt.Sprintf("%s: %s.", capital(page.CountWords(len(r.Rows), "bag", "bags")), page.List(parts))
	if !r.Kept && done > 0 {
		c.Says += " No chain of custody was kept."
	}
	for _, t := range r.Behind {
		c.Behind = append(c.Behind, t+".")
	}
	for _, t := range r.Faults {
		c.Faults = append(c.Faults, page.Sentence(t))
	}
	for _, t := range r.Gaps {
		c.Gaps = append(c.Gaps, t+".")
	}
	return c
}

func allOf(n, of int) string {
	if n == of {
		return fmt.Sprintf("all %d", n)
	}
	return fmt.Sprintf("the %d waiting", n)
}

// custodyRow says where a composite is.
func custodyRow(st *standing, row *app.CustodyRow) page.CustodyRow {
	out := page.CustodyRow{
		Sample: row.Sample.ID, Green: row.Green,
		Layer: page.Depths{Name: row.Sample.Layer(), TopMM: row.Sample.TopMM, BottomMM: row.Sample.BottomMM, TotalMM: row.Sample.BottomMM},
		Where: "not cut yet", State: page.Open,
	}
	var gaps []string
	for _, c := range row.Cells {
		cell := page.CustodyCell{By: c.By, Bad: page.Sentence(c.Fault)}
		day := ""
		if c.Date != 0 {
			day = page.PlainDay(c.Date.Time())
			if c.Date.Year() == st.Today.Year() {
				day = c.Date.Time().Format("2 Jan")
			}
		}
		switch c.State {
		case app.CustodyRecorded:
			cell.State, cell.Word = page.Finished, day
			out.Where = c.Step + " " + day + ", " + c.By
		case app.CustodyImplied:
			cell.State, cell.Word = page.Finished, "implied"
			if day != "" {
				cell.Word += ", " + day
			}
			out.Where = strings.TrimSpace(c.Step+" "+day) + " (implied)"
		case app.CustodyGap:
			cell.State, cell.Word = page.Look, "not written down"
			gaps = append(gaps, c.Step)
		case app.CustodyBehind:
			cell.State, cell.Word = page.Stopped, "missing"
		default:
			cell.Open = true
		}
		out.Cells = append(out.Cells, cell)
	}
	switch {
	case custodyMissing(row):
		out.State, out.Wait = page.Stopped, "missing: not "+row.Next+", as others are"
	case row.Next != "":
		out.Wait = "next: " + row.Next
	case len(gaps) > 0:
		out.State, out.Wait = page.Look, "not written down: "+page.List(gaps)
	}
	return out
}
