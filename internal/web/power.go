package web

import (
	"errors"
	"fmt"
	"math"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
	"underfoot/sampling"
)

// powerGroups are the fields of the form by what they are about; "layer" is a choice, the others are limits of package app.
var powerGroups = []struct {
	name    string
	columns []string
}{
	{"A round", []string{"layer", "greens", "cores", "determinations"}},
	{"How often", []string{"per_year", "years"}},
	{"Wanted", []string{"slope", "half"}},
	{"Costs, in your money", []string{"cost_visit", "cost_green", "cost_core", "cost_determination"}},
}

// powerUnits are the units beside the fields.
var powerUnits = map[string]string{
	"slope": "points a year", "half": "points", "cost_visit": "a round", "cost_green": "each", "cost_core": "each", "cost_determination": "each",
}

// powerForm is the form being filled in.
type powerForm struct {
	st     *standing
	texts  url.Values
	errors map[string]string
}

// number reads a field; empty is 0, as now.
func (f *powerForm) number(l app.PowerLimit) (v float64, given bool) {
	text := strings.TrimSpace(f.texts.Get(l.Column))
	if text == "" {
		return 0, false
	}
	v, err := underfoot.ParseNumber(text)
	if err != nil {
		f.errors[l.Column] = fmt.Sprintf("%s: %q is not a number: allowed is %s to %s", l.Name, text, underfoot.FormatNumber(l.Low), underfoot.FormatNumber(l.High))
		return 0, false
	}
	if why := l.Allow(v); why != "" {
		f.errors[l.Column] = why
		return 0, false
	}
	return v, true
}

// asked reads the form.
func (f *powerForm) asked() app.PowerAsked {
	var a app.PowerAsked
	prices := sampling.DefaultPrices()
	a.Prices = &prices
	whole := map[string]*int{"greens": &a.Greens, "cores": &a.Cores, "determinations": &a.Determinations, "per_year": &a.PerYear, "years": &a.Years}
	parts := map[string]*float64{
		"slope": &a.Slope, "half": &a.Half, "cost_visit": &prices.Visit, "cost_green": &prices.Green, "cost_core": &prices.Core, "cost_determination": &prices.Determination,
	}
	for _, l := range app.PowerLimits(len(f.st.Greens)) {
		v, given := f.number(l)
		if !given {
			continue
		}
		if to := whole[l.Column]; to != nil {
			*to = int(v)
		} else {
			*parts[l.Column] = v
		}
	}
	if name := f.texts.Get("layer"); name != "" {
		a.TopMM, a.BottomMM = -1, -1
		for i := range f.st.Layers {
			if l := &f.st.Layers[i]; layerKey(l) == name {
				a.TopMM, a.BottomMM = l.TopMM, l.BottomMM
			}
		}
		if a.BottomMM < 0 {
			a.TopMM, a.BottomMM = 0, 0
			f.errors["layer"] = "Layer: choose one that was sampled"
		}
	}
	return a
}

func layerKey(l *app.Layer) string { return fmt.Sprintf("%g-%g", l.TopMM, l.BottomMM) }

// powerOf says what sampling can see, so far and with the design in the form.
func powerOf(st *standing, texts url.Values) page.Power {
	out := page.Power{Course: st.Records.Course.ID}
	usual, err := st.Power(app.PowerAsked{})
	if err != nil {
		out.Why = page.Sentence(err.Error())
		return out
	}
	out.SoFar = soFarTable(st)
	f := &powerForm{st: st, texts: texts, errors: map[string]string{}}
	asked := f.asked()
	var found *app.PowerFound
	switch {
	case len(f.errors) > 0:
	case len(texts) == 0:
		found = usual
	default:
		found, err = st.Power(asked)
		var bad *app.FieldError
		switch {
		case errors.As(err, &bad):
			f.errors[bad.Column] = page.Sentence(bad.Text)
		case err != nil:
			out.Why = page.Sentence(err.Error())
			return out
		}
	}
	shown := usual
	if found != nil {
		shown = found
		showDesign(&out, st, found)
	}
	out.SoFarIs, out.Next = soFarSays(shown), shown.SoFar.NextSays
	if out.Next != "" {
		out.Next += fmt.Sprintf(" At the prices below it costs %s.", page.Num(shown.SoFar.NextCost, 0))
	}
	f.fill(&out, shown)
	return out
}

