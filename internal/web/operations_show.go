package web

import (
	"bytes"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/catalogue"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// operationsView is what was typed on the page of operations and is shown again.
type operationsView struct {
	closing, days, crew *smallDraft
	file                []string // what is wrong with a catalogue that was sent
}

// showOperations shows the course's catalogue of operations, its closed times and its crew.
func (s *server) showOperations(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	return s.operationsPage(w, r, http.StatusOK, st, operationsView{})
}

func (s *server) operationsPage(w http.ResponseWriter, r *http.Request, status int, st *standing, v operationsView) error {
	p := page.Operations{Frame: s.courseFrame(r, st, "Operations", "plan"), Course: st.Records.Course.ID, Currency: say.From(r.Context()).MoneyIn(st.Sand.Currency), FileErrors: v.file}
	used, own, faulty := 0, 0, 0
	for _, e := range st.Catalogue() {
		row := operationRow(&e)
		p.List = append(p.List, row)
		if row.Used {
			used++
		}
		if row.Changed {
			own++
		}
		if len(row.Faults) > 0 && row.Used {
			faulty++
		}
	}
	p.Statement = "A plan may choose from " + page.CountWords(used, "operation", "operations") + "."
	p.Because = "All of them are as built in. Change a price, a limit or a depth, switch off what the course does not have, and add what is missing: plans follow at once."
	if own > 0 {
		p.Because = upperFirst(page.CountWords(own, "operation is", "operations are")) + " the course’s own or changed here; every change can be undone."
	}
	if faulty > 0 {
		p.Statement = "No plan can be looked for: " + page.CountWords(faulty, "operation contradicts itself", "operations contradict themselves") + "."
	}
	for _, k := range operationKinds {
		p.Kinds = append(p.Kinds, page.Choice{Value: string(k), Text: workName(string(k))})
	}
	calendarPart(&p, r, st, v)
	return s.send.page(w, r, status, page.OperationsPage(p))
}

var operationKinds = []season.Kind{season.Topdress, season.HollowCore, season.SolidTine, season.Scarify, season.InjectSand}

// builtIn says whether the program has an operation of this name, whatever its kind.
func builtIn(id string) bool {
	return slices.ContainsFunc(season.Usual(), func(o season.Operation) bool { return o.ID == id })
}

// operationRow is an operation as a row of the page.
func operationRow(e *catalogue.Entry) page.OperationRow {
	o := &e.Operation
	row := page.OperationRow{
		ID: o.ID, Name: o.Name, Kind: workName(string(o.Kind)), Used: e.Used, BuiltIn: e.BuiltIn, Replaced: !e.BuiltIn && builtIn(o.ID),
		Changed: !e.BuiltIn || !e.Used || len(e.Own) > 0,
		Sand:    page.Reach(o.SandLow, o.SandHigh, 2), Money: page.Num(o.Contract+o.Fuel, 0), Hours: page.Num(o.Labour, 0), Disturbed: page.Num(o.Disturbed, 1),
		Growth: page.Num(o.Growth, 2), Spacing: strconv.Itoa(o.Spacing), Season: "any", State: page.Open,
	}
	if row.Name == "" {
		row.Name = o.ID
	}
	if o.AtHalf > 0 {
		row.Disturbed += ", " + page.Num(o.AtHalf, 1) + " at half growth"
	}
	if o.PerSeason > 0 {
		row.Season = strconv.Itoa(o.PerSeason)
	}
	switch {
	case e.BuiltIn && len(e.Own) > 0:
		var names []string
		for _, k := range e.Own {
			names = append(names, lowerFirst(fieldLabels[k]))
		}
		row.State, row.Says = page.Finished, "changed here: "+strings.Join(names, "; ")
	case e.BuiltIn:
		row.Says = o.Source
	default:
		row.State, row.Says = page.Finished, "the course’s own"
		if o.Source != "" {
			row.Says += ": " + o.Source
		}
	}
	if !e.Used {
		row.State, row.Says = page.Open, "switched off; "+row.Says
	}
	for _, f := range e.Faults {
		row.Faults = append(row.Faults, page.Sentence(faultSays(f)))
	}
	if len(row.Faults) > 0 {
		row.State = page.Look
	}
	return row
}

// faultSays says a fault of an operation with the name of its field.
func faultSays(f catalogue.Fault) string {
	if label := fieldLabels[f.Key]; label != "" {
		return label + ": " + f.Text
	}
	return f.Text
}

// sendOperations sends the catalogue as the file the command line takes.
func (s *server) sendOperations(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	list, err := st.OperationsUsed()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := catalogue.Write(&b, list); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/toml; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="`+plainName(st.Records.Course.ID)+`-operations.toml"`)
	h.Set("Cache-Control", "private, no-store")
	h.Set("Content-Length", strconv.Itoa(b.Len()))
	_, err = w.Write(b.Bytes())
	return err
}

// takeOperations takes a catalogue from a file in place of the course's.
func (s *server) takeOperations(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	file, head, err := r.FormFile("file")
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	if err != nil {
		return s.operationsPage(w, r, http.StatusUnprocessableEntity, st, operationsView{file: []string{"No file was chosen: choose the catalogue, a .toml file."}})
	}
	defer file.Close()
	name, _, err := safeName(head.Filename)
	if err != nil {
		name = "catalogue.toml"
	}
	list, err := catalogue.Read(file, name)
	if underfoot.KindOf(err) == underfoot.Invalid && err != nil {
		v := operationsView{}
		for line := range strings.Lines(err.Error()) {
			v.file = append(v.file, page.Sentence(strings.TrimSpace(line)))
		}
		return s.operationsPage(w, r, http.StatusUnprocessableEntity, st, v)
	}
	if err != nil {
		return err
	}
	change, err := s.app.TakeCatalogue(r.Context(), s.who(w, r, ""), st, list)
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "")
	return nil
}

// toOperations goes back to the page of operations, which says what was done and offers to undo it.
func (s *server) toOperations(w http.ResponseWriter, r *http.Request, change underfoot.Change, anchor string) {
	to := page.CoursePath(r.PathValue("course"), "operations")
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	if anchor != "" {
		to += "#" + anchor
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// asField gives the refusal that is about a field; nil for any other error.
func asField(err error) *app.FieldError {
	var bad *app.FieldError
	if errors.As(err, &bad) {
		return bad
	}
	return nil
}
