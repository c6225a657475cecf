package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/labsheet"
	"underfoot/internal/web/page"
)

// How much of a sheet is on its page. What is not shown is read all the same.
const (
	mostLabColumns = 60
	mostLabRows    = 40
	mostBrought    = 100
)

// labPage shows a sheet with what it would bring; bad is what stood in the way of storing it.
func (s *server) labPage(w http.ResponseWriter, r *http.Request, status int, d *labDraft, form url.Values, bad error) error {
	v, err := s.labView(r, d, form)
	if err != nil && underfoot.KindOf(err) == underfoot.Internal {
		return err
	}
	p := page.LabSheet{Frame: s.frame(r, d.book.File, "courses"), ID: r.PathValue("draft")}
	p.Frame.Taken = true
	p.Frame.Scripts = []string{"labsheet"}
	p.Frame.Done = s.done(r, v.order.Course)
	if bad == nil && err != nil {
		bad, status = err, http.StatusUnprocessableEntity
	}
	p.Name = page.Field{Name: "mapping", Label: "Name of the mapping, to be known next time", Value: form.Get("mapping"), Wide: 6, Hint: "Such as the laboratory’s name for its sheet. Left open, the mapping is not kept."}
	if v.using != "" && p.Name.Value == "" {
		p.Name.Value = v.using
	}
	var field *app.FieldError
	switch {
	case errors.As(bad, &field) && field.Column == "mapping":
		p.Name.Error = page.Sentence(field.Text)
	case bad != nil:
		p.Error = page.Sentence(bad.Error())
	}
	v.describe(&p, d.book)
	return s.send.page(w, r, status, page.LabSheetPage(p))
}

// describe fills the page from what is known.
func (v *labView) describe(p *page.LabSheet, b *labsheet.Book) {
	p.Because = strings.ToUpper(b.How[0][:1]) + strings.Join(b.How, ", ")[1:] + ". Nothing is stored until you say so."
	p.Statement = "This sheet cannot be read yet."
	p.Good = "Bring it in"
	v.fields(p, b)
	v.columns(p, b)
	if v.preview == nil {
		return
	}
	x := v.preview
	good, samples := x.Good(), x.NewSamples()
	bad, open := len(x.Problems), len(x.Questions)
	switch {
	case open > 0:
		p.Statement = capital(page.CountWords(open, "thing", "things")) + " to be said before " + b.File + " can be brought in."
	case bad > 0:
		p.Statement = capital(page.CountWords(bad, "problem", "problems")) + " to set right before " + b.File + " can be brought in."
	case good > 0:
		p.Statement = capital(page.CountWords(good, "row", "rows")) + " of " + x.Kind.Word() + " ready to bring in."
	}
	if good > 0 {
		p.Good = fmt.Sprintf("Bring in %s", page.Count(good, "row", "rows"))
		switch {
		case samples > 0 && x.Kind == labsheet.Sieve:
			p.Because = page.Count(samples, "source is", "sources are") + " new. " + p.Because
		case samples > 0:
			p.Because = page.Count(samples, "sample", "samples") + " would be made. " + p.Because
		}
	}
	if n := x.Apart(); n > 0 {
		p.Because = capital(page.Count(n, "result is", "results are")) + " kept out of trends: screened, scooped, or the method not stated. " + p.Because
	}
	p.Ready = x.Ready() && open == 0
	if bad > 0 && good > 0 && open == 0 {
		p.Partial = fmt.Sprintf("Take the %s without a problem and leave the others out", page.CountWords(good, "row", "rows"))
		p.Ready = true // the check box decides, and the server
	}
	v.results(p, b)
}

func options(list ...string) []page.Choice {
	var out []page.Choice
	for i := 0; i+1 < len(list); i += 2 {
		out = append(out, page.Choice{Value: list[i], Text: list[i+1]})
	}
	return out
}

