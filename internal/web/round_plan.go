package web

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// planDraft is a round as it is typed.
type planDraft struct {
	was    string // label of the kept plan, "" for a new one
	texts  map[string]string
	greens map[string]string // "top" or "full" by green
	errors map[string]string
	plan   underfoot.RoundPlan // the last that could be read
}

// planColumns are the fields of the form that are columns of a plan.
var planColumns = []string{"round", "date", "layers", "cores", "core_diameter_mm", "verdure", "seed", "note"}

// usualLayers is what the layers of a round may look like, in mm.
const usualLayers = "0-20 20-40 40-60"

// planFields label them.
var planFields = map[string]page.Field{
	"round":            {Label: "Name of the round", Wide: 3, Half: true, Need: true, Hint: "its samples will carry it"},
	"date":             {Label: "Date", Type: "date", Wide: 3, Half: true, Need: true},
	"layers":           {Label: "Layers below the surface", Unit: "mm", Several: true, Wide: 6, Need: true},
	"cores":            {Label: "Cores a green", Type: "number", Wide: 3, Half: true, Hint: "5, common practice, no source"},
	"core_diameter_mm": {Label: "Corer, inner diameter", Type: "number", Unit: "mm", Wide: 3, Half: true},
	"verdure": {
		Label: "Green top", Type: "select", Wide: 3, Half: true,
		Options: []page.Choice{{Value: "kept", Text: "kept"}, {Value: "removed", Text: "removed"}},
	},
	"seed": {Label: "Seed of the places", Type: "number", Wide: 3, Half: true, Hint: "the same number, the same places"},
	"note": {Label: "Note", Type: "area", Wide: 12},
}

// draftOfPlan is a plan ready to be changed.
func draftOfPlan(p underfoot.RoundPlan, was string) *planDraft {
	d := &planDraft{was: was, texts: map[string]string{}, greens: map[string]string{}, errors: map[string]string{}, plan: p}
	for i, c := range underfoot.RoundPlans.Columns {
		d.texts[c.Name] = underfoot.RoundPlans.Cell(&p, i)
	}
	for _, g := range strings.Fields(p.FullGreens) {
		d.greens[g] = "full"
	}
	for _, g := range strings.Fields(p.TopGreens) {
		d.greens[g] = "top"
	}
	return d
}

// read takes what was typed and makes a plan of it where it can.
func (d *planDraft) read(r *http.Request, st *standing) {
	p := underfoot.RoundPlan{Course: st.Records.Course.ID, Extra: d.plan.Extra}
	for _, name := range planColumns {
		d.texts[name] = strings.TrimSpace(r.PostFormValue(name))
		i, ok := underfoot.RoundPlans.Column(name)
		if !ok {
			continue
		}
		if err := underfoot.RoundPlans.SetCell(&p, i, d.texts[name]); err != nil {
			d.errors[name] = err.Error()
		}
	}
	if len(d.texts["round"]) > 60 {
		d.errors["round"] = "longer than 60 letters: it has to fit on a label"
	}
	clear(d.greens)
	for _, g := range st.Greens {
		switch way := r.PostFormValue("g-" + g.ID); way {
		case "full":
			p.FullGreens, d.greens[g.ID] = strings.TrimSpace(p.FullGreens+" "+g.ID), way
		case "top":
			p.TopGreens, d.greens[g.ID] = strings.TrimSpace(p.TopGreens+" "+g.ID), way
		}
	}
	if len(d.errors) == 0 {
		d.plan = p
	}
}

// designRound shows the form for a new round.
func (s *server) designRound(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	plan, err := st.DesignRound(app.RoundAsked{})
	if err != nil && len(st.Greens) == 0 {
		return err
	}
	d := draftOfPlan(plan, "")
	d.refuse(err)
	return s.designPage(w, r, http.StatusOK, st, d)
}

// refuse notes an error beside the field it is about; nil for none, else what is about no field.
func (d *planDraft) refuse(err error) error {
	var bad *app.FieldError
	if errors.As(err, &bad) {
		column := bad.Column
		if column == "top_greens" {
			column = "full_greens"
		}
		d.errors[column] = bad.Text
		return nil
	}
	return err
}

// createRound keeps a new plan, or shows the form again.
func (s *server) createRound(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	return s.takePlan(w, r, st, draftOfPlan(underfoot.RoundPlan{}, ""))
}

// showPlanned shows a kept plan.
func (s *server) showPlanned(w http.ResponseWriter, r *http.Request) error {
	st, plan, err := s.planned(r)
	if err != nil {
		return err
	}
	return s.designPage(w, r, http.StatusOK, st, draftOfPlan(*plan, plan.Round))
}

