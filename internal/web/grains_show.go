package web

import (
	"math"
	"net/http"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/sieve"
	"underfoot/unit"
)

// showGrains shows what the sieves say of a course's sands and ash. The query layer=0-20 chooses the layer drawn.
func (s *server) showGrains(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	g, style := st.Grains(), say.From(r.Context())
	p := page.Grains{
		Frame: s.courseFrame(r, st, "Sands", ""), Course: st.Records.Course.ID, Cautions: app.SieveCautions(), Trust: sieve.Trust(),
		Statement: "Nothing was sieved yet.", Differ: sieve.Differences(),
		Method: "Percent passing is of the mass recovered; sizes are read on straight lines over the logarithm of size; ± is one standard deviation of repeated sievings, about 5 % of a large class and 18 % of a small one. A limit is called met or not met where that is sure 19 times in 20.",
	}
	layer, err := chosenLayer(&p, g, r.URL.Query().Get("layer"))
	if err != nil {
		return err
	}
	if len(g.Rows) > 0 {
		p.Statement = "The sands were sieved, the ash not yet."
		p.Figure = grainFigure(g, layer)
		fillGrainTables(&p, g)
	}
	if layer != nil {
		fillGrainLayer(&p, g, layer, style)
	}
	p.Sands, p.SandNotes = sandTable(st, style)
	fillChoices(&p, g, style)
	p.Frame.Taken = true
	return s.send.page(w, r, http.StatusOK, page.GrainsPage(p))
}

func chosenLayer(p *page.Grains, g *app.Grains, asked string) (*app.GrainLayer, error) {
	if len(g.Layers) == 0 {
		if asked != "" {
			return nil, underfoot.Errorf(underfoot.NotFound, "no ash of a layer %q was sieved", asked)
		}
		return nil, nil
	}
	var chosen *app.GrainLayer
	for i := range g.Layers {
		l := &g.Layers[i]
		key := underfoot.FormatNumber(l.TopMM) + "-" + underfoot.FormatNumber(l.BottomMM)
		here := asked == key || asked == "" && i == 0
		if here {
			chosen = l
		}
		p.Layers = append(p.Layers, page.GrainLink{Name: l.Name(), Href: page.CoursePath(p.Course, "sands") + "?layer=" + key + "#curves", Current: here})
	}
	if chosen == nil {
		return nil, underfoot.Errorf(underfoot.NotFound, "no ash of a layer %q was sieved: choose one of those above", asked)
	}
	return chosen, nil
}

// grainFigure draws a layer's ash, or the sands alone where there is none.
func grainFigure(g *app.Grains, l *app.GrainLayer) *page.Figure {
	f := figure.SieveCurves{BandName: "limits of the construction recommendation"}
	for _, a := range sieve.RootZoneEnvelope() {
		f.Band = append(f.Band, figure.SieveBand{MM: float64(a.Size), Low: float64(a.Low), High: float64(a.High)})
	}
	out := &page.Figure{Says: "The sands of the course.", YAxis: "% of mass finer"}
	add := func(kind figure.SieveKind, name string, c *sieve.Curve) {
		if c != nil {
			f.Curves = append(f.Curves, sieveCurve(kind, name, c))
		}
	}
	if l != nil {
		f.Of = l.Name()
		for i := range l.Rounds {
			r := &l.Rounds[i]
			kind := figure.SieveEarlier
			if i == len(l.Rounds)-1 {
				kind = figure.SieveAsh
			}
			add(kind, "ash, "+r.Date.Time().Format("January 2006"), r.Curve)
		}
		out.Says = layerSays(g, l)
		out.Sure = "Strokes on the newest ash hold 9 of 10 repeated sievings; how far single cores scatter is not in them."
		if e := expectedMean(l); e != nil {
			add(figure.SieveExpected, "expected from the log", e)
		}
	}
	add(figure.SieveRoot, "original root zone", g.Root.Curve)
	kind := figure.SieveSand
	for _, r := range slices.Backward(g.Rows) {
		if r.Sand != nil && r.Sand.Role == "topdressing" && r.Curve != nil {
			add(kind, r.Name, r.Curve)
			kind = figure.SieveOther
		}
	}
	out.Table = curveTable(f.Curves)
	f.Curves = firstAndLast(f.Curves)
	narrow := f
	narrow.Width, narrow.Height = 350, 460
	f.Width, f.Height = 860, 380
	out.Picture = page.Draw(f.Scene(), narrow.Scene())
	out.Note = "Of the rounds, the first and the newest are drawn; the table has all. The grey band is what the limits leave; a curve inside it may still miss the limit on coarse and medium sand together."
	return out
}