// fields are those of the sheet as a whole.
func (v *labView) fields(p *page.LabSheet, b *labsheet.Book) {
	course := page.Field{Name: "course", Label: "Course", Type: "select", Value: v.order.Course, Wide: 3}
	for _, c := range v.courses {
		course.Options = append(course.Options, page.Choice{Value: c.ID, Text: c.Title()})
	}
	kind := page.Field{Name: "kind", Label: "Sheet of", Type: "select", Value: string(v.rule.Kind), Wide: 3}
	for _, k := range labsheet.Kinds() {
		kind.Options = append(kind.Options, page.Choice{Value: string(k), Text: k.Word()})
	}
	saved := page.Field{Name: "saved", Label: "Saved mapping", Type: "select", Value: v.using, Wide: 3, Options: options("", "None: as pointed at below")}
	for _, m := range v.saved {
		saved.Options = append(saved.Options, page.Choice{Value: m.Name, Text: m.Name})
	}
	p.Fields = append(p.Fields, course, kind, saved)
	p.Hidden = append(p.Hidden, page.Hidden{Name: "saved-was", Value: v.using}, page.Hidden{Name: "course-was", Value: v.order.Course}, page.Hidden{Name: "rule", Value: string(v.rule.Bytes())})
	if len(b.Sheets) > 1 {
		sheet := page.Field{Name: "sheet", Label: "Worksheet", Type: "select", Value: v.rule.Sheet, Wide: 3}
		for i := range b.Sheets {
			if len(b.Sheets[i].Rows) > 0 {
				sheet.Options = append(sheet.Options, page.Choice{Value: b.Sheets[i].Sheet, Text: b.Sheets[i].Sheet})
			}
		}
		p.Fields = append(p.Fields, sheet)
	} else {
		p.Hidden = append(p.Hidden, page.Hidden{Name: "sheet", Value: v.rule.Sheet})
	}
	p.Fields = append(p.Fields,
		page.Field{Name: "head-at", Label: "First row of headings", Value: strconv.Itoa(v.rule.HeadAt), Wide: 2},
		page.Field{Name: "head", Label: "Rows of headings", Value: strconv.Itoa(v.rule.Head), Wide: 2},
		page.Field{Name: "groups", Label: "Samples in a row", Value: strconv.Itoa(max(v.groups, v.sideBySide(), 1)), Wide: 2},
		page.Field{
			Name: "dates", Label: "Order of dates", Type: "select", Value: string(v.rule.Dates), Wide: 4, Error: v.asked("date_order"),
			Options: options("", "Only what can be read in one way", "dmy", "Day, month, year", "mdy", "Month, day, year", "ymd", "Year, month, day"),
		})
	if asked := v.asked("depths"); asked != "" || v.rule.Depths != "" {
		p.Fields = append(p.Fields, page.Field{
			Name: "depths", Label: "Unit of the layers in the headings", Type: "select", Value: v.rule.Depths, Wide: 3, Error: asked,
			Options: options("", "Not said yet", "mm", "mm", "cm", "cm", "in", "inches"),
		})
	}
	if v.rule.Kind != labsheet.Sieve {
		return
	}
	measure := page.Field{Name: "measure", Label: "Amounts on the sieves", Type: "select", Value: string(v.rule.Measure), Wide: 4, Error: v.asked("measure"), Options: options("", "Not said yet")}
	for _, m := range labsheet.Measures() {
		measure.Options = append(measure.Options, page.Choice{Value: string(m), Text: capital(m.Word())})
	}
	p.Fields = append(p.Fields, measure)
	if !v.rule.Has(labsheet.FieldOpening) {
		p.Fields = append(p.Fields, page.Field{
			Name: "openings", Label: "Unit of the sieves in the headings", Type: "select", Value: v.rule.Openings, Wide: 3, Error: v.asked("openings"),
			Options: options("", "As they say", "mm", "mm", "µm", "micrometres", "phi", "phi", "mesh", "sieve numbers", "in", "inches"),
		})
	}
}

// asked is the text of an open question.
func (v *labView) asked(id string) string {
	if v.preview == nil {
		return ""
	}
	for _, q := range v.preview.Questions {
		if q.ID == id {
			return q.Text
		}
	}
	return ""
}

func (v *labView) sideBySide() int {
	most := 0
	for _, c := range v.rule.Columns {
		most = max(most, c.Group)
	}
	return most
}

