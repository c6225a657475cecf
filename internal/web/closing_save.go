package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// smallDraft is a small form as it is typed: the texts of its fields and what is wrong with them.
type smallDraft struct {
	texts  url.Values
	errors map[string]string
	was    string // the row that is being changed, as [page.ClosingRow.Key]
}

func typedIn(r *http.Request) *smallDraft {
	d := &smallDraft{texts: url.Values{}, errors: map[string]string{}}
	for name, list := range r.PostForm {
		if len(list) > 0 {
			d.texts.Set(name, strings.TrimSpace(list[0]))
		}
	}
	return d
}

func (d *smallDraft) text(name string) string { return d.texts.Get(name) }

// into reads a field into the column of a record.
func (d *smallDraft) into(t *underfoot.Table, rec underfoot.Record, column, field string) {
	i, ok := t.Column(column)
	if !ok {
		return
	}
	if err := t.SetCell(rec, i, d.text(field)); err != nil && d.errors[field] == "" {
		d.errors[field] = err.Error()
	}
}

// fill puts what was typed, and what is wrong with it, into a form.
func (d *smallDraft) fill(f *page.SmallForm) {
	if d == nil {
		return
	}
	for i := range f.Fields {
		x := &f.Fields[i]
		x.Value, x.Error = d.text(x.Name), page.Sentence(d.errors[x.Name])
		if d.errors[x.Name] == "" {
			x.Error = ""
			continue
		}
		f.Errors = append(f.Errors, page.FieldError{Field: x.Name, Text: x.Label + ": " + x.Error})
	}
}

// closingWords are the kinds of closed time.
var closingWords = []page.Choice{{Value: "closed", Text: "closed for work"}, {Value: "tournament", Text: "tournament"}, {Value: "holiday", Text: "public holiday, the crew is away"}}

// calendarPart puts the closed times and the crew on the page of operations.
func calendarPart(p *page.Operations, r *http.Request, st *standing, v operationsView) {
	course := p.Course
	draft := v.closing
	if draft == nil {
		draft = closingDraft(st, r.URL.Query().Get("closing"))
	}
	for i := range st.Records.Closings {
		c := &st.Records.Closings[i]
		key := closingKey(c)
		row := page.ClosingRow{
			Key: key, When: page.PlainDay(c.From.Time()), What: closingWord(c.Why), Past: c.Until < st.Today,
			Href: page.CoursePath(course, "operations") + "?closing=" + url.QueryEscape(key) + "#closing",
		}
		if c.Until > c.From {
			row.When += " to " + page.PlainDay(c.Until.Time())
		}
		if c.Name != "" {
			row.What += ", " + c.Name
		}
		if row.Past {
			row.What += " (past)"
		}
		row.Asks = "nothing is done"
		if c.Why == "tournament" {
			row.Asks = fmt.Sprintf("healed %d days before", c.HealedDays.Or(underfoot.UsualHealedDays))
			if n := c.UnopenedDays.Or(0); n > 0 {
				row.Asks += fmt.Sprintf(", no opening in the %d days before", n)
			}
		}
		p.Closings = append(p.Closings, row)
	}
	p.Closing = page.SmallForm{ID: "closing", Action: page.CoursePath(course, "closings"), Button: "Add it", Fields: []page.Field{
		{Name: "why", Label: "What", Type: "select", Options: closingWords, Wide: 4},
		{Name: "from", Label: "First day", Type: "date", Need: true, Wide: 4},
		{Name: "until", Label: "Last day", Type: "date", Hint: "Empty: the first day only.", Wide: 4},
		{Name: "name", Label: "What it is called", Wide: 4},
		{Name: "healed_days", Label: "Healed before a tournament", Unit: "d", Type: "number", Hint: fmt.Sprintf("0 to 90; empty is %d, a working default, no source.", underfoot.UsualHealedDays), Wide: 4},
		{Name: "unopened_days", Label: "No opening before a tournament", Unit: "d", Type: "number", Hint: "0 to 200; the latest coring lies so many days before it, however fast it heals.", Wide: 4},
	}}
	if draft != nil {
		if draft.was != "" {
			p.Closing.Button, p.Closing.Back = "Keep the change", page.CoursePath(course, "operations")+"#calendar"
			p.Closing.Hidden = []page.Hidden{{Name: "was", Value: draft.was}}
		}
		draft.fill(&p.Closing)
	}
	p.Days = page.SmallForm{ID: "days", Action: page.CoursePath(course, "closings"), Button: "Add them", Hidden: []page.Hidden{{Name: "many", Value: "yes"}}, Fields: []page.Field{
		{Name: "days_why", Label: "What they are", Type: "select", Options: closingWords, Wide: 4, Value: "holiday"},
		{Name: "days", Label: "Days, one a line", Type: "area", Wide: 6, Hint: "A day or two and what it is called, such as 2027-05-31 Spring holiday, or 2027-07-01 to 2027-07-14 drainage."},
	}}
	v.days.fill(&p.Days)
	crewPart(p, st, v.crew)
}