// updatePlanned keeps what was changed in a plan.
func (s *server) updatePlanned(w http.ResponseWriter, r *http.Request) error {
	st, plan, err := s.planned(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	return s.takePlan(w, r, st, draftOfPlan(*plan, plan.Round))
}

// deletePlanned hides a plan; it can be undone.
func (s *server) deletePlanned(w http.ResponseWriter, r *http.Request) error {
	_, plan, err := s.planned(r)
	if err != nil {
		return err
	}
	change, err := s.app.DeleteRound(r.Context(), s.who(w, r, ""), plan.Course, plan.Round)
	if err != nil {
		return err
	}
	http.Redirect(w, r, page.CoursePath(plan.Course, "round")+"?done="+strconv.FormatInt(change.ID, 10), http.StatusSeeOther)
	return nil
}

// planned returns the plan that the address names.
func (s *server) planned(r *http.Request) (*standing, *underfoot.RoundPlan, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, nil, err
	}
	for i := range st.Records.RoundPlans {
		if p := &st.Records.RoundPlans[i]; p.Round == r.PathValue("round") {
			return st, p, nil
		}
	}
	return nil, nil, underfoot.Errorf(underfoot.NotFound, "course %q has no plan of a round %q", st.Records.Course.ID, r.PathValue("round"))
}