// columns are the heads of the grid and its rows.
func (v *labView) columns(p *page.LabSheet, b *labsheet.Book) {
	g := b.Sheet(v.rule.Sheet)
	if g == nil {
		g = &b.Sheets[0]
	}
	heads := labsheet.Headings(b, v.rule)
	width := min(g.Width(), mostLabColumns)
	groups := max(v.groups, v.sideBySide())
	by := map[int]labsheet.Column{}
	for _, c := range v.rule.Columns {
		by[c.At] = c
	}
	for i := range width {
		c := page.LabColumn{Number: i + 1, Letter: labsheet.ColumnName(i), Fields: options("", "–")}
		if i < len(heads) {
			c.Heading = heads[i]
		}
		x := by[i+1]
		c.Field, c.Unit, c.Mark, c.Group = string(x.Field), x.Unit, string(x.Mark), strconv.Itoa(x.Group)
		for _, a := range labsheet.Fields(v.rule.Kind) {
			c.Fields = append(c.Fields, page.Choice{Value: string(a.Field), Text: a.Name})
			if a.Field != x.Field || a.Text() {
				continue
			}
			if a.Field != labsheet.FieldAmount {
				c.Units = options("", "Unit?")
				for _, u := range a.Units {
					c.Units = append(c.Units, page.Choice{Value: u, Text: u})
				}
			}
			if a.Field != labsheet.FieldLayer && a.Field != labsheet.FieldOpening {
				c.Marks = options("", "1.5 or 1,5", ".", "1.5", ",", "1,5")
			}
		}
		if groups > 1 && x.Field != "" {
			c.Groups = options("0", "of the whole row")
			for n := 1; n <= min(groups, 30); n++ {
				c.Groups = append(c.Groups, page.Choice{Value: strconv.Itoa(n), Text: "sample " + strconv.Itoa(n)})
			}
		}
		switch {
		case x.Layer != nil:
			c.Tells = "of " + underfoot.LayerName(x.Layer.TopMM, x.Layer.BottomMM)
		case x.Opening != nil && *x.Opening == 0:
			c.Tells = "in the pan"
		case x.Opening != nil:
			c.Tells = "at " + underfoot.FormatNumber(*x.Opening) + " mm"
		case x.Name != "":
			c.Tells = "of " + x.Name
		}
		c.Asked = cmp.Or(v.asked("unit "+strconv.Itoa(i+1)), v.asked("decimal "+strconv.Itoa(i+1)))
		p.Columns = append(p.Columns, c)
	}
	bad := map[string]string{}
	if v.preview != nil {
		for _, x := range v.preview.Problems {
			bad[x.Place] = page.Sentence(x.Text)
		}
	}
	shown := 0
	for i := range g.Rows {
		if shown >= mostLabRows {
			p.More = fmt.Sprintf("The first %d of %s rows are shown; all are read.", shown, page.Num(float64(len(g.Rows)), 0))
			break
		}
		shown++
		row := page.LabGridRow{Number: strconv.Itoa(i + 1)}
		data, heading := v.rule.IsData(g, i)
		switch {
		case heading:
			row.Kind = "head"
		case data:
			row.Kind = "data"
		}
		for c := range width {
			row.Cells = append(row.Cells, page.LabCell{Text: g.At(i, c).Text, Bad: bad[g.Place(i, c)]})
		}
		p.Rows = append(p.Rows, row)
	}
	if g.Width() > width {
		p.More = strings.TrimSpace(p.More + fmt.Sprintf(" The first %d of %d columns are shown.", width, g.Width()))
	}
}

