package web

import (
	"fmt"
	"math"
	"slices"

	"underfoot/internal/app"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/sieve"
)

// fillGrainTables lists sizes, classes and limits of everything that was sieved, and the gravels.
func fillGrainTables(p *page.Grains, g *app.Grains) {
	washed := slices.ContainsFunc(g.Rows, func(r app.SieveRow) bool { return r.WashedG != nil })
	p.Sizes = page.Table{Caption: "Sizes", Head: []string{"Sand or ash", "Sieved, g"}}
	if washed {
		p.Sizes.Head = append(p.Sizes.Head, "of it washed out, g")
	}
	p.Sizes.Head = append(p.Sizes.Head, "Lost, %", "D10, mm", "D15, mm", "D20, mm", "D30, mm", "D50, mm", "D60, mm", "D85, mm", "D90, mm", "D60/D10", "Curvature", "D90/D10", "Fineness modulus")
	p.Classes = classTable(g, sieve.Construction(), func(r *app.SieveRow) []app.SieveClass { return r.Classes })
	p.Systems = []page.Table{
		classTable(g, sieve.USDA(), func(r *app.SieveRow) []app.SieveClass { return r.USDA }),
		classTable(g, sieve.ISO(), func(r *app.SieveRow) []app.SieveClass { return r.ISO }),
	}
	p.Limits = page.Table{Caption: "Limits of the construction recommendation, % of mass", Head: []string{"Sand or ash"}, Left: 99}
	for _, l := range sieve.RootZoneLimits() {
		p.Limits.Head = append(p.Limits.Head, l.Name+", "+l.Allowed())
	}
	for i := range g.Rows {
		r := &g.Rows[i]
		for _, w := range r.Warnings {
			p.Notes = append(p.Notes, g.Called(r)+": "+w)
		}
		if r.Curve == nil {
			continue
		}
		cells := []string{g.Called(r), opt(r.MassRetainedG, 2)}
		if washed {
			cells = append(cells, opt(r.WashedG, 2))
		}
		cells = append(cells, opt(r.LossPercent, 1))
		for _, d := range []*float64{r.D10, r.D15, r.D20, r.D30, r.D50, r.D60, r.D85, r.D90} {
			cells = append(cells, opt(d, 3))
		}
		cells = append(cells, opt(r.Uniformity, 2), opt(r.Curvature, 2), opt(r.Gradation, 2), opt(r.FinenessIf, 2))
		p.Sizes.Rows = append(p.Sizes.Rows, page.Row{Cells: cells})
		row := page.Row{Cells: []string{g.Called(r)}}
		for _, l := range r.Limits {
			row.Cells = append(row.Cells, limitCell(l))
		}
		p.Limits.Rows = append(p.Limits.Rows, row)
		if app.IsGravel(r.Curve) && r.Sand != nil && g.Root.Curve != nil {
			p.Gravels = append(p.Gravels, page.GravelCheck{Name: r.Name, Table: gravelTable(sieve.Gravel(r.Curve, g.Root.Curve))})
		}
	}
}

func opt(v *float64, decimals int) string {
	if v == nil {
		return "–"
	}
	return page.Num(*v, decimals)
}

func limitCell(l app.SieveLimit) string {
	switch {
	case l.Found != nil:
		return fmt.Sprintf("%s ± %s: %s", page.Num(*l.Found, 1), page.Num(l.SD, 1), l.Verdict)
	case l.High == l.Low:
		return fmt.Sprintf("%s: %s", page.Num(l.High, 1), l.Verdict)
	}
	return fmt.Sprintf("at most %s: %s", page.Num(l.High, 1), l.Verdict)
}

