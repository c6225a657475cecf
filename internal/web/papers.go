package web

import (
	"bytes"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/label"
	"underfoot/internal/web/page"
)

// sizeFields are the sizes of a sheet of labels on the form, in its order.
var sizeFields = []struct{ name, title, unit string }{
	{"columns", "Labels across", ""},
	{"rows", "Labels down", ""},
	{"width", "Label width", "mm"},
	{"height", "Label height", "mm"},
	{"left", "Left margin", "mm"},
	{"top", "Top margin", "mm"},
	{"gap_x", "Gap across", "mm"},
	{"gap_y", "Gap down", "mm"},
	{"first", "First free label", ""},
	{"copies", "Copies of each", ""},
}

// papersForm is the form for bag labels as it was filled in.
type papersForm struct {
	texts  url.Values
	errors map[string]string
}

// papersOf reads the form; what it leaves out is that of the sheet it names, or of the first one on the paper usual here.
func papersOf(course *underfoot.Course, q url.Values) *papersForm {
	f := &papersForm{texts: url.Values{}, errors: map[string]string{}}
	presets := label.Presets()
	chosen := presets[0]
	for _, p := range presets {
		if p.Stock.Paper == app.PaperOf(course) {
			chosen = p
			break
		}
	}
	for _, p := range presets {
		if p.Key == q.Get("sheet") {
			chosen = p
		}
	}
	s := chosen.Stock
	f.texts.Set("sheet", chosen.Key)
	f.texts.Set("paper", string(s.Paper))
	for name, v := range map[string]float64{
		"columns": float64(s.Columns), "rows": float64(s.Rows), "width": s.Width, "height": s.Height, "left": s.Left, "top": s.Top, "gap_x": s.GapX,
		"gap_y": s.GapY, "first": 1, "copies": 1,
	} {
		f.texts.Set(name, underfoot.FormatNumber(v))
	}
	for name, list := range q {
		if text := strings.TrimSpace(list[0]); text != "" || name == "sample" {
			f.texts[name] = list
			f.texts[name][0] = text
		}
	}
	return f
}

// asked reads what was typed, noting what is wrong.
func (f *papersForm) asked() label.Labels {
	number := func(name string) float64 {
		v, err := underfoot.ParseNumber(f.texts.Get(name))
		if err != nil {
			f.errors[name] = err.Error()
		}
		return v
	}
	whole := func(name string) int {
		v := number(name)
		if f.errors[name] == "" && (v != float64(int(v)) || v < -1e6 || v > 1e6) {
			f.errors[name] = fmt.Sprintf("%s is not a whole number within reach", f.texts.Get(name))
		}
		return int(v)
	}
	o := label.Labels{
		Stock: label.Stock{
			Paper: label.Paper(f.texts.Get("paper")), Columns: whole("columns"), Rows: whole("rows"), Width: number("width"), Height: number("height"),
			Left: number("left"), Top: number("top"), GapX: number("gap_x"), GapY: number("gap_y"),
		},
		First: whole("first"), Copies: whole("copies"), SampleOnly: f.texts.Get("code") == "sample", Edges: f.texts.Get("edges") != "",
	}
	if len(f.errors) > 0 {
		return o
	}
	for _, fault := range o.Stock.Faults(o.First) {
		f.errors[fault.Field] = fault.Text
	}
	if o.Copies < 1 || o.Copies > 10 {
		f.errors["copies"] = fmt.Sprintf("%d copies: 1 to 10 are allowed", o.Copies)
	}
	return o
}

// fieldRound is the round of the address and its course.
func (s *server) fieldRound(r *http.Request) (*standing, *app.FieldRound, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, nil, err
	}
	round, err := app.FieldRoundOf(st.Records, r.PathValue("round"))
	return st, round, err
}

// showPapers offers the field sheet and the bag labels of a round.
func (s *server) showPapers(w http.ResponseWriter, r *http.Request) error {
	st, round, err := s.fieldRound(r)
	if err != nil {
		return err
	}
	return s.papersPage(w, r, http.StatusOK, st, round, papersOf(&st.Records.Course, r.URL.Query()))
}