// takePlan does what the form was sent for: draw greens, work it out, or save.
func (s *server) takePlan(w http.ResponseWriter, r *http.Request, st *standing, d *planDraft) error {
	d.read(r, st)
	do := r.PostFormValue("do")
	if do == "draw" {
		d.draw(r, st)
		return s.designPage(w, r, http.StatusOK, st, d)
	}
	if len(d.errors) == 0 {
		if _, err := st.Round(d.plan); d.refuse(err) != nil {
			return err
		}
	}
	if len(d.errors) > 0 || do == "work-out" || do == "when" {
		status := http.StatusOK
		if len(d.errors) > 0 {
			status = http.StatusUnprocessableEntity
		}
		return s.designPage(w, r, status, st, d)
	}
	change, err := s.app.SaveRound(r.Context(), s.who(w, r, ""), d.plan, d.was)
	if err != nil {
		if d.refuse(err) != nil {
			return err
		}
		return s.designPage(w, r, http.StatusUnprocessableEntity, st, d)
	}
	to := page.CoursePath(d.plan.Course, "round", d.plan.Round, "plan")
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// draw fills the greens in as asked.
func (d *planDraft) draw(r *http.Request, st *standing) {
	asked := app.RoundAsked{Choice: r.PostFormValue("choice"), Layers: d.plan.Layers, Label: d.plan.Round, Date: d.plan.Date}
	for _, n := range []struct {
		name string
		to   *int
		none int
	}{{"full", &asked.Full, 0}, {"top_only", &asked.TopOnly, -1}} {
		d.texts[n.name] = strings.TrimSpace(r.PostFormValue(n.name))
		v, err := strconv.Atoi(d.texts[n.name])
		if d.texts[n.name] != "" && (err != nil || v < 0 || v > len(st.Greens)) {
			d.errors[n.name] = fmt.Sprintf("%q: allowed is a whole number from 0 to %d", d.texts[n.name], len(st.Greens))
			continue
		}
		if *n.to = v; v == 0 && d.texts[n.name] != "" {
			*n.to = n.none
		}
	}
	d.texts["choice"] = asked.Choice
	seed := d.plan.Seed.Or(0)
	asked.Seed = &seed
	if len(d.errors) > 0 {
		return
	}
	p, err := st.DesignRound(asked)
	if err != nil {
		var bad *app.FieldError
		if errors.As(err, &bad) {
			d.errors[bad.Column] = bad.Text
		}
		return
	}
	d.plan.FullGreens, d.plan.TopGreens = p.FullGreens, p.TopGreens
	d.greens = draftOfPlan(p, "").greens
}

// designPage shows the form with what the last readable plan comes to.
func (s *server) designPage(w http.ResponseWriter, r *http.Request, status int, st *standing, d *planDraft) error {
	title := "Design a round"
	if d.was != "" {
		title = "Round " + d.was
	}
	p := page.RoundDesign{Frame: s.courseFrame(r, st, title, "round"), Course: st.Records.Course.ID, Round: d.was}
	d.fill(&p, st, say.From(r.Context()))
	f, err := st.Round(d.plan)
	if err != nil {
		p.Statement = "This round cannot be worked out yet."
		if d.plan.Course == "" {
			f = nil
		}
	} else {
		s.fillDesign(&p, r, st, f)
	}
	return s.send.page(w, r, status, page.RoundDesignPage(p))
}

// fill puts the form on the page.
func (d *planDraft) fill(p *page.RoundDesign, st *standing, style say.Style) {
	put := func(x page.Field) page.Field {
		x.Value, x.Error = d.texts[x.Name], d.errors[x.Name]
		if x.Error != "" {
			p.Errors = append(p.Errors, page.FieldError{Field: x.Name, Text: x.Label + ": " + x.Error})
		}
		return x
	}
	for _, name := range planColumns {
		x := planFields[name]
		x.Name = name
		if name == "layers" {
			x.Hint = "such as " + style.EachToTyped(usualLayers, "mm")
		}
		p.Fields = append(p.Fields, put(x))
	}
	if e := d.errors["full_greens"]; e != "" {
		p.Errors = append(p.Errors, page.FieldError{Field: "full_greens", Text: "Greens: " + e})
	}
	p.Draw = []page.Field{
		put(page.Field{Name: "choice", Label: "Which", Type: "select", Wide: 4, Options: []page.Choice{
			{Value: app.GreensSame, Text: "the same as last time"}, {Value: app.GreensStratified, Text: "in proportion by grass and age"}, {Value: app.GreensRandom, Text: "any, at random"},
		}}),
		put(page.Field{Name: "full", Label: "For every layer", Type: "number", Wide: 2, Half: true, Hint: "3 if empty"}),
		put(page.Field{Name: "top_only", Label: "Top layer only", Type: "number", Wide: 3, Half: true, Hint: "3 if empty"}),
	}
	for _, g := range st.Greens {
		p.Greens = append(p.Greens, page.GreenChoice{ID: g.ID, Title: g.Title(), Value: d.greens[g.ID]})
	}
}

// fillDesign puts what the round comes to on the page.
func (s *server) fillDesign(p *page.RoundDesign, r *http.Request, st *standing, f *app.RoundFound) {
	p.Statement = fmt.Sprintf("A round of %s on %s takes %s and costs %s at default prices.", page.Count(len(f.Greens), "green", "greens"), page.Day(f.Plan.Date.Time()),
		page.Count(f.Composites, "composite", "composites"), page.Num(f.Cost, 0))
	paired := !slices.ContainsFunc(f.Layers, func(l app.RoundLayer) bool { return !l.Paired })
	if paired {
		p.Because = "The greens are those of the last round, so each is compared with itself."
	} else {
		p.Because = "Not all greens were in the last round: what can be seen counts differences between greens as well."
	}
	p.Layers = page.Table{Head: []string{"Layer", "Against a round of", "Greens", "Composite, cm³", "Change seen 8 times in 10, points", "Mean known 9 times in 10, ± points"}, Left: 2}
	number := func(v *float64) string {
		if v == nil {
			return "not known"
		}
		return page.Num(math.Ceil(*v*100-1e-9)/100, 2) // upwards, so that it does not promise too much
	}
	for i := range f.Layers {
		l := &f.Layers[i]
		p.Layers.Rows = append(p.Layers.Rows, page.Row{Cells: []string{l.Name(), against(l), strconv.Itoa(l.Greens), page.Num(l.VolumeCm3, 0), number(l.Visible), number(l.Half)}})
		if l.Advice != "" {
			p.Advice = append(p.Advice, l.Advice)
		}
		if l.Greens < 2 || l.Visible == nil { // the table cannot say it
			p.Says = append(p.Says, l.Says)
		}
	}
	for _, n := range f.Notes {
		if n == app.DefaultPrices {
			n = "Cost is at default prices (common practice, no source); “What sampling can see” among the findings takes your own."
		}
		p.Notes = append(p.Notes, n)
	}
	p.When, p.WhenHref = s.when(r, st, f)
	for i := range f.Greens {
		g := &f.Greens[i]
		p.Placed = p.Placed || len(g.Places) > 0
		p.Places = append(p.Places, greenPicture(p.Course, g))
	}
}

// against says what a change in a layer would be seen against.
func against(l *app.RoundLayer) string {
	switch {
	case l.Greens < 2 || l.Visible == nil:
		return "–"
	case l.Paired:
		return "the same greens"
	}
	return "other greens"
}

// when says from when on the round is worth it, where that was asked for, or where the model has been worked out.
func (s *server) when(r *http.Request, st *standing, f *app.RoundFound) (says, href string) {
	if r.URL.Query().Get("when") == "" && r.FormValue("do") != "when" && !st.HasModel() {
		if r.Method == http.MethodPost { // the form has a button for what is typed in it
			return "", ""
		}
		return "", r.URL.Path + "?when=1#sees"
	}
	t, err := st.RoundTiming(f.Plan)
	if err != nil {
		return "When the next round is worth taking is not known: " + err.Error() + ".", ""
	}
	return t.Says, ""
}

func greenPicture(course string, g *app.GreenPlaces) page.GreenPicture {
	out := page.GreenPicture{ID: g.Green, Title: g.Title, Words: g.Walk, Why: page.Sentence(g.Why), OutlineHref: page.CoursePath(course, "green", g.Green, "outline"), HasOutline: g.Outline != nil}
	if g.Near != "" {
		out.Near = page.Sentence(g.Near)
	}
	if g.Why == "" {
		out.Why = ""
	}
	out.About = "top layer only"
	if g.Full {
		out.About = "every layer"
	}
	if g.AreaM2 != nil {
		out.About += fmt.Sprintf("; %s m², a walk of %s m", page.Num(*g.AreaM2, 0), page.Num(g.WalkM, 0))
	}
	if len(g.Places) == 0 {
		return out
	}
	out.Picture = planOf(g).Scene()
	out.Table = page.Table{Head: []string{"Core", "By tape", "Latitude, °", "Longitude, °"}, Left: 2}
	for _, p := range g.Places {
		tape := p.Tape
		if tape == "" {
			tape = "no tapes"
		}
		out.Table.Rows = append(out.Table.Rows, page.Row{Cells: []string{strconv.Itoa(p.Core), tape, page.Num(p.LatitudeDeg, 7), page.Num(p.LongitudeDeg, 7)}})
	}
	return out
}

// planOf draws a green with its cores.
func planOf(g *app.GreenPlaces) figure.GreenPlan {
	out := figure.GreenPlan{Name: g.Title}
	if g.Outline != nil {
		for _, r := range g.Outline.Rings() {
			var ring []figure.Point
			for _, c := range r {
				ring = append(ring, figure.Point{X: c.East, Y: c.North})
			}
			out.Rings = append(out.Rings, ring)
		}
	}
	for _, p := range g.Places {
		out.Cores = append(out.Cores, figure.Core{Number: p.Core, At: figure.Point{X: p.Point.East, Y: p.Point.North}, How: p.Tape})
	}
	for _, l := range g.Fixed {
		out.Fixed = append(out.Fixed, figure.Landmark{Name: l.Name, At: figure.Point{X: l.At.East, Y: l.At.North}})
	}
	return out
}

// sendCores sends the places of a round as a file for a phone or a map.
func (s *server) sendCores(w http.ResponseWriter, r *http.Request) error {
	st, plan, err := s.planned(r)
	if err != nil {
		return err
	}
	f, err := st.Round(*plan)
	if err != nil {
		return err
	}
	var text []byte
	kind, ending := "application/geo+json", ".geojson"
	if strings.HasSuffix(r.URL.Path, ".gpx") {
		kind, ending = "application/gpx+xml", ".gpx"
		text, err = f.GPX(st.Records.Course.Title())
	} else {
		text, err = f.GeoJSON()
	}
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", `attachment; filename="`+coresFile(plan)+`-cores`+ending+`"`)
	_, err = w.Write(text)
	return err
}

// coresFile names the file of a round's places.
func coresFile(p *underfoot.RoundPlan) string {
	return strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '.' {
			return c
		}
		return '-'
	}, p.Course+"-"+p.Round)
}

// plannedRounds are the plans of which nothing is on record, the next first.
func plannedRounds(st *standing) []page.PlannedRound {
	var out []page.PlannedRound
	plans := slices.Clone(st.Records.RoundPlans)
	slices.SortStableFunc(plans, func(a, b underfoot.RoundPlan) int { return int(a.Date - b.Date) })
	for _, p := range plans {
		if slices.ContainsFunc(st.Records.Samples, func(m underfoot.Sample) bool { return m.RoundLabel() == p.Round }) {
			continue
		}
		greens := len(strings.Fields(p.FullGreens)) + len(strings.Fields(p.TopGreens))
		out = append(out, page.PlannedRound{
			Label: p.Round, When: page.Day(p.Date.Time()), Href: page.CoursePath(p.Course, "round", p.Round, "plan"), Past: p.Date < st.Today,
			Says: fmt.Sprintf("%s, %s, %s a green.", page.Count(greens, "green", "greens"), page.Count(len(strings.Fields(p.Layers)), "layer", "layers"), page.Count(p.Cores.Or(5), "core", "cores")),
		})
	}
	return out
}