// firstAndLast leaves the first of the earlier rounds and drops the others.
func firstAndLast(curves []figure.SieveCurve) []figure.SieveCurve {
	seen := false
	return slices.DeleteFunc(slices.Clone(curves), func(c figure.SieveCurve) bool {
		drop := seen && c.Kind == figure.SieveEarlier
		seen = seen || c.Kind == figure.SieveEarlier
		return drop
	})
}

func sieveCurve(kind figure.SieveKind, name string, c *sieve.Curve) figure.SieveCurve {
	const z90 = 1.6449
	out := figure.SieveCurve{Name: name, Kind: kind}
	for _, p := range c.Points() {
		e := figure.Estimate{Mid: float64(p.Passing)}
		if _, sd, ok := c.Between(0, p.Size); ok && kind == figure.SieveAsh && sd > 0 {
			e.Outer = figure.Interval{Low: max(0, e.Mid-z90*float64(sd)), High: min(100, e.Mid+z90*float64(sd))}
		}
		out.Points = append(out.Points, figure.SievePoint{MM: float64(p.Size), Estimate: e})
	}
	return out
}

func curveTable(curves []figure.SieveCurve) *page.Table {
	t := &page.Table{Caption: "Percent of mass finer", Head: []string{"Sand"}}
	var sizes []float64
	for _, c := range curves {
		for _, p := range c.Points {
			sizes = append(sizes, p.MM)
		}
	}
	slices.Sort(sizes)
	sizes = slices.Compact(sizes)
	for _, d := range sizes {
		t.Head = append(t.Head, num(d)+" mm")
	}
	for _, c := range curves {
		row := page.Row{Cells: []string{c.Name}}
		for _, d := range sizes {
			cell := "–"
			for _, p := range c.Points {
				if p.MM == d {
					cell = page.Num(p.Mid, 1)
				}
			}
			row.Cells = append(row.Cells, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// layerSays is what the picture of a layer shows, in a sentence.
func layerSays(g *app.Grains, l *app.GrainLayer) string {
	if g.Root.Curve == nil {
		return "The ash of " + l.Name() + " by round. No root zone was sieved to hold it against."
	}
	d, err := sieve.Apart(l.Last().Curve, g.Root.Curve)
	if err != nil {
		return page.Sentence(err.Error())
	}
	return d.Words("the ash of "+l.Name(), g.Root.Name)
}

// expectedMean is the mean of the blends expected on the greens of the newest round.
func expectedMean(l *app.GrainLayer) *sieve.Curve {
	var list []*sieve.Curve
	for _, b := range l.Newest() {
		if b.Expected != nil {
			list = append(list, b.Expected)
		}
	}
	if len(list) == 0 {
		return nil
	}
	c, err := sieve.Mean(list...)
	if err != nil {
		return nil
	}
	return c
}

func fillGrainLayer(p *page.Grains, g *app.Grains, l *app.GrainLayer, style say.Style) {
	name := "the ash of " + l.Name()
	p.Statement = grainStatement(l)
	if len(l.Water) > 0 {
		p.Because = l.Water[0]
	}
	if l.Drift == nil {
		p.Drift = []string{l.Why}
	} else {
		p.Drift = []string{l.Drift.Words(name) + l.Unevenness()}
		if !l.Drift.Sieves {
			p.Drift = append(p.Drift, "The rounds scatter about the line more than sieving explains: the samples themselves differ, or the change is not a steady one.")
		}
		p.Drift = append(p.Drift, "The interval holds the scatter of sieving and of the rounds about the line, not that of cores within a green.")
		p.DriftRows = driftTable(g, l)
	}
	for _, b := range l.Blends {
		p.Blends = append(p.Blends, b.Says)
	}
	p.BlendRows = blendTable(g, l, style)
	p.Water = l.Water
	p.Formulas = formulaTable(g, l)
}

// grainStatement is the answer of the page in one sentence.
func grainStatement(l *app.GrainLayer) string {
	switch {
	case l.Drift == nil:
		return "Whether the sand of " + l.Name() + " drifts cannot be said."
	case l.Drift.Rounds < 2:
		return "The sand of " + l.Name() + " was sieved once: a drift needs a second round."
	case l.Drift.Finer >= 0.95:
		return "The sand of " + l.Name() + " is becoming finer."
	case l.Drift.Finer <= 0.05:
		return "The sand of " + l.Name() + " is becoming coarser."
	}
	return "The sand of " + l.Name() + " shows no drift that " + page.Count(l.Drift.Rounds, "round", "rounds") + " could see."
}

func driftTable(g *app.Grains, l *app.GrainLayer) *page.Table {
	t := &page.Table{
		Caption: "Ash of " + l.Name() + " against " + g.Root.Name, Left: 2,
		Head: []string{"Round", "Greens", "D50, mm", "Grain size against the root zone, %", "±", "Largest gap, points", "Gap at, mm", "Under 0.15 mm, %"},
	}
	for i, r := range l.Rounds {
		d := l.Drift.Steps[i]
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			r.Label, strings.Join(titles(g, r.Greens), ", "), sizeCell(r.Curve, 50), page.Signed(100*(math.Exp2(d.Shift)-1), 1), page.Num(100*math.Ln2*d.ShiftSD, 1),
			page.Signed(float64(d.Gap), 1), num(float64(d.GapAt)), shareCell(r.Curve, 0, 0.15),
		}})
	}
	return t
}

// titles are greens by the names people say.
func titles(g *app.Grains, ids []string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = g.GreenTitle(id)
	}
	return out
}

