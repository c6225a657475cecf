package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// seasonTerms are the terms the sand of a plan is ordered under, as typed.
type seasonTerms struct {
	texts    url.Values
	errors   map[string]string
	storageT float64
	lead     int
	on       []underfoot.Date
}

var termFields = []string{"storage", "lead", "deliver"}

// readTerms reads the terms from an address.
func readTerms(q url.Values) *seasonTerms {
	t := &seasonTerms{texts: url.Values{}, errors: map[string]string{}}
	for _, name := range termFields {
		if text := strings.TrimSpace(q.Get(name)); text != "" {
			t.texts.Set(name, text)
		}
	}
	t.storageT = t.number("storage", 0.1, 10000, "t")
	lead := t.number("lead", 1, 90, "days")
	if t.lead = int(lead); float64(t.lead) != lead {
		t.errors["lead"] = "give whole days"
	}
	for i, line := range lines(t.texts.Get("deliver")) {
		days, err := daysIn(line)
		if err != nil || len(days) == 0 {
			t.errors["deliver"] = fmt.Sprintf("line %d, %q: give a day, such as 2027-04-12", i+1, line)
			continue
		}
		t.on = append(t.on, days...)
	}
	slices.Sort(t.on)
	return t
}

// number reads an optional number; 0 for none.
func (t *seasonTerms) number(name string, low, high float64, unit string) float64 {
	text := t.texts.Get(name)
	if text == "" {
		return 0
	}
	v, err := underfoot.ParseNumber(text)
	switch {
	case err != nil:
		t.errors[name] = err.Error()
	case !(v >= low && v <= high):
		t.errors[name] = fmt.Sprintf("%s to %s %s can be given; leave it empty for the usual", underfoot.FormatNumber(low), underfoot.FormatNumber(high), unit)
	default:
		return v
	}
	return 0
}

// fields are the terms as a form.
func (t *seasonTerms) fields() []page.Field {
	list := []page.Field{
		{Name: "storage", Label: "Room to store sand", Unit: "t", Wide: 3, Hint: "As delivered. Empty: not known, sand comes month by month."},
		{Name: "lead", Label: "Days ahead of its use", Unit: "days", Wide: 3, Hint: "Empty: 7."},
		{Name: "deliver", Label: "Days of delivery", Type: "area", Wide: 6, Hint: "One a line, such as 2027-04-12: each brings what is used up to the next. Empty: they follow from the two before."},
	}
	for i := range list {
		x := &list[i]
		x.Value, x.Error = t.texts.Get(x.Name), page.Sentence(t.errors[x.Name])
	}
	return list
}

// query is the terms as an address holds them.
func (t *seasonTerms) query(q url.Values) {
	for name, v := range t.texts {
		q[name] = v
	}
}
