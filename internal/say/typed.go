package say

import (
	"html"
	"net/url"
	"strings"
)

// unitMark begins the name of the hidden field that says in which unit the field beside it is typed.
const unitMark = "unit:"

// typedIn is the hidden field beside a number field: the unit it is typed in, the number it showed, the metric number that
// stands for, and the field that chooses the unit where there is one. A form so says itself what it was filled in with, even
// when the person's settings change meanwhile.
func (s Style) typedIn(name, metric, shown, value, by, form string) string {
	said := strings.Join([]string{string(s.Units), metric, shown, value, by}, "|")
	if form != "" { // the field stands outside of its form
		form = ` form="` + html.EscapeString(form) + `"`
	}
	return `<input type="hidden"` + form + ` name="` + html.EscapeString(unitMark+name) + `" value="` + html.EscapeString(said) + `"/>`
}

// severalMark ends the unit of a field that holds several numbers.
const severalMark = " each"

// mark is what the hidden field says.
type mark struct{ units, metric, shown, value, by string }

func readMark(said string) (mark, bool) {
	p := strings.Split(said, "|")
	if len(p) != 5 {
		return mark{}, false
	}
	return mark{p[0], p[1], p[2], p[3], p[4]}, true
}

// Typed turns the numbers of a form that was filled in with other units into metric ones, in place, and drops what said so.
// A number that was left as it was shown becomes the metric number it stood for, to the last digit.
func Typed(form url.Values) {
	for field, said := range form {
		name, ok := strings.CutPrefix(field, unitMark)
		if !ok {
			continue
		}
		var marks []mark
		for _, s := range said {
			if m, ok := readMark(s); ok {
				marks = append(marks, m)
			}
		}
		if len(marks) > 0 {
			for i, typed := range form[name] {
				own := marks[min(i, len(marks)-1)]
				form[name][i] = metricOf(typed, own, marks, form)
			}
		}
		delete(form, field)
	}
}

// chosenUnits are the metric units by the values of the buttons that choose one.
var chosenUnits = map[string]string{"mm": "mm", "kg_m2": "kg/m²", "t": "t"}

// metricOf is a typed number as a metric one. Rows of a form may have been taken out or put in, so that the mark of another
// row may be the one that showed the number.
func metricOf(typed string, own mark, all []mark, form url.Values) string {
	metric := own.metric
	if own.by != "" {
		if name, ok := chosenUnits[form.Get(own.by)]; ok {
			metric = name
		}
	}
	for _, m := range append([]mark{own}, all...) {
		if m.shown == typed && m.metric == metric {
			return m.value
		}
	}
	style := Style{Units: Units(own.units)}
	if one, several := strings.CutSuffix(metric, severalMark); several {
		return style.EachFromTyped(typed, one, own.shown, own.value)
	}
	return style.FromTyped(typed, metric)
}