func sizeCell(c *sieve.Curve, q unit.Percent) string {
	d, ok := c.D(q)
	if !ok {
		return "–"
	}
	return page.Num(float64(d), 3)
}

func shareCell(c *sieve.Curve, from, to unit.Millimetres) string {
	v, _, ok := c.Between(from, to)
	if !ok {
		return "–"
	}
	return page.Num(float64(v), 1)
}

func blendTable(g *app.Grains, l *app.GrainLayer, style say.Style) *page.Table {
	t := &page.Table{
		Caption: "Expected from the log, and found", Left: 3,
		Head: []string{"Green", "From", "Until", "Sand put on, " + style.Unit("kg/m²"), "Share of the layer, %", "D50 expected, mm", "D50 if all had mixed, mm", "D50 found, mm", "Under 0.15 mm expected, %", "Under 0.15 mm found, %"},
	}
	for _, b := range l.Blends {
		if b.Expected == nil || b.Mixed == nil {
			continue
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			g.GreenTitle(b.Green), page.PlainDay(b.From.Time()), page.PlainDay(b.Until.Time()), style.Num(b.SandKgM2, 1, "kg/m²"), page.Num(100*b.NewShare, 0), sizeCell(b.Expected, 50), sizeCell(b.Mixed, 50),
			sizeCell(b.Found, 50), shareCell(b.Expected, 0, 0.15), shareCell(b.Found, 0, 0.15),
		}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return t
}

// formulaTable shows what formulas give for clean sand, and where they do not hold.
func formulaTable(g *app.Grains, l *app.GrainLayer) *page.Table {
	t := &page.Table{
		Caption: "Water through the clean sand, by formulas, mm/h", Head: []string{"Sand", "D10, mm", "Hazen", "Kozeny–Carman at porosity 0.40, 15 °C", "To know"}, Left: 1,
	}
	add := func(name string, c *sieve.Curve) {
		if c == nil {
			return
		}
		row := page.Row{Cells: []string{name, sizeCell(c, 10), "–", "–"}}
		var why []string
		if h, ok := c.Hazen(); ok {
			if h.Within {
				row.Cells[2] = page.Num(math.Round(h.MMPerHour()/10)*10, 0)
			}
			why = append(why, h.Why...)
		} else {
			why = append(why, "D10 lies outside the sieves")
		}
		if k, ok, err := c.KozenyCarman(0.40, 15); err == nil && ok {
			if k.Within {
				row.Cells[3] = page.Num(math.Round(k.MMPerHour()/10)*10, 0)
			}
			why = append(why, k.Why...)
		} else {
			why = append(why, "more than 2 % lies outside the sieves")
		}
		row.Cells = append(row.Cells, page.Sentence(strings.Join(why, "; ")))
		t.Rows = append(t.Rows, row)
	}
	add("ash of "+l.Name(), l.Last().Curve)
	add("root zone", g.Root.Curve)
	for _, r := range g.Rows {
		if r.Sand != nil && r.Sand.Role == "topdressing" {
			add(r.Name, r.Curve)
		}
	}
	return t
}
