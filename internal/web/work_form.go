package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// workKinds are the kinds of work in the order of the form, each with the columns it asks for beside those every
// entry has; "amount" stands for sand_mm or sand_kg_m2.
var workKinds = []struct {
	kind, name string
	columns    []string
}{
	{"topdress", "Topdressing", []string{"amount", "sand"}},
	{"hollow_core", "Hollow-tine coring", []string{
		"tine_diameter_mm", "spacing_along_mm", "spacing_across_mm", "pattern", "passes", "depth_mm", "cores_removed", "backfill", "amount", "sand",
	}},
	{"solid_tine", "Solid tining", []string{
		"tine_diameter_mm", "spacing_along_mm", "spacing_across_mm", "pattern", "passes", "depth_mm", "backfill", "amount", "sand",
	}},
	{"scarify", "Scarifying", []string{"blade_width_mm", "blade_spacing_mm", "depth_mm", "passes", "cores_removed", "backfill", "amount", "sand"}},
	{"inject_sand", "Sand injection", []string{"depth_mm", "amount", "sand"}},
	{"nitrogen", "Nitrogen", []string{"nitrogen_kg_ha"}},
	{"clippings", "Clippings", []string{"clippings_l_100m2"}},
	{"other", "Other work", nil},
}

// workName names a kind of work.
func workName(kind string) string {
	for _, k := range workKinds {
		if k.kind == kind {
			return k.name
		}
	}
	return kind
}

// workLabels are the labels of the columns on the form.
var workLabels = map[string]string{
	"date": "Date", "green": "Where", "status": "Done or planned", "sand": "Sand", "tine_diameter_mm": "Tine diameter",
	"spacing_along_mm": "Spacing along", "spacing_across_mm": "Spacing across", "pattern": "Pattern of holes", "passes": "Passes",
	"depth_mm": "Depth", "cores_removed": "What was cut", "backfill": "Filled with sand", "blade_width_mm": "Blade width",
	"blade_spacing_mm": "Blade spacing", "nitrogen_kg_ha": "Nitrogen", "clippings_l_100m2": "Clippings", "cost": "Cost", "labour_h": "Labour",
	"note": "Note",
}

var workHints = map[string]string{
	"backfill":          "0 to 1, of the volume opened",
	"spacing_across_mm": "empty: as along",
}

// workDraft is an entry as it is typed: the record it starts from, the texts of its fields and what is wrong with them.
type workDraft struct {
	course  string
	entry   string // empty for a new one
	kind    string
	texts   map[string]string
	unit    string // of the amount
	errors  map[string]string
	records *underfoot.Records
	greens  []underfoot.Green // of the surface the course is judged by
	today   underfoot.Date
	who     string
	worked  string
}

// newDraft is an empty entry of a kind, dated today.
func newDraft(st *app.Standing, today underfoot.Date, kind string) *workDraft {
	if workName(kind) == kind {
		kind = "topdress"
	}
	rs := st.Records
	return &workDraft{
		course: rs.Course.ID, greens: st.Greens, kind: kind, unit: "mm", records: rs, today: today, errors: map[string]string{},
		texts: map[string]string{"date": today.String(), "status": "done", "sand": lastSand(rs)},
	}
}

// lastSand is the topdressing sand used last, the likeliest to be used again.
func lastSand(rs *underfoot.Records) string {
	var last underfoot.Work
	for _, w := range rs.Work {
		if w.Sand != "" && w.Date >= last.Date {
			last = w
		}
	}
	if last.Sand != "" {
		return last.Sand
	}
	for _, s := range rs.Sands {
		if s.Role == "topdressing" {
			return s.ID
		}
	}
	return ""
}

// draftOf is a stored entry ready to be changed.
func draftOf(w *underfoot.Work, st *app.Standing, today underfoot.Date) *workDraft {
	d := &workDraft{
		course: w.Course, entry: w.ID, kind: w.Kind, unit: "mm", records: st.Records, greens: st.Greens, today: today, texts: map[string]string{}, errors: map[string]string{},
	}
	for i, c := range underfoot.WorkLog.Columns {
		d.texts[c.Name] = underfoot.WorkLog.Cell(w, i)
	}
	if d.texts["status"] == "" {
		d.texts["status"] = "done"
	}
	d.texts["amount"] = d.texts["sand_mm"]
	if !w.SandMM.Known && w.SandKgM2.Known {
		d.unit, d.texts["amount"] = "kg_m2", d.texts["sand_kg_m2"]
	}
	return d
}

// read takes what was typed in the form.
func (d *workDraft) read(r *http.Request) {
	if k := r.PostFormValue("kind"); k != "" {
		d.kind = k
	}
	if u := r.PostFormValue("unit"); u != "" {
		d.unit = u
	}
	for _, name := range d.columns() {
		d.texts[name] = strings.TrimSpace(r.PostFormValue(name))
	}
	d.who = strings.TrimSpace(r.PostFormValue("who"))
}

