package say

import (
	"html"
	"net/url"
	"strings"
)

// unitMark begins the name of the hidden field that says in which unit the field beside it is typed.
const unitMark = "unit:"

// typedIn is the hidden field beside a number field: the unit it is typed in, the number it showed and the metric number
// that stands for. A form so says itself what it was filled in with, even when the person's settings change meanwhile.
func (s Style) typedIn(name, metric, shown, value string) string {
	said := strings.Join([]string{string(s.Units), metric, shown, value}, "|")
	return `<input type="hidden" name="` + html.EscapeString(unitMark+name) + `" value="` + html.EscapeString(said) + `"/>`
}

// Typed turns the numbers of a form that was filled in with other units into metric ones, in place, and drops what said so.
// A number that was left as it was shown becomes the metric number it stood for, to the last digit.
func Typed(form url.Values) {
	for mark, said := range form {
		name, ok := strings.CutPrefix(mark, unitMark)
		if !ok {
			continue
		}
		for i, typed := range form[name] {
			form[name][i] = metricOf(typed, i, said)
		}
		delete(form, mark)
	}
}

func metricOf(typed string, i int, said []string) string {
	own := said[min(i, len(said)-1)]
	for _, mark := range append([]string{own}, said...) {
		part := strings.SplitN(mark, "|", 4)
		if len(part) == 4 && part[2] == typed {
			return part[3]
		}
	}
	part := strings.SplitN(own, "|", 4)
	if len(part) != 4 {
		return typed
	}
	return Style{Units: Units(part[0])}.FromTyped(typed, part[1])
}