func classTable(g *app.Grains, s sieve.System, of func(*app.SieveRow) []app.SieveClass) page.Table {
	t := page.Table{Caption: "Classes by " + s.Name + ", % of mass", Head: []string{"Sand or ash"}}
	for i := len(s.Names) - 1; i >= 0; i-- {
		t.Head = append(t.Head, s.Names[i]+edgeWords(s, i))
	}
	for i := range g.Rows {
		r := &g.Rows[i]
		if r.Curve == nil {
			continue
		}
		row := page.Row{Cells: []string{g.Called(r)}}
		for k := len(s.Names) - 1; k >= 0; k-- {
			cell := "–"
			for _, c := range of(r) {
				if c.Class == s.Names[k] {
					cell = page.Num(c.Percent, 1)
					if c.Between {
						cell = "about " + cell
					}
				}
			}
			row.Cells = append(row.Cells, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// edgeWords gives the sizes of a class after its name.
func edgeWords(s sieve.System, i int) string {
	switch {
	case i == 0:
		return ", under " + num(float64(s.Edges[0].Size)) + " mm"
	case i == len(s.Edges):
		return ", over " + num(float64(s.Edges[i-1].Size)) + " mm"
	}
	return ", " + num(float64(s.Edges[i-1].Size)) + "–" + num(float64(s.Edges[i].Size)) + " mm"
}

func gravelTable(checks []sieve.Check) page.Table {
	t := page.Table{Head: []string{"Rule", "Allowed", "Found", "±", "Verdict"}, Left: 2}
	for _, c := range checks {
		row := page.Row{Cells: []string{page.Sentence(c.Rule), c.Allowed, opt(c.Found, 2), "–", string(c.Verdict)}}
		if c.Found != nil && !math.IsNaN(c.SD) {
			row.Cells[3] = page.Num(c.SD, 2)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// fillChoices ranks the sands that may be put on.
func fillChoices(p *page.Grains, g *app.Grains, style say.Style) {
	layer, ground := 1.0, 100.0 // mm, m²: what the price of effective grains is for
	words := "1 mm of effective grains on 100 m²"
	if style.Units == say.US {
		layer, ground, words = 0.1/style.Value(1, "mm"), 1000/style.Value(1, "m²"), "0.1 in of effective grains on 1000 ft²"
	}
	t := page.Table{Caption: "What the sands cost", Head: []string{"Sand", "Price " + style.Unit("a tonne"), "Effective grains, %", words, "on all greens"}}
	for _, c := range g.Choices() {
		title, currency := c.Name, style.Currency
		for _, s := range g.Sands() {
			if s.ID == c.Name {
				title, currency = s.Title(), style.MoneyIn(s.Currency)
			}
		}
		p.Choices = append(p.Choices, page.SandChoice{Name: title, Fit: string(c.Fit), State: fitState(c.Fit), Says: c.Says})
		row := page.Row{Cells: []string{title, style.Bare(money(c.PriceTon, 2, currency), "a tonne"), "–", "–", "–"}}
		if c.Effective != nil {
			row.Cells[2] = page.Num(float64(c.Effective.Percent()), 0)
		}
		if c.PerMM != nil {
			some := layer * ground * *c.PerMM
			row.Cells[3] = money(&some, 2, currency)
			if g.Area > 0 {
				all := layer * g.Area * *c.PerMM
				row.Cells[4] = money(&all, 0, currency)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		p.Prices = &t
	}
}

func money(v *float64, decimals int, currency string) string {
	if v == nil {
		return "–"
	}
	s := page.Num(*v, decimals)
	if currency != "" {
		s += " " + currency
	}
	return s
}

func fitState(f sieve.Fit) page.State {
	switch f {
	case sieve.GoesWell:
		return page.Finished
	case sieve.WithCare:
		return page.Look
	case sieve.NotAdvised:
		return page.Stopped
	}
	return page.Open
}

// grainsOf is the short account of a course's sands for the list of all courses.
func grainsOf(st *standing) (*page.Table, []string) {
	g := st.Grains()
	t := &page.Table{Caption: "On the sieves", Head: []string{"Sand", "D10, mm", "D50, mm", "D85, mm", "D60/D10", "Under 0.15 mm, %", "Limits met", "Beside ash and root zone"}}
	for i := range g.Rows {
		r := &g.Rows[i]
		if r.Sand == nil || r.Curve == nil {
			continue
		}
		met, fit := 0, "–"
		for _, l := range r.Limits {
			if l.Verdict == string(sieve.Met) {
				met++
			}
		}
		if r.Sand.Role != "rootzone" {
			fit = string(g.Suits(r.Sand.ID).Fit)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			r.Name, opt(r.D10, 3), opt(r.D50, 3), opt(r.D85, 3), opt(r.Uniformity, 2), shareCell(r.Curve, 0, 0.15), fmt.Sprintf("%d of %d", met, len(r.Limits)), fit,
		}})
	}
	var says []string
	if len(g.Layers) > 0 {
		l := &g.Layers[0]
		says = append(says, grainStatement(l))
	}
	if len(t.Rows) == 0 {
		return nil, says
	}
	return t, says
}
