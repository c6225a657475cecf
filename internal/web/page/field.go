package page

import (
	"fmt"
	"strings"

	"github.com/a-h/templ"
)

var amountUnits = []struct{ value, text string }{{"mm", "mm"}, {"kg_m2", "kg/m²"}, {"t", "t"}}

func (f WorkForm) action() string {
	if f.Entry == "" {
		return CoursePath(f.Course, "log")
	}
	return CoursePath(f.Course, "log", f.Entry)
}

func (x Field) width() string {
	if x.Wide == 0 {
		return "w2"
	}
	return fmt.Sprintf("w%d", x.Wide)
}

// attributes ties the field to its error and hint for those who hear the page.
func (x Field) attributes() templ.Attributes {
	a := templ.Attributes{}
	var by []string
	if x.Error != "" {
		a["aria-invalid"] = "true"
		by = append(by, "e-"+x.Name)
	}
	if x.Hint != "" {
		by = append(by, "h-"+x.Name)
	}
	if len(by) > 0 {
		a["aria-describedby"] = strings.Join(by, " ")
	}
	if x.Several {
		a["data-unit"], a["data-several"] = x.Unit, "yes"
	}
	if x.Need {
		a["aria-required"] = "true"
	}
	return a
}

func (c Choice) attributes() templ.Attributes {
	a := templ.Attributes{}
	for name, v := range map[string]string{"data-density": c.Density, "data-moisture": c.Moisture, "data-area": c.Area} {
		if v != "" {
			a[name] = v
		}
	}
	if c.Taken {
		a["data-taken"] = "yes"
	}
	return a
}

// amountUnit is the metric unit of an amount of sand by the value of its button.
func amountUnit(value string) string {
	for _, u := range amountUnits {
		if u.value == value {
			return u.text
		}
	}
	return ""
}
