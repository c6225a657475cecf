package web

import (
	"fmt"
	"math"
	"net/url"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// form is the draft as a form.
func (d *workDraft) form() page.WorkForm {
	f := page.WorkForm{Course: d.course, Entry: d.entry, Kind: d.kind, Worked: d.worked, Title: "Enter work"}
	here := page.CoursePath(d.course, "log")
	if d.entry != "" {
		f.Title, here = "Change it", page.CoursePath(d.course, "log", d.entry)
	}
	for _, k := range workKinds {
		f.Kinds = append(f.Kinds, page.KindChip{
			Kind: k.kind, Name: k.name, Href: here + "?kind=" + url.QueryEscape(k.kind) + "#enter", Current: k.kind == d.kind,
		})
	}
	hasAmount := false
	for _, name := range d.columns() {
		if name == "amount" {
			hasAmount = true
			f.Amount = &page.Amount{
				Value: d.texts["amount"], Unit: d.unit, Error: d.errors["amount"], Label: "Sand, dry", Hint: d.amountHint(),
			}
			continue
		}
		f.Fields = append(f.Fields, d.field(name))
	}
	if hasAmount && !hasField(f.Fields, "sand") {
		f.Fields = append(f.Fields, d.field("sand"))
	}
	f.Fields = append(f.Fields, page.Field{
		Name: "who", Label: "Entered by", Type: "text", Value: d.who, Wide: 3, Hint: "kept in the history beside the change",
	})
	for _, x := range f.Fields {
		if x.Name == "sand" && f.Amount != nil && f.Amount.Error != "" {
			f.Errors = append(f.Errors, page.FieldError{Field: "amount", Text: f.Amount.Label + ": " + f.Amount.Error})
		}
		if x.Error != "" {
			f.Errors = append(f.Errors, page.FieldError{Field: x.Name, Text: x.Label + ": " + x.Error})
		}
	}
	if e := d.errors["kind"]; e != "" {
		f.Errors = append(f.Errors, page.FieldError{Field: "kind", Text: "Kind of work: " + e})
	}
	return f
}

func hasField(list []page.Field, name string) bool {
	for _, x := range list {
		if x.Name == name {
			return true
		}
	}
	return false
}

func (d *workDraft) amountHint() string {
	if d.kind == "hollow_core" || d.kind == "solid_tine" || d.kind == "scarify" {
		return "spread on the surface, beside what fills the holes"
	}
	return ""
}

// field is one column of the log as a field of the form.
func (d *workDraft) field(name string) page.Field {
	i, _ := underfoot.WorkLog.Column(name)
	c := underfoot.WorkLog.Columns[i]
	x := page.Field{
		Name: name, Label: workLabels[name], Unit: c.Unit, Value: d.texts[name], Error: d.errors[name], Hint: workHints[name], Need: c.Need,
		Type: "text", Half: true,
	}
	switch {
	case c.Kind == underfoot.Day:
		x.Type, x.Wide = "date", 3
	case c.Kind == underfoot.Number || c.Kind == underfoot.Whole:
		x.Type = "number"
	}
	switch name {
	case "green":
		x.Type, x.Wide, x.Options, x.Half = "select", 3, d.greenChoices(), false
	case "sand":
		x.Type, x.Wide, x.Options, x.Half = "select", 4, d.sandChoices(), false
	case "status":
		x.Type, x.Wide, x.Options = "select", 2, []page.Choice{{Value: "done", Text: "Done"}, {Value: "planned", Text: "Planned"}}
	case "pattern":
		x.Type, x.Options = "select", []page.Choice{{Text: "Square"}, {Value: "triangular", Text: "Triangular"}}
		if x.Value == "square" {
			x.Options[0].Value = "square"
		}
	case "cores_removed":
		x.Type, x.Options = "select", []page.Choice{{Text: "Usual for this work"}, {Value: "yes", Text: "Taken off"}, {Value: "no", Text: "Left on"}}
	case "note":
		x.Wide, x.Half = 4, false
	}
	return x
}

func (d *workDraft) greenChoices() []page.Choice {
	all := page.Choice{Text: fmt.Sprintf("All %d greens", len(d.greens)), Area: areaText(d.greens, "")}
	if len(d.greens) == 0 {
		all.Text = "All greens"
	}
	out := []page.Choice{all}
	for _, g := range d.records.Greens {
		out = append(out, page.Choice{Value: g.ID, Text: g.Title(), Area: areaText(d.records.Greens, g.ID)})
	}
	return out
}

func areaText(greens []underfoot.Green, id string) string {
	var sum float64
	for _, g := range greens {
		if id == "" || g.ID == id {
			sum += g.AreaM2.Or(0)
		}
	}
	if sum == 0 {
		return ""
	}
	return underfoot.FormatNumber(sum)
}

func (d *workDraft) sandChoices() []page.Choice {
	density := float64(app.DefaultSandDensity)
	out := []page.Choice{{Text: "Not said", Density: underfoot.FormatNumber(density), Taken: true}}
	for _, s := range d.records.Sands {
		c := page.Choice{Value: s.ID, Text: s.Title(), Density: underfoot.FormatNumber(s.BulkDensity.Or(density)), Taken: !s.BulkDensity.Known}
		if s.MoisturePercent.Known {
			c.Moisture = underfoot.FormatNumber(s.MoisturePercent.Value)
		}
		out = append(out, c)
	}
	return out
}

// workOut says the amount in all units: "0.30 mm is 0.48 kg/m², 4.5 t dry over 9,400 m², 4.7 t as delivered." The
// page’s script composes the same sentence.
func (d *workDraft) workOut() string {
	v, err := underfoot.ParseNumber(d.texts["amount"])
	if err != nil || v <= 0 {
		return ""
	}
	density, moisture, known := d.sand()
	area := d.area()
	var mm float64
	switch d.unit {
	case "mm":
		mm = v
	case "kg_m2":
		mm = v / density * 1000
	case "t":
		if area == 0 {
			return ""
		}
		mm = v * 1e6 / area / density
	}
	s := fmt.Sprintf("%s mm is %s kg/m²", page.Num(mm, 2), page.Num(mm*density/1000, 2))
	if area > 0 {
		t := mm * density / 1e6 * area
		s += fmt.Sprintf(", %s t dry over %s m²", page.Mass(t), page.Num(area, 0))
		if moisture > 0 {
			s += fmt.Sprintf(", %s t as delivered at %s %% moisture", page.Mass(t*(1+moisture/100)), page.Num(moisture, 0))
		}
	}
	s += fmt.Sprintf(", at %s kg/m³", page.Num(density, 0))
	if !known {
		s += " (taken, because the sand’s density is not written down)"
	}
	return s + "."
}

func roundTo(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// describe says an entry in a few words: "topdressing, 0.40 mm on all greens, 8 October 2026".
func (d *workDraft) describe(w *underfoot.Work) string {
	s := lowerFirst(workName(w.Kind))
	if w.SandMM.Known {
		s += ", " + cellOf(w, "sand_mm") + " mm"
	} else if w.SandKgM2.Known {
		s += ", " + cellOf(w, "sand_kg_m2") + " kg/m²"
	} else if w.NitrogenKgHa.Known {
		s += ", " + cellOf(w, "nitrogen_kg_ha") + " kg/ha"
	} else if w.ClippingsL100M2.Known {
		s += ", " + cellOf(w, "clippings_l_100m2") + " L/100 m²"
	}
	where := "all greens"
	if w.Green != "" {
		where = greenTitle(d.records, w.Green)
	}
	return s + " on " + where + ", " + page.Day(w.Date.Time())
}

func greenTitle(rs *underfoot.Records, id string) string {
	for _, g := range rs.Greens {
		if g.ID == id {
			return g.Title()
		}
	}
	return id
}
