package web

import (
	"fmt"
	"net/http"
	"slices"
	"sort"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showLog shows the log of work with an empty form.
func (s *server) showLog(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	d := newDraft(st, st.Today, r.URL.Query().Get("kind"))
	if r.URL.Query().Get("status") == "planned" {
		d.texts["status"] = "planned"
	}
	return s.logPage(w, r, http.StatusOK, st, d)
}

func (s *server) logPage(w http.ResponseWriter, r *http.Request, status int, st *standing, d *workDraft) error {
	d.who = orWho(d.who, r)
	year := st.Today.Year()
	if y, err := strconv.Atoi(r.URL.Query().Get("season")); err == nil {
		year = y
	}
	f := s.courseFrame(r, st, "Log", "log")
	f.Scripts = append(f.Scripts, "log")
	p := page.Log{Frame: f, Form: d.form(), Season: strconv.Itoa(year), Note: perMillimetre(st)}
	p.Statement, p.Because = logSays(st, st.Today.Year())
	for _, y := range years(st) {
		p.Seasons = append(p.Seasons, page.SeasonLink{Name: strconv.Itoa(y), Current: y == year})
	}
	p.Entries, p.Total = ledgerOf(st, st.Done, year)
	p.Planned, _ = ledgerOf(st, st.Planned, 0)
	slices.Reverse(p.Planned)
	if len(p.Entries) > 0 {
		p.Figure = seasonFigure(st, year, say.From(r.Context()))
	}
	p.BySeason = bySeason(st)
	return s.send.page(w, r, status, page.LogPage(p))
}

// years are the seasons with work, newest first, and this one.
func years(st *standing) []int {
	out := []int{st.Today.Year()}
	for _, e := range st.Seasons {
		if e.Year != st.Today.Year() {
			out = append(out, e.Year)
		}
	}
	sort.Sort(sort.Reverse(sort.IntSlice(out)))
	return out
}

// perMillimetre says what a millimetre of sand weighs over all greens.
func perMillimetre(st *standing) string {
	if st.AreaM2 == 0 {
		return "The area of the greens is not known, so there are no tonnes."
	}
	density := float64(st.SandDensity())
	taken := ""
	if !st.Sand.BulkDensity.Known {
		taken = ", taken because none is written down"
	}
	return fmt.Sprintf("1 mm over all %d greens, %s m², is %s t, dry, at %s kg/m³%s.", len(st.Greens), page.Num(st.AreaM2, 0),
		page.Mass(density*st.AreaM2/1e6), page.Num(density, 0), taken)
}

// logSays is the statement of the log: this season’s sand, beside what holding needs.
func logSays(st *standing, year int) (statement, because string) {
	e := seasonOf(st, year)
	if e == nil || e.SandMM() == 0 {
		statement = fmt.Sprintf("No sand was logged in %d so far", year)
	} else {
		statement = fmt.Sprintf("%s mm of sand in %d", page.Num(e.SandMM(), 1), year)
		if e.Dressings > 0 {
			statement = fmt.Sprintf("%s mm of sand in %s", page.Num(e.SandMM(), 1), page.CountWords(e.Dressings, "dressing", "dressings"))
		}
		if e.DeepMM > 0.05 {
			because = fmt.Sprintf("Of it, %s mm went into holes and %s mm onto the surface.", page.Num(e.DeepMM, 1), page.Num(e.SurfaceMM, 1))
			if need := needMM(st); need != nil {
				because += fmt.Sprintf(" %s got %s mm.", need.layer, page.Num(e.TopMM, 1))
			}
		}
	}
	if need := needMM(st); need != nil {
		statement += fmt.Sprintf("; holding %s needs %s a year", need.layer, page.Num(need.Mid, 1))
	}
	return statement + ".", because
}

// ledgerOf lists the work of a year with the running sand, newest first; year 0 means all.
func ledgerOf(st *standing, done []app.Done, year int) ([]page.Entry, *page.Entry) {
	var out []page.Entry
	var mm, kg float64
	for i := range done {
		d := &done[i]
		if year != 0 && d.Work.Date.Year() != year {
			continue
		}
		mm += d.SandMM()
		kg += d.SandKgM2
		out = append(out, entryOf(st, d, mm))
	}
	if len(out) == 0 {
		return nil, nil
	}
	total := &page.Entry{SoFarMM: page.Num(mm, 2), MM: page.Num(mm, 2), KgM2: page.Num(kg, 2), Where: "mean of all greens"}
	if st.AreaM2 > 0 {
		total.Tonnes = page.Mass(kg * st.AreaM2 / 1000)
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out, total
}

// entryOf is one line of the ledger. Amounts are on the greens the entry names; the running total is over all greens.
func entryOf(st *standing, d *app.Done, soFar float64) page.Entry {
	w := &d.Work
	e := page.Entry{ID: w.ID, Day: w.Date.Time().Format("Mon 2 Jan"), Kind: w.Kind, Work: workName(w.Kind), Where: "all " + strconv.Itoa(len(st.Greens)) + " greens"}
	if w.Planned() {
		e.Day, e.Planned = page.PlainDay(w.Date.Time()), true
	}
	if w.Green != "" {
		e.Where = st.GreenTitle(w.Green)
	}
	if w.Sand != "" {
		e.Where += ", " + sandTitle(st, w.Sand)
	}
	if set := setting(w); set != "" {
		e.Where += "; " + set
	}
	if w.Note != "" {
		e.Where += ". " + page.Sentence(w.Note)
	}
	for _, n := range d.Notes {
		e.Warning = page.Sentence(n)
	}
	if d.SandMM() == 0 {
		e.Remark = remark(d)
		return e
	}
	share := d.Share
	if share == 0 {
		share = 1
	}
	e.MM, e.KgM2, e.SoFarMM = page.Num(d.SandMM()/share, 2), page.Num(d.SandKgM2/share, 2), page.Num(soFar, 2)
	if st.AreaM2 > 0 {
		e.Tonnes = page.Mass(d.TonnesOver(st.AreaM2))
	}
	return e
}

func sandTitle(st *standing, id string) string {
	for i := range st.Records.Sands {
		if st.Records.Sands[i].ID == id {
			return st.Records.Sands[i].Title()
		}
	}
	return id
}

// setting says how tines, blades or injection were set.
func setting(w *underfoot.Work) string {
	s := ""
	switch {
	case w.TineDiameterMM.Known && w.SpacingAlongMM.Known:
		s = fmt.Sprintf("%s mm at %s × %s mm", num(w.TineDiameterMM.Value), num(w.SpacingAlongMM.Value), num(w.SpacingAcrossMM.Or(w.SpacingAlongMM.Value)))
	case w.BladeWidthMM.Known && w.BladeSpacingMM.Known:
		s = fmt.Sprintf("%s mm blades at %s mm", num(w.BladeWidthMM.Value), num(w.BladeSpacingMM.Value))
	}
	if w.DepthMM.Known {
		if s != "" {
			s += ", "
		}
		s += num(w.DepthMM.Value) + " mm deep"
	}
	return s
}

func num(v float64) string { return underfoot.FormatNumber(v) }

// remark says what an entry without sand came to.
func remark(d *app.Done) string {
	w := &d.Work
	switch {
	case w.NitrogenKgHa.Known:
		return page.Num(w.NitrogenKgHa.Value, 1) + " kg/ha"
	case w.ClippingsL100M2.Known:
		return page.Num(w.ClippingsL100M2.Value, 1) + " L/100 m²"
	case d.Opened > 0 && d.Removed:
		return page.Num(d.Opened*100, 1) + " % of the surface opened, taken off"
	case d.Opened > 0:
		return page.Num(d.Opened*100, 1) + " % opened, nothing removed"
	}
	return ""
}

// bySeason is the table of seasons.
func bySeason(st *standing) page.Table {
	t := page.Table{Caption: "Season by season", Head: []string{"", "Dressings", "mm", "t, dry", "Opened, %"}}
	for i := len(st.Seasons) - 1; i >= 0; i-- {
		e := &st.Seasons[i]
		tonnes := "–"
		if st.AreaM2 > 0 {
			tonnes = page.Mass(e.SandKgM2 * st.AreaM2 / 1000)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			strconv.Itoa(e.Year), strconv.Itoa(e.Dressings), page.Num(e.SandMM(), 1), tonnes, page.Num(e.Opened*100, 1),
		}})
	}
	return t
}