// results are the greens, the problems and what the rows would bring.
func (v *labView) results(p *page.LabSheet, b *labsheet.Book) {
	x := v.preview
	href := map[string]string{"date_order": "#f-dates", "measure": "#f-measure", "openings": "#f-openings", "depths": "#f-depths"}
	for _, q := range x.Questions {
		to := href[q.ID]
		if what, at, ok := strings.Cut(q.ID, " "); ok {
			to = "#c" + at + "-" + map[string]string{"unit": "unit", "decimal": "mark"}[what]
		}
		p.Asked = append(p.Asked, page.LabAsked{Text: q.Text, Href: to})
	}
	choices := options("", "Not said yet", "-", "Leave its rows out")
	for _, g := range x.All {
		choices = append(choices, page.Choice{Value: g.ID, Text: g.Title()})
	}
	for i, g := range x.Greens {
		one := page.LabGreen{Words: g.Words, Note: page.Count(g.Rows, "row", "rows"), Number: i + 1, Value: g.Green, Choices: choices}
		if g.Green == "" {
			one.Error = "No green of the course is called so: say which is meant, or leave its rows out."
		}
		p.Greens = append(p.Greens, one)
	}
	v.fixed(p)
	place := func(s string) string {
		if len(b.Sheets) == 1 {
			s = strings.TrimPrefix(s, b.Sheets[0].Sheet+"!")
		}
		return s
	}
	for i, bad := range x.Problems {
		if i == faultsOnPage {
			p.MoreBad = fmt.Sprintf("The first %d of %s problems are listed.", faultsOnPage, page.Num(float64(len(x.Problems)), 0))
			break
		}
		p.Problems = append(p.Problems, page.FaultRow{Column: place(bad.Place), Found: bad.Found, Text: page.Sentence(bad.Text)})
	}
	for i := range x.Rows {
		r := &x.Rows[i]
		if i == mostBrought {
			p.MoreRows = fmt.Sprintf("The first %d of %s rows are listed.", mostBrought, page.Num(float64(len(x.Rows)), 0))
			break
		}
		one := page.LabBrought{State: page.Finished, Place: place(r.Place), Sample: r.Sample, Green: r.Green, Layer: r.Layer, Date: r.Date, Says: r.Says, Mark: "of a sample that is there"}
		if r.New {
			one.Mark = "makes a new one"
		}
		switch {
		case r.Bad:
			one.State, one.Mark = page.Stopped, "has a problem"
		case r.Out:
			one.State, one.Mark = page.Open, "left out"
		case r.Apart != "":
			one.State, one.Mark = page.Look, one.Mark+"; "+r.Apart
		}
		p.Brings = append(p.Brings, one)
	}
	for _, n := range x.Notes {
		p.Notes = append(p.Notes, place(n.Place)+": "+n.Text+".")
	}
	p.Reasons = v.reasons
}

// fixed are the fields that hold for every row, where no column says them.
func (v *labView) fixed(p *page.LabSheet) {
	add := func(f page.Field, field labsheet.Field, kinds ...labsheet.Kind) {
		if len(kinds) > 0 && !slices.Contains(kinds, v.rule.Kind) {
			return
		}
		typed := v.rule.Fixed[field]
		if typed == "" && v.rule.Has(field) {
			return
		}
		f.Name, f.Value = "fixed-"+string(field), typed
		p.Fixed = append(p.Fixed, f)
	}
	add(page.Field{Label: "Date of sampling", Type: "date", Wide: 3}, labsheet.FieldDate)
	if !v.rule.Has(labsheet.FieldTop) && !v.rule.Has(labsheet.FieldPlace) && v.sideBySide() == 0 {
		add(page.Field{Label: "Layer, such as 0-20 mm", Wide: 3}, labsheet.FieldLayer)
	}
	if !v.rule.Has(labsheet.FieldPlace) && v.rule.Sections != labsheet.FieldGreen {
		add(page.Field{Label: "Green", Wide: 3}, labsheet.FieldGreen)
	}
	add(page.Field{
		Label: "How samples were prepared", Type: "select", Wide: 4,
		Options: options("", "As the sheet says, else not stated", "whole", "Burnt whole", "screened", "Screened first", "scooped", "Scooped"),
	}, labsheet.FieldMethod, labsheet.Results)
	add(page.Field{Label: "Laboratory", Wide: 3}, labsheet.FieldLab, labsheet.Results)
	add(page.Field{Label: "Furnace run", Wide: 3}, labsheet.FieldRun, labsheet.Weighings)
	if v.rule.Kind == labsheet.Sieve && !v.rule.NamesAbove {
		add(page.Field{Label: "Sample", Wide: 3}, labsheet.FieldSample)
		add(page.Field{Label: "Sand", Wide: 3}, labsheet.FieldSand)
	}
}