// fill lays the form out: what was typed, and where nothing was, what the answer was worked out with.
func (f *powerForm) fill(out *page.Power, shown *app.PowerFound) {
	usual := map[string]float64{
		"greens": float64(shown.Design.Greens), "cores": float64(shown.Design.Cores), "determinations": float64(shown.Design.Determinations),
		"per_year": float64(shown.Schedule.PerYear), "years": float64(shown.Schedule.Years), "slope": shown.Wanted.Slope, "half": shown.Wanted.Half,
		"cost_visit": shown.Prices.Visit, "cost_green": shown.Prices.Green, "cost_core": shown.Prices.Core, "cost_determination": shown.Prices.Determination,
	}
	layer := page.Field{Name: "layer", Label: "Layer", Type: "select", Value: fmt.Sprintf("%g-%g", shown.TopMM, shown.BottomMM), Error: f.errors["layer"]}
	for i := range f.st.Layers {
		layer.Options = append(layer.Options, page.Choice{Value: layerKey(&f.st.Layers[i]), Text: f.st.Layers[i].Name()})
	}
	fields := map[string]page.Field{"layer": layer}
	for _, l := range app.PowerLimits(len(f.st.Greens)) {
		x := page.Field{Name: l.Column, Label: l.Name, Unit: powerUnits[l.Column], Type: "number", Value: strings.TrimSpace(f.texts.Get(l.Column)), Error: f.errors[l.Column]}
		if x.Value == "" {
			x.Value = underfoot.FormatNumber(usual[l.Column])
		}
		fields[l.Column] = x
	}
	for _, g := range powerGroups {
		group := page.FieldGroup{Name: g.name}
		for _, c := range g.columns {
			group.Fields = append(group.Fields, fields[c])
			if fields[c].Error != "" {
				out.Errors = append(out.Errors, page.FieldError{Field: c, Text: fields[c].Error})
			}
		}
		out.Groups = append(out.Groups, group)
	}
}

// atMost prints a precision rounded up, so that it does not promise too much.
func atMost(v float64) string { return page.Num(math.Ceil(v*100-1e-9)/100, 2) }

// soFarSays tells what the rounds of the uppermost layer could see.
func soFarSays(f *app.PowerFound) string {
	name, rounds := layerName(f.TopMM, f.BottomMM), page.CountWords(f.SoFar.Rounds, "round", "rounds")
	switch {
	case f.SoFar.Happened == nil:
		return fmt.Sprintf("In %s, %s so far can show a level and no change yet.", name, rounds)
	case f.SoFar.Behind == nil:
		return fmt.Sprintf("In %s, %s could see a change of %s points a year, but not whether it goes on: two rounds may be a good and a bad one.", name, rounds, atMost(*f.SoFar.Happened))
	}
	return fmt.Sprintf("In %s, %s could see a change of %s points a year in what happened, and one of %s that goes on, 8 times in 10.",
		name, rounds, atMost(*f.SoFar.Happened), atMost(*f.SoFar.Behind))
}

// soFarTable is what was and would be seen in each layer.
func soFarTable(st *standing) page.Table {
	t := page.Table{
		Caption: "Smallest change seen 8 times in 10, points a year",
		Head:    []string{"Layer", "Rounds", "In what happened", "In what goes on", "With one more round"},
	}
	or := func(v *float64) string {
		if v == nil {
			return "–"
		}
		return atMost(*v)
	}
	for i := range st.Layers {
		l := &st.Layers[i]
		f, err := st.SamplingSoFar(l)
		if err != nil {
			continue // its own sentence stands where the layer is chosen
		}
		next := "–"
		if f.WithNext != nil {
			next = atMost(*f.WithNext)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{l.Name(), fmt.Sprint(f.Rounds), or(f.Happened), or(f.Behind), next}})
	}
	return t
}