// onOr is "on", or where the sand went into.
func onOr(into string) string {
	if into == "" {
		return "on"
	}
	return strings.TrimSpace(into)
}

// seasonFigure draws the season’s sand as it went on.
func seasonFigure(st *standing, year int, style say.Style) *page.Figure {
	f := figure.SandSeason{
		From: underfoot.MakeDate(year, 1, 1).Time(), To: underfoot.MakeDate(year+1, 1, 1).Time(), Until: underfoot.MakeDate(year+1, 1, 1).Time(), Measure: measured(style),
	}
	if year == st.Today.Year() {
		f.Until = st.Today.Time()
	}
	t := page.Table{Caption: "Sand so far, mm over all greens", Head: []string{"Day", "Put on", "So far"}}
	need := needMM(st)
	into := ""
	if need != nil { // set against what holds a layer, the sand is what went into that layer
		into = " into " + need.layer
		t.Caption = "Sand" + into + " so far, mm over all greens"
	}
	var sum float64
	for i := range st.Done {
		d := &st.Done[i]
		mm := d.SandMM()
		if need != nil {
			mm = d.TopMM
		}
		if d.Work.Date.Year() != year || mm == 0 {
			continue
		}
		sum += mm
		f.Dressings = append(f.Dressings, figure.Dressing{At: d.Work.Date.Time(), Amount: mm})
		t.Rows = append(t.Rows, page.Row{Cells: []string{page.PlainDay(d.Work.Date.Time()), page.Num(mm, 2), page.Num(sum, 2)}})
	}
	if len(f.Dressings) == 0 {
		return nil
	}
	out := &page.Figure{Says: fmt.Sprintf("%s mm of sand went %s in %d.", page.Num(sum, 1), onOr(into), year), YAxis: "Sand since 1 January, " + style.Unit("mm"), Table: &t}
	if need != nil {
		end := underfoot.MakeDate(year+1, 1, 1).Time()
		f.Need = []figure.NeedPoint{{At: f.From}, {At: end, Mid: need.Mid, Low: need.Outer.Low, High: need.Outer.High}}
		out.Sure = fmt.Sprintf("Holding %s needs %s mm a year (%s, 9 in 10), drawn here as if it went on evenly.", need.layer, page.Num(need.Mid, 1),
			page.Span(need.Outer.Low, need.Outer.High, 1))
		if year == st.Today.Year() {
			out.Says = fmt.Sprintf("%s mm of sand went %s in %d so far.", page.Num(sum, 1), onOr(into), year)
		}
	}
	out.Picture = page.Draw(f.Scene())
	return out
}