func closingWord(why string) string {
	for _, c := range closingWords {
		if c.Value == why {
			return c.Text
		}
	}
	return why
}

func closingKey(c *underfoot.Closing) string { return c.From.String() + " " + c.Why }

// storedClosing finds a closed time by its key on the page; nil for none.
func storedClosing(st *standing, key string) *underfoot.Closing {
	for i := range st.Records.Closings {
		if c := &st.Records.Closings[i]; closingKey(c) == key {
			return c
		}
	}
	return nil
}

// closingDraft is a stored closed time ready to be changed; nil for none.
func closingDraft(st *standing, key string) *smallDraft {
	c := storedClosing(st, key)
	if c == nil {
		return nil
	}
	d := &smallDraft{texts: url.Values{}, errors: map[string]string{}, was: key}
	for i, col := range underfoot.Closings.Columns {
		d.texts.Set(col.Name, underfoot.Closings.Cell(c, i))
	}
	return d
}

// saveClosing adds a closed time, changes one, or adds several.
func (s *server) saveClosing(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostFormValue("many") != "" {
		return s.saveDays(w, r, st)
	}
	d := typedIn(r)
	d.was = d.text("was")
	c := underfoot.Closing{Course: st.Records.Course.ID}
	if d.text("until") == "" {
		d.texts.Set("until", d.text("from"))
	}
	for _, column := range []string{"from", "why", "until", "name", "healed_days", "unopened_days"} {
		d.into(underfoot.Closings, &c, column, column)
	}
	if d.errors["from"] != "" {
		delete(d.errors, "until")
	}
	again := func() error {
		return s.operationsPage(w, r, http.StatusUnprocessableEntity, st, operationsView{closing: d})
	}
	if len(d.errors) > 0 {
		return again()
	}
	var was underfoot.Key
	if old := storedClosing(st, d.was); old != nil {
		was = underfoot.Closings.Key(old)
	}
	change, err := s.app.SaveClosing(r.Context(), s.who(w, r, ""), st, c, was)
	if bad := asField(err); bad != nil {
		d.errors[bad.Column] = bad.Text
		return again()
	}
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "calendar")
	return nil
}

// saveDays adds several closed times, one a line.
func (s *server) saveDays(w http.ResponseWriter, r *http.Request, st *standing) error {
	d := typedIn(r)
	var list []underfoot.Closing
	for i, line := range lines(d.text("days")) {
		c := underfoot.Closing{Course: st.Records.Course.ID, Why: d.text("days_why")}
		days, err := daysIn(line)
		switch {
		case err != nil:
			d.errors["days"] = fmt.Sprintf("line %d, %q: %v", i+1, line, err)
		case len(days) == 1:
			c.From, c.Until = days[0], days[0]
		case len(days) == 2:
			c.From, c.Until = days[0], days[1]
		default:
			d.errors["days"] = fmt.Sprintf("line %d, %q: give a day or two, such as 2027-07-01 to 2027-07-14", i+1, line)
		}
		name := strings.Trim(dayText.ReplaceAllString(line, ""), " ,;:–-")
		if len(days) == 2 {
			name = strings.TrimSpace(strings.TrimPrefix(name, "to"))
		}
		c.Name = name
		list = append(list, c)
	}
	if len(list) == 0 {
		d.errors["days"] = "no day is given: one a line, such as 2027-05-31"
	}
	again := func() error {
		return s.operationsPage(w, r, http.StatusUnprocessableEntity, st, operationsView{days: d})
	}
	if len(d.errors) > 0 {
		return again()
	}
	change, err := s.app.SaveClosings(r.Context(), s.who(w, r, ""), st, list)
	if bad := asField(err); bad != nil {
		d.errors["days"] = bad.Text
		return again()
	}
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "calendar")
	return nil
}

// dropClosing takes a closed time away.
func (s *server) dropClosing(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	c := storedClosing(st, r.PostFormValue("drop"))
	if c == nil {
		return underfoot.Errorf(underfoot.NotFound, "the course has no closed time %q: it may be removed already", r.PostFormValue("drop"))
	}
	change, err := s.app.DropClosing(r.Context(), s.who(w, r, ""), st, underfoot.Closings.Key(c))
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "calendar")
	return nil
}