// showDesign lays out what the design that was asked for sees, and the cheapest one for what is wanted.
func showDesign(out *page.Power, st *standing, f *app.PowerFound) {
	out.Depths = depths(st, f.TopMM, f.BottomMM)
	out.Notes = f.Notes
	out.Figure = powerFigure(f)
	slope := page.Fact{Name: "Smallest change seen", Value: atMost(*f.Slope.Points), Unit: "points a year", Note: "8 times in 10" + upTo(f.Slope)}
	mean := page.Fact{Name: "Mean of one round known to", Value: "±" + atMost(*f.Mean.Points), Unit: "points", Note: "9 times in 10" + upTo(f.Mean)}
	out.Facts = []page.Fact{
		slope, mean,
		{Name: "A round costs", Value: page.Num(f.Mean.Cost, 0), Note: f.Design.String()},
		{Name: "All rounds cost", Value: page.Num(f.Slope.Cost, 0), Note: page.Count(f.Schedule.Rounds(), "round", "rounds")},
	}
	for _, a := range f.Cheapest {
		out.Answers = append(out.Answers, page.PowerAnswer{Says: a.Says, Others: a.Others})
	}
	out.Parts = page.Table{Caption: "Scatter the answers rest on, standard deviations", Head: []string{"Scatter", "Size", "", "From"}, Left: 1}
	for _, p := range f.Parts {
		out.Parts.Rows = append(out.Parts.Rows, page.Row{Cells: []string{page.Sentence(p.Name)[:len(page.Sentence(p.Name))-1], page.Num(p.SD, 3), p.Unit, p.From}, Quiet: !p.Own})
	}
}

// upTo is how much worse it may be, where the scatter is the course's own and as large as it may be.
func upTo(d app.PowerDesign) string {
	if d.Cautious == nil || *d.Cautious <= *d.Points*1.005 {
		return ""
	}
	return "; up to " + atMost(*d.Cautious) + " if this course scatters more than it has shown"
}

func powerFigure(f *app.PowerFound) page.Figure {
	p := figure.Power{
		XName: "years of sampling", Unit: "points a year", Across: "year", Wanted: f.Wanted.Slope, Width: 760, Height: 290,
		At: figure.PowerPoint{X: float64(f.Schedule.Years), Y: *f.Slope.Points},
	}
	if f.Slope.Cautious != nil {
		p.Likely = figure.Interval{Low: *f.Slope.Points, High: *f.Slope.Cautious}
	}
	t := page.Table{Caption: "Smallest change seen 8 times in 10, points a year", Head: []string{"After"}}
	var rows []page.Row
	most := 0
	for _, l := range f.Lines {
		c := figure.PowerCurve{Name: l.Name, Chosen: l.Chosen}
		for i, y := range l.Years {
			c.Points = append(c.Points, figure.PowerPoint{X: float64(y), Y: l.Points[i]})
			most = max(most, y)
		}
		p.Curves = append(p.Curves, c)
		t.Head = append(t.Head, l.Name)
	}
	for y := 1; y <= most; y++ {
		row := page.Row{Cells: []string{page.Count(y, "year", "years")}, Total: y == f.Schedule.Years}
		some := false
		for _, l := range f.Lines {
			cell := "–"
			for i, at := range l.Years {
				if at == y {
					cell, some = atMost(l.Points[i]), true
				}
			}
			row.Cells = append(row.Cells, cell)
		}
		if some {
			rows = append(rows, row)
		}
	}
	t.Rows = rows
	wide := p.Scene()
	p.Width, p.Height = 358, 250
	return page.Figure{
		Picture: page.Draw(wide, p.Scene()), Says: f.Slope.Says, Sure: powerSure(f), YAxis: "Smallest change seen 8 times in 10, points of OM a year", Table: &t,
		Note: fmt.Sprintf("Lower is better; the dashed line is what is wanted. For the %s of this course.", page.Count(f.OnCourse, "green", "greens")),
	}
}

// powerSure says how sure the answer is: what it rests on, and how much worse it may be.
func powerSure(f *app.PowerFound) string {
	if f.Own == 0 || f.Slope.Cautious == nil {
		return "Only as sure as the defaults it rests on (common practice, no source): this course has not shown its own scatter yet."
	}
	rests := page.CountWords(f.Own, "kind", "kinds") + " of scatter seen on this course"
	if f.Own < len(f.Parts)-1 {
		rests += " and default ones for the rest"
	}
	if *f.Slope.Cautious <= *f.Slope.Points*1.005 {
		return "Rests on " + rests + "."
	}
	return fmt.Sprintf("Rests on %s. Were that scatter as large as it may be (9 in 10), it would be %s points a year.", rests, atMost(*f.Slope.Cautious))
}
