package web

import (
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/catalogue"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// fieldLabels names the values of an operation on the form.
var fieldLabels = map[string]string{
	"id": "Short name", "name": "Name", "tine_diameter_mm": "Tine diameter", "spacing_along_mm": "Holes along the run", "spacing_across_mm": "Holes across the run",
	"pattern": "Pattern of holes", "blade_width_mm": "Blade width", "blade_spacing_mm": "Blade spacing", "passes": "Passes", "depth_mm": "Depth",
	"backfill": "Filled with sand", "sand_low_mm": "Least sand an event", "sand_high_mm": "Most sand an event", "contract": "Contractor and hire, an event",
	"fuel": "Fuel, an event", "labour_h_per_ha": "Work, an event", "disturbed_days": "Disturbed at full growth", "disturbed_days_half": "Disturbed at half growth",
	"least_growth": "Growth wanted", "spacing_days": "To the next of its kind", "apart_days": "To other openings", "per_season": "Most a season", "source": "Where the numbers come from",
}

// fieldHints adds to what may stand in a field.
var fieldHints = map[string]string{
	"backfill": "share of the opened volume, the same day", "sand_low_mm": "on the surface or injected, holes not counted", "least_growth": "growth index of the day",
	"per_season": "0 is no limit", "disturbed_days_half": "empty is twice as many as at full growth",
}

// operationGroups are the parts of the form.
var operationGroups = []struct {
	legend, note string
	keys         []string
}{
	{"What it is", "", []string{"id", "name"}},
	{"What it does", "What goes together is said here: the holes of a coring are filled the same day with the share given, and its event carries at least the least sand.", []string{
		"tine_diameter_mm", "spacing_along_mm", "spacing_across_mm", "pattern", "blade_width_mm", "blade_spacing_mm", "passes", "depth_mm", "backfill", "sand_low_mm", "sand_high_mm",
	}},
	{"What it costs", "Sand is reckoned by its own price, work by the price of an hour.", []string{"contract", "fuel", "labour_h_per_ha"}},
	{"How the surface recovers", "Days the surface is not itself. Between full and half growth, and below, they follow a power of the growth index.", []string{"disturbed_days", "disturbed_days_half", "least_growth"}},
	{"How often", "", []string{"spacing_days", "apart_days", "per_season"}},
	{"Source", "", []string{"source"}},
}

// operationDraft is an operation as it is typed.
type operationDraft struct {
	st    *standing
	entry catalogue.Entry
	fresh bool
	style say.Style
	texts map[string]string // as typed; nil for the values of the entry
}

// editOperation shows one operation ready to be changed.
func (s *server) editOperation(w http.ResponseWriter, r *http.Request) error {
	st, e, err := s.operation(r)
	if err != nil {
		return err
	}
	return s.operationPage(w, r, http.StatusOK, &operationDraft{st: st, entry: *e})
}

// operation returns the operation that the address names.
func (s *server) operation(r *http.Request) (*standing, *catalogue.Entry, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, nil, err
	}
	e := st.CatalogueEntry(r.PathValue("operation"))
	if e == nil {
		return nil, nil, underfoot.Errorf(underfoot.NotFound, "course %q has no operation %q", st.Records.Course.ID, r.PathValue("operation"))
	}
	return st, e, nil
}

// newOperation shows an empty operation of a kind, or a copy of one.
func (s *server) newOperation(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	d := &operationDraft{st: st, fresh: true, texts: map[string]string{}}
	q := r.URL.Query()
	if from := q.Get("copy"); from != "" {
		was := st.CatalogueEntry(from)
		if was == nil {
			return underfoot.Errorf(underfoot.NotFound, "course %q has no operation %q to be copied", st.Records.Course.ID, from)
		}
		for _, f := range was.Fields() {
			d.texts[f.Key] = f.Value
		}
		d.texts["id"], d.texts["name"] = freeName(st, from), was.Operation.Name+", copy"
		d.entry.Operation.Kind = was.Operation.Kind
	} else {
		d.entry.Operation.Kind = season.Kind(q.Get("kind"))
		if !slices.Contains(operationKinds, d.entry.Operation.Kind) {
			d.entry.Operation.Kind = season.Topdress
		}
	}
	return s.operationPage(w, r, http.StatusOK, d)
}

