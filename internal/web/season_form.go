package web

import (
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// form is the question as a form, what is wrong beside each field.
func (a *seasonAsk) form() *page.SeasonForm {
	f := &page.SeasonForm{Action: page.CoursePath(a.st.Records.Course.ID, "plan"), Course: a.st.Records.Course.ID, Asked: a.asked}
	currency := a.style.MoneyIn(a.st.Sand.Currency)
	number := func(name, label, unit, hint string) page.Field {
		return page.Field{Name: name, Label: label, Unit: unit, Type: "number", Hint: hint, Wide: 3}
	}
	toward := page.Field{Name: "toward", Label: "Where to", Type: "select", Wide: 3, Options: []page.Choice{
		{Value: "lower", Text: "lower, a step"}, {Value: "hold", Text: "hold, as it is"}, {Value: "raise", Text: "raise, a step"}, {Value: "bands", Text: "bands of my own"},
	}, Hint: "The findings say " + string(a.st.Direction.Verdict) + "."}
	f.Main = a.filled([]page.Field{
		{Name: "from", Label: "From", Type: "date", Wide: 3, Need: true, Hint: "The record runs to " + page.PlainDay(a.m.LastDay().Time()) + "."},
		{Name: "until", Label: "Until", Type: "date", Wide: 3, Need: true, Hint: "The day it is to be so."},
		toward,
		number("chance", "With a chance of", "in 10", ""),
	})
	var bands []page.Field
	for _, l := range a.layers {
		name := underfoot.LayerName(l.Top, l.Bottom)
		hint := "Not measured in the last round."
		if l.Known {
			hint = page.Num(l.Percent, 1) + " % in the last round."
		}
		bands = append(bands, number(bandName("low", l), name+" from", "%", hint), number(bandName("high", l), name+" to", "%", ""),
			page.Field{Name: bandName("on", l), Label: name + " on", Type: "date", Wide: 3, Hint: "Empty is the last day."})
	}
	f.Groups = []page.SeasonGroup{
		{Legend: "Bands of my own", Note: "They count when “bands of my own” is chosen. Leave a layer empty to ask nothing of it.", Fields: a.filled(bands), Open: a.text("toward") == "bands"},
		{Legend: "Limits", Note: "Empty is no limit.", Fields: a.filled([]page.Field{
			number("max_sand", "Most sand a season", "mm", ""), number("money", "Most money in all", currency, ""),
			number("disturbed", "Most disturbed days a season", "d", ""), number("crew", "Most crew hours a week", "h", a.ownCrew()),
			number("n_low", "Nitrogen, least a season", "kg/ha", "The plan may move nitrogen to either of these; it stays as planned where both are empty."),
			number("n_high", "Nitrogen, most a season", "kg/ha", ""),
		})},
		{Legend: "Days when nothing is done", Note: a.ownDays(), Fields: a.filled([]page.Field{
			{Name: "closed", Label: "Closed dates", Type: "area", Wide: 6, Hint: "One a line, such as 2027-07-01 to 2027-07-14."},
			{Name: "tournaments", Label: "Tournaments", Type: "area", Wide: 6, Hint: "One a line; with the days before it that the greens are to be healed, else 3: 2027-06-12, 5."},
		})},
		{Legend: "Sand and prices", Note: "They weigh plans against one another.", Fields: a.filled([]page.Field{
			{Name: "sand", Label: "Sand", Type: "select", Wide: 6, Options: a.sands()},
			number("day_worth", "A disturbed day is worth", currency, "Working default, no source."), number("hour", "An hour of work costs", currency, "Working default, no source."),
		})},
	}
	for i := range f.Groups {
		g := &f.Groups[i]
		for _, x := range g.Fields {
			usual := x.Name == "sand" || x.Name == "day_worth" || x.Name == "hour"
			g.Open = g.Open || x.Error != "" || x.Value != "" && !usual
		}
		if g.Legend == "Bands of my own" && a.text("toward") != "bands" {
			g.Open = false
		}
	}
	for _, name := range a.names() {
		if text := a.errors[name]; text != "" {
			f.Errors = append(f.Errors, page.FieldError{Field: name, Text: page.Sentence(text)})
		}
	}
	if text := a.errors[""]; text != "" {
		f.Errors = append(f.Errors, page.FieldError{Field: "from", Text: page.Sentence(text)})
	}
	return f
}

// filled puts what was typed, and what is wrong with it, into fields.
func (a *seasonAsk) filled(list []page.Field) []page.Field {
	for i := range list {
		x := &list[i]
		x.Value, x.Error = a.text(x.Name), a.errors[x.Name]
	}
	return list
}

func (a *seasonAsk) sands() []page.Choice {
	out := []page.Choice{{Value: "", Text: "the topdressing sand last used"}}
	for _, s := range a.st.Records.Sands {
		c := page.Choice{Value: s.ID, Text: s.Title()}
		if s.PricePerT.Known {
			c.Text += ", " + strings.TrimSpace(page.Num(s.PricePerT.Value, 0)+" "+a.style.MoneyIn(s.Currency)) + "/t"
		}
		out = append(out, c)
	}
	return out
}

// ownDays says what of the course's calendar every plan keeps to beside what is typed here.
func (a *seasonAsk) ownDays() string {
	ahead := 0
	for _, c := range a.st.Records.Closings {
		if c.Until >= a.st.Today {
			ahead++
		}
	}
	if ahead == 0 {
		return "The course’s own calendar holds none to come; what is typed here counts for this question only."
	}
	return "Beside what is typed here, every plan keeps to the course’s own calendar: " + page.CountWords(ahead, "entry", "entries") + " to come."
}

// ownCrew says where the crew hours come from that the form begins with.
func (a *seasonAsk) ownCrew() string {
	if len(a.st.Records.Crews) == 0 {
		return ""
	}
	return "The form begins with the course’s own crew."
}
