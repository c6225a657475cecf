package web

import (
	"net/http"

	"underfoot"
	"underfoot/internal/web/page"
)

// crewFields are the fields of the crew's form by column.
var crewFields = map[string]string{"from": "crew_from", "hours_per_week": "crew_hours", "price_per_h": "crew_price", "note": "crew_note"}

// crewPart puts the crew on the page of operations.
func crewPart(p *page.Operations, st *standing, d *smallDraft) {
	for _, c := range st.Records.Crews {
		row := page.CrewRow{Key: c.From.String(), From: page.PlainDay(c.From.Time()), Hours: "no limit", Price: "–", Note: c.Note}
		if c.HoursPerWeek.Known {
			row.Hours = underfoot.FormatNumber(c.HoursPerWeek.Value)
		}
		if c.PricePerH.Known {
			row.Price = underfoot.FormatNumber(c.PricePerH.Value)
		}
		p.Crews = append(p.Crews, row)
	}
	p.Crew = page.SmallForm{ID: "crew-form", Action: page.CoursePath(p.Course, "crew"), Button: "Keep", Fields: []page.Field{
		{Name: "crew_from", Label: "From", Type: "date", Need: true, Wide: 3, Value: st.Today.String(), Hint: "It holds until the next row."},
		{Name: "crew_hours", Label: "Crew hours a week", Unit: "h", Type: "number", Wide: 3, Hint: "Above 0 to 100000; empty is no limit."},
		{Name: "crew_price", Label: "An hour costs", Unit: p.Currency, Type: "number", Wide: 3, Hint: "Above 0 to 100000; empty is 30, a working default, no source."},
		{Name: "crew_note", Label: "Note", Wide: 3},
	}}
	d.fill(&p.Crew)
}

// saveCrew keeps what crew there is from a day on.
func (s *server) saveCrew(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	d := typedIn(r)
	c := underfoot.Crew{Course: st.Records.Course.ID}
	for column, field := range crewFields {
		d.into(underfoot.Crews, &c, column, field)
	}
	again := func() error {
		return s.operationsPage(w, r, http.StatusUnprocessableEntity, st, operationsView{crew: d})
	}
	if len(d.errors) > 0 {
		return again()
	}
	change, err := s.app.SaveCrew(r.Context(), s.who(w, r, ""), c)
	if bad := asField(err); bad != nil {
		d.errors[crewFields[bad.Column]] = bad.Text
		return again()
	}
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "crew")
	return nil
}

// dropCrew takes a row of the crew away.
func (s *server) dropCrew(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	from, err := underfoot.ParseDate(r.PostFormValue("drop"))
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "removing a crew: %w", err)
	}
	change, err := s.app.DropCrew(r.Context(), s.who(w, r, ""), st, from)
	if err != nil {
		return err
	}
	s.toOperations(w, r, change, "crew")
	return nil
}