// freeName gives a name no operation has yet.
func freeName(st *standing, id string) string {
	for n := 2; ; n++ {
		if name := fmt.Sprintf("%s-%d", id, n); st.CatalogueEntry(name) == nil {
			return name
		}
	}
}

// createOperation adds an operation.
func (s *server) createOperation(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	id := strings.Join(strings.Fields(r.PostFormValue("id")), " ")
	return s.saveOperation(w, r, &operationDraft{st: st, fresh: true}, id, season.Kind(r.PostFormValue("kind")))
}

// updateOperation keeps what was changed in an operation.
func (s *server) updateOperation(w http.ResponseWriter, r *http.Request) error {
	st, e, err := s.operation(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	return s.saveOperation(w, r, &operationDraft{st: st, entry: *e}, e.Operation.ID, e.Operation.Kind)
}

func (s *server) saveOperation(w http.ResponseWriter, r *http.Request, d *operationDraft, id string, kind season.Kind) error {
	if !slices.Contains(operationKinds, kind) {
		return underfoot.Errorf(underfoot.Invalid, "%q is no kind of operation: add one from the page of operations", kind)
	}
	d.texts = map[string]string{"id": id}
	for key := range fieldLabels {
		if key != "id" && r.PostForm.Has(key) {
			d.texts[key] = strings.TrimSpace(r.PostFormValue(key))
		}
	}
	was := d.entry
	d.entry = catalogue.Typed(id, kind, d.texts)
	d.entry.Used = d.fresh || was.Used
	if len(d.entry.Faults) > 0 {
		return s.operationPage(w, r, http.StatusUnprocessableEntity, d)
	}
	change, err := s.app.SaveOperation(r.Context(), s.who(w, r, ""), d.st, d.entry, d.fresh)
	if bad := asField(err); bad != nil {
		d.entry.Faults = append(d.entry.Faults, catalogue.Fault{Key: bad.Column, Text: bad.Text})
		return s.operationPage(w, r, http.StatusUnprocessableEntity, d)
	}
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "")
	return nil
}

func (s *server) operationPage(w http.ResponseWriter, r *http.Request, status int, d *operationDraft) error {
	d.style = say.From(r.Context())
	o := &d.entry.Operation
	course := d.st.Records.Course.ID
	kind := workName(string(o.Kind))
	f := page.OperationForm{Course: course, Used: d.entry.Used, Hidden: []page.Hidden{{Name: "kind", Value: string(o.Kind)}}, Action: page.CoursePath(course, "operation")}
	switch {
	case d.fresh:
		f.Statement = "A new operation: " + lowerFirst(kind) + "."
		f.Says = []string{"Each value has its unit and what may stand there. What is left empty is 0, unless it says otherwise."}
	default:
		f.ID, f.Action, f.Hidden = o.ID, page.CoursePath(course, "operation", o.ID), nil
		was := d.st.CatalogueEntry(o.ID)
		f.Statement = upperFirst(was.Operation.Name) + "."
		row := operationRow(was)
		f.Says = []string{kind + ", " + row.Says + "."}
		switch {
		case row.Changed && (row.BuiltIn || row.Replaced):
			f.Forget = "Back as built in"
		case row.Changed:
			f.Forget = "Remove"
		}
		if was.BuiltIn {
			f.Says = append(f.Says, "Emptying a field takes the built-in value again.")
		}
	}
	f.Frame = s.courseFrame(r, d.st, strings.TrimSuffix(f.Statement, "."), "plan")
	f.Groups, f.Errors = d.groups()
	for _, c := range season.Cautions() {
		f.Cautions = append(f.Cautions, c.Text)
	}
	return s.send.page(w, r, status, page.OperationPage(f))
}