// sendLabels sends the bag labels, or shows the form again with what is wrong.
func (s *server) sendLabels(w http.ResponseWriter, r *http.Request) error {
	st, round, err := s.fieldRound(r)
	if err != nil {
		return err
	}
	f := papersOf(&st.Records.Course, r.URL.Query())
	o := f.asked()
	if len(f.errors) > 0 {
		return s.papersPage(w, r, http.StatusUnprocessableEntity, st, round, f)
	}
	var only []string
	for _, name := range f.texts["sample"] {
		if name != "" {
			only = append(only, name)
		}
	}
	all := *round
	if err := all.Only(only); err != nil {
		return err
	}
	o.About = all.About("Bag labels", s.o.Version, s.app.Now())
	var out bytes.Buffer
	if err := label.WriteLabels(&out, all.Bags(), o); err != nil {
		f.errors["width"] = err.Error()
		return s.papersPage(w, r, http.StatusUnprocessableEntity, st, round, f)
	}
	return sendPDF(w, r, st.Records.Course.ID+"-"+round.Label+"-labels.pdf", out.Bytes())
}

// sendSheet sends the field sheet.
func (s *server) sendSheet(w http.ResponseWriter, r *http.Request) error {
	st, round, err := s.fieldRound(r)
	if err != nil {
		return err
	}
	paper := app.PaperOf(&st.Records.Course)
	if p := r.URL.Query().Get("paper"); p != "" {
		paper = label.Paper(p)
	}
	sheet := round.Sheet(paper)
	sheet.About = round.About("Field sheet", s.o.Version, s.app.Now())
	var out bytes.Buffer
	if err := label.WriteSheet(&out, sheet); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "field sheet of round %q: %w", round.Label, err)
	}
	return sendPDF(w, r, st.Records.Course.ID+"-"+round.Label+"-sheet.pdf", out.Bytes())
}

// sendPDF sends a PDF to be looked at in the browser, under a name to keep it by.
func sendPDF(w http.ResponseWriter, r *http.Request, name string, body []byte) error {
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", "inline; filename*=UTF-8''"+url.PathEscape(strings.ReplaceAll(name, "/", "-")))
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Content-Length", fmt.Sprint(len(body)))
	if r.Method == http.MethodHead {
		return nil
	}
	_, err := w.Write(body)
	return err
}

func (s *server) papersPage(w http.ResponseWriter, r *http.Request, status int, st *standing, round *app.FieldRound, f *papersForm) error {
	course := st.Records.Course.ID
	p := page.Papers{
		Frame: s.courseFrame(r, st, "Papers of round "+round.Label, "round"), Course: course, Round: round.Label, Cautions: label.Cautions(),
		Paper: f.texts.Get("paper"), SampleOnly: f.texts.Get("code") == "sample", Edges: f.texts.Get("edges") != "",
	}
	greens := map[string]bool{}
	for _, c := range round.Composites {
		greens[c.Green] = true
	}
	verb := "were taken"
	if round.Planned {
		verb = "are planned"
	}
	p.Statement = fmt.Sprintf("The papers of round “%s”: %s on %s.", round.Label, page.CountWords(len(round.Composites), "bag", "bags"), page.CountWords(len(greens), "green", "greens"))
	if round.Date != 0 {
		p.Because = fmt.Sprintf("Its composites %s, dated %s. The field sheet leads round the greens in walking order; a label goes into or onto each bag.", verb, page.Day(round.Date.Time()))
	}
	for _, preset := range label.Presets() {
		p.Sheets = append(p.Sheets, page.PaperSheet{Key: preset.Key, Title: preset.Title, Current: preset.Key == f.texts.Get("sheet")})
	}
	for _, x := range sizeFields {
		p.Fields = append(p.Fields, page.Field{
			Name: x.name, Label: x.title, Unit: x.unit, Value: f.texts.Get(x.name), Type: "number", Error: f.errors[x.name], Half: true, Need: true,
		})
		if e := f.errors[x.name]; e != "" {
			if strings.HasPrefix(e, `"`) {
				e = x.title + ": " + e
			}
			p.Errors = append(p.Errors, page.FieldError{Field: x.name, Text: page.Sentence(e)})
		}
	}
	if e := f.errors["paper"]; e != "" {
		p.Errors = append(p.Errors, page.FieldError{Field: "paper", Text: page.Sentence(e)})
	}
	p.Samples = []page.Choice{{Text: fmt.Sprintf("all %d bags", len(round.Composites))}}
	for _, c := range round.Composites {
		p.Samples = append(p.Samples, page.Choice{Value: c.ID, Text: "only " + c.ID})
	}
	p.Sample = f.texts.Get("sample")
	p.Frame.Taken = true
	return s.send.page(w, r, status, page.PapersPage(p))
}