// columns are the fields shown: those every entry has, those of the kind, and any other that holds something.
func (d *workDraft) columns() []string {
	shown := []string{"date", "green", "status"}
	for _, k := range workKinds {
		if k.kind == d.kind {
			shown = append(shown, k.columns...)
		}
	}
	for _, c := range underfoot.WorkLog.Columns {
		if c.Name == "sand_mm" || c.Name == "sand_kg_m2" {
			if d.texts[c.Name] != "" && !slices.Contains(shown, "amount") {
				shown = append(shown, "amount")
			}
			continue
		}
		if _, labelled := workLabels[c.Name]; labelled && d.texts[c.Name] != "" && !slices.Contains(shown, c.Name) &&
			!slices.Contains([]string{"note", "cost", "labour_h"}, c.Name) && !(c.Name == "sand" && d.entry == "") {
			shown = append(shown, c.Name)
		}
	}
	return append(shown, "note", "cost", "labour_h")
}

// record turns what was typed into an entry, noting what is wrong. base is the stored entry, nil for a new one.
func (d *workDraft) record(base *underfoot.Work) *underfoot.Work {
	w := &underfoot.Work{Course: d.course}
	if base != nil {
		*w = *base
		w.Extra = cloneExtra(base.Extra)
	}
	d.set(w, "kind", d.kind)
	for _, name := range d.columns() {
		if name == "amount" {
			d.amount(w, base)
			continue
		}
		d.set(w, name, d.texts[name])
	}
	if d.errors["date"] == "" && !w.Planned() && w.Date > d.today {
		d.errors["date"] = fmt.Sprintf("%s is still to come: choose “planned”, or a day up to today, %s", page.Day(w.Date.Time()), page.Day(d.today.Time()))
	}
	if d.errors["date"] == "" && w.Date.Year() < 1900 {
		d.errors["date"] = fmt.Sprintf("%s is too long ago: days from 1900 on are allowed", page.Day(w.Date.Time()))
	}
	if (d.kind == "topdress" || d.kind == "inject_sand") && d.texts["amount"] == "" {
		d.errors["amount"] = "how much sand? A number in mm, kg/m² or t is needed"
	}
	for _, f := range w.Check() {
		if d.errors[f.Column] == "" {
			d.errors[f.Column] = f.Text
		}
	}
	return w
}

func cloneExtra(e underfoot.Extra) underfoot.Extra {
	if e == nil {
		return nil
	}
	out := underfoot.Extra{}
	for k, v := range e {
		out[k] = v
	}
	return out
}

func (d *workDraft) set(w *underfoot.Work, column, text string) {
	i, ok := underfoot.WorkLog.Column(column)
	if !ok {
		return
	}
	if err := underfoot.WorkLog.SetCell(w, i, text); err != nil {
		d.errors[column] = err.Error()
	}
}

// amount puts the sand into the column of its unit; tonnes become kg/m² over the greens named.
func (d *workDraft) amount(w, base *underfoot.Work) {
	text := d.texts["amount"]
	if base != nil && base.SandMM.Known && d.unit == "mm" && text == cellOf(base, "sand_mm") {
		return // both columns stay as they were
	}
	w.SandMM, w.SandKgM2 = underfoot.Opt[float64]{}, underfoot.Opt[float64]{}
	column := "sand_mm"
	switch d.unit {
	case "kg_m2":
		column = "sand_kg_m2"
	case "t":
		area := d.area()
		v, err := underfoot.ParseNumber(text)
		switch {
		case text == "":
		case err != nil:
			d.errors["amount"] = err.Error()
			return
		case area == 0:
			d.errors["amount"] = "the area of the greens is not known, so tonnes cannot be spread over it: give mm or kg/m²"
			return
		default:
			column, text = "sand_kg_m2", underfoot.FormatNumber(roundTo(v*1000/area, 4))
		}
	}
	d.set(w, column, text)
	if e := d.errors[column]; e != "" {
		delete(d.errors, column)
		d.errors["amount"] = e
	}
}

func cellOf(w *underfoot.Work, column string) string {
	i, _ := underfoot.WorkLog.Column(column)
	return underfoot.WorkLog.Cell(w, i)
}

// area is that of the greens the entry names, m²; 0 when it is not known.
func (d *workDraft) area() float64 {
	var sum float64
	for _, g := range d.greens {
		if d.texts["green"] == "" || d.texts["green"] == g.ID {
			sum += g.AreaM2.Or(0)
		}
	}
	return sum
}

// sand is the sand the entry names.
func (d *workDraft) sand() (density, moisture float64, known bool) {
	density = float64(app.DefaultSandDensity)
	for _, s := range d.records.Sands {
		if s.ID == d.texts["sand"] {
			return s.BulkDensity.Or(density), s.MoisturePercent.Or(0), s.BulkDensity.Known
		}
	}
	return density, 0, false
}