// groups lays out the fields, what is wrong beside each.
func (d *operationDraft) groups() (groups []page.SeasonGroup, errors []page.FieldError) {
	wrong := map[string]string{}
	fields := map[string]page.Field{}
	if d.fresh {
		fields["id"] = page.Field{Name: "id", Label: fieldLabels["id"], Wide: 4, Need: true, Hint: "1 to 80 letters; no two operations alike", Value: d.texts["id"]}
	}
	for _, f := range d.entry.Fields() {
		fields[f.Key] = d.field(f)
	}
	for _, f := range d.entry.Faults {
		key := f.Key
		if _, shown := fields[key]; !shown {
			key = "name"
		}
		wrong[key] = page.Sentence(f.Text)
	}
	for _, g := range operationGroups {
		group := page.SeasonGroup{Legend: g.legend, Note: g.note}
		for _, key := range g.keys {
			x, ok := fields[key]
			if !ok {
				continue
			}
			if text := wrong[key]; text != "" {
				x.Error = text
				errors = append(errors, page.FieldError{Field: key, Text: x.Label + ": " + text})
			}
			group.Fields = append(group.Fields, x)
		}
		groups = append(groups, group)
	}
	return groups, errors
}

// field is one value of an operation as a field of the form.
func (d *operationDraft) field(f catalogue.Field) page.Field {
	x := page.Field{Name: f.Key, Label: fieldLabels[f.Key], Unit: f.Unit, Value: f.Value, Need: f.Need, Wide: 4}
	if d.texts != nil {
		x.Value = d.texts[f.Key]
	}
	hint := []string{longNumber.ReplaceAllStringFunc(strings.TrimPrefix(strings.TrimPrefix(f.Allowed, "a number "), "a "), func(digits string) string {
		v, _ := strconv.ParseFloat(digits, 64)
		return page.Num(v, 0)
	})}
	switch {
	case f.Words != nil:
		x.Type, hint = "select", nil
		for _, word := range f.Words {
			x.Options = append(x.Options, page.Choice{Value: word, Text: word})
		}
	case f.Number:
		x.Type = "number"
		if x.Unit == "" && (f.Key == "contract" || f.Key == "fuel") {
			x.Unit = d.style.MoneyIn(d.st.Sand.Currency)
		}
	default:
		hint = nil
		if f.Key == "source" {
			x.Wide = 12
		}
	}
	if more := fieldHints[f.Key]; more != "" {
		hint = append(hint, more)
	}
	if f.Usual != "" && f.Key != "name" && f.Key != "source" {
		built := "built in: " + strings.TrimSpace(f.Usual+" "+f.Unit)
		if !f.Own {
			built += practice(f.Key, &d.entry)
		}
		hint = append(hint, built)
	}
	x.Hint = page.Sentence(strings.Join(hint, "; "))
	return x
}

// longNumber finds a whole number whose digits are parted in threes.
var longNumber = regexp.MustCompile(`\b\d{4,}\b`)

// practice says where a built-in value comes from, where that is not what the head of the page says of all of them.
func practice(key string, e *catalogue.Entry) string {
	const none = "common practice, no source"
	if strings.HasPrefix(e.Operation.Source, none) {
		return ""
	}
	if key == "sand_low_mm" || key == "sand_high_mm" || key == "spacing_days" {
		return ", a source is named below"
	}
	return ", " + none
}

// switchOperation lets plans use an operation, or not.
func (s *server) switchOperation(w http.ResponseWriter, r *http.Request) error {
	st, e, err := s.operation(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	change, err := s.app.SwitchOperation(r.Context(), s.who(w, r, ""), st, e.Operation.ID, r.PostFormValue("used") == "yes")
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "")
	return nil
}

// forgetOperation makes an operation what is built in again, or takes away one that is the course's own.
func (s *server) forgetOperation(w http.ResponseWriter, r *http.Request) error {
	st, e, err := s.operation(r)
	if err != nil {
		return err
	}
	change, err := s.app.ForgetOperation(r.Context(), s.who(w, r, ""), st, e.Operation.ID)
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "")
	return nil
}
