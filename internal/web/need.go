package web

import (
	"fmt"
	"strconv"

	"underfoot/balance"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// need is the sand a year that holds a layer, mm over the whole course.
type need struct {
	layer string
	figure.Estimate
	of *balance.Holding
}

// holding is the account of the layer at the surface that has an answer; nil for none.
func holding(st *standing) *balance.Holding { return holdingOf(st.Balance()) }

func holdingOf(sheet *balance.Sheet) *balance.Holding {
	if sheet == nil {
		return nil
	}
	for i := range sheet.Layers {
		if h := &sheet.Layers[i]; h.Answered() && h.Top == 0 {
			return h
		}
	}
	return nil
}

// needMM is the sand that holds the layer at the surface; nil while there is no account of it.
func needMM(st *standing) *need { return needBy(st, holding(st)) }

func needBy(st *standing, h *balance.Holding) *need {
	if h == nil {
		return nil
	}
	return &need{layer: h.Name(), Estimate: millimetres(st, h.Hold), of: h}
}

// millimetres turns a rate in kg/m² into one in mm of the course’s sand.
func millimetres(st *standing, e balance.Estimate) figure.Estimate {
	k := 1000 / float64(st.SandDensity())
	t := e.Times(k)
	return figure.Estimate{Mid: t.Q50, Outer: figure.Interval{Low: t.Q05, High: t.Q95}}
}

// sandOf is the section on sand: what was put on, season by season, beside what holding needs.
func sandOf(st *standing, style say.Style) page.Sand {
	if len(st.Seasons) == 0 {
		return page.Sand{Why: "No sand was logged yet. Enter dressings in the log: the account and the advice rest on what was really put on."}
	}
	n := needMM(st)
	f := figure.SandNeed{Measure: measured(style)}
	t := page.Table{Caption: "Sand put on, season by season", Head: []string{"Season", "Dressings", "mm", "kg/m²", "t, dry"}}
	if n != nil {
		t.Head = []string{"Season", "Dressings", "mm in all", "mm into " + n.layer, "kg/m² in all", "t, dry, in all"}
	}
	for i := range st.Seasons {
		e := &st.Seasons[i]
		z := figure.Season{Name: strconv.Itoa(e.Year), Applied: e.SandMM()}
		row := page.Row{Cells: []string{z.Name, strconv.Itoa(e.Dressings), page.Num(e.SandMM(), 1)}}
		if n != nil {
			est := n.Estimate
			z.Applied, z.Needed = e.TopMM, &est
			row.Cells = append(row.Cells, page.Num(e.TopMM, 1))
		}
		f.Seasons = append(f.Seasons, z)
		tonnes := "–"
		if st.AreaM2 > 0 {
			tonnes = page.Mass(e.SandKgM2 * st.AreaM2 / 1000)
		}
		row.Cells = append(row.Cells, page.Num(e.SandKgM2, 1), tonnes)
		t.Rows = append(t.Rows, row)
	}
	last := &st.Seasons[len(st.Seasons)-1]
	out := page.Sand{Note: perMillimetre(st), Figure: &page.Figure{YAxis: "Sand, " + style.Unit("mm") + " a season", Table: &t}}
	out.Figure.Says = fmt.Sprintf("In %d the greens got %s mm of sand.", last.Year, page.Num(last.SandMM(), 1))
	if n != nil {
		out.Figure.Says = fmt.Sprintf("In %d %s got %s mm of sand; holding it needs %s a year.", last.Year, n.layer, page.Num(last.TopMM, 1), page.Num(n.Mid, 1))
		out.Figure.Sure = fmt.Sprintf("Needed: %s mm a year, 9 in 10, at the rate organic matter forms now, by the rounds from %s to %s.", page.Span(n.Outer.Low, n.Outer.High, 1),
			page.PlainDay(n.of.From), page.PlainDay(n.of.To))
		if deep := deepSand(st); deep != "" {
			out.Figure.Sure += " " + deep
		}
		out.Table = holdTable(st, n, last)
	} else if st.Why != "" {
		out.Figure.Sure = "What holding needs is not known. " + st.Why
	}
	switch {
	case n != nil:
		f.NeededNote, f.AppliedNote = "to hold it", "into it"
	case st.AreaM2 > 0:
		f.AppliedNote = style.Text(fmt.Sprintf("%s t in %d", page.Mass(last.SandKgM2*st.AreaM2/1000), last.Year))
	}
	out.Figure.Picture = page.Draw(f.Scene())
	return out
}

// deepSand says where the rest of the sand went, when some lies below the layer at the surface.
func deepSand(st *standing) string {
	var all, top float64
	for i := range st.Seasons {
		all += st.Seasons[i].SandMM()
		top += st.Seasons[i].TopMM
	}
	if all-top < 0.05 {
		return ""
	}
	return fmt.Sprintf("Another %s mm over these years went deeper, in holes or by injection.", page.Num(all-top, 1))
}

// holdTable sets the need of a year beside what the last season got.
func holdTable(st *standing, n *need, last *app.Season) page.Table {
	k := float64(st.SandDensity()) / 1e6 * st.AreaM2 // t for each mm
	tonnes := func(mm float64) string {
		if k == 0 {
			return "–"
		}
		return page.Tonnes(mm * k)
	}
	reach := "–"
	if k > 0 {
		reach = tonnes(n.Outer.Low) + "–" + tonnes(n.Outer.High)
	}
	short := n.Mid - last.TopMM
	word := "Short by"
	if short < 0 {
		word, short = "More than needed by", -short
	}
	return page.Table{
		Caption: fmt.Sprintf("What holding takes, beside %d", last.Year), Head: []string{"", "mm", "kg/m²", "t, dry"},
		Rows: []page.Row{
			{Cells: []string{"Needed a year to hold " + n.layer, page.Num(n.Mid, 1), page.Num(n.of.Hold.Q50, 1), tonnes(n.Mid)}},
			{Quiet: true, Cells: []string{"interval, 9 in 10", page.Reach(n.Outer.Low, n.Outer.High, 1), page.Reach(n.of.Hold.Q05, n.of.Hold.Q95, 1), reach}},
			{Cells: []string{
				fmt.Sprintf("Put into it in %d, %s", last.Year, page.Count(last.Dressings, "dressing", "dressings")), page.Num(last.TopMM, 1),
				page.Num(last.TopMM*float64(st.SandDensity())/1000, 1), tonnes(last.TopMM),
			}},
			{Total: true, Cells: []string{word, page.Num(short, 1), page.Num(short*float64(st.SandDensity())/1000, 1), tonnes(short)}},
		},
	}
}

// accountsOf is the account of each layer.
func accountsOf(st *standing, style say.Style) ([]page.Account, string) {
	if st.Balance() == nil {
		return nil, st.Why
	}
	if holding(st) == nil && len(st.Balance().Layers) > 0 {
		return nil, page.Sentence(st.Balance().Layers[0].Reason)
	}
	var out []page.Account
	for i := range st.Balance().Layers {
		h := &st.Balance().Layers[i]
		a := page.Account{Depths: depths(st, float64(h.Top), float64(h.Bottom)), Reason: page.Sentence(h.Reason)}
		if h.Answered() {
			fillAccount(&a, h, style)
		}
		out = append(out, a)
	}
	return out, ""
}

func fillAccount(a *page.Account, h *balance.Holding, style say.Style) {
	switch f := h.Formed; {
	case f.Q05 > 0:
		a.Says = fmt.Sprintf("More is made than decays: %s kg/m² of organic matter a year.", page.Num(f.Q50, 2))
	case f.Q95 < 0:
		a.Says = fmt.Sprintf("More decays than is made: %s kg/m² of organic matter a year.", page.Num(-f.Q50, 2))
	default:
		a.Says = fmt.Sprintf("Whether more is made or decays cannot be told: %s kg/m² a year.", page.Signed(f.Q50, 2))
	}
	a.Sure = fmt.Sprintf("%s kg/m² a year, 9 in 10, over %s years and %s.", page.SignedSpan(h.Formed.Q05, h.Formed.Q95, 2), page.Num(h.Years, 1),
		page.CountWords(h.Intervals+1, "round", "rounds"))
	var sum balance.Account
	for _, x := range h.Accounts {
		sum.EnteredOrganic.Value += x.EnteredOrganic.Value
		sum.LeftOrganic.Value += x.LeftOrganic.Value
		sum.RemovedOrganic.Value += x.RemovedOrganic.Value
		sum.ChangeOrganic.Value += x.ChangeOrganic.Value
		sum.Formed.Value += x.Formed.Value
		sum.Sand.Value += x.Sand.Value
	}
	row := func(name string, total float64) page.Row {
		return page.Row{Cells: []string{name, page.Signed(total, 2)}}
	}
	a.Table = page.Table{
		Caption: fmt.Sprintf("%s to %s, organic matter in kg/m²", page.PlainDay(h.From), page.PlainDay(h.To)), Head: []string{"", "in all"},
		Rows: []page.Row{row("Made less decayed", sum.Formed.Value)},
	}
	if h.Top > 0 {
		a.Table.Rows = append(a.Table.Rows, row("Sunk in from above", sum.EnteredOrganic.Value))
	}
	a.Table.Rows = append(a.Table.Rows,
		row("Buried below", -sum.LeftOrganic.Value),
		row("Taken out with cores", -sum.RemovedOrganic.Value),
		page.Row{Total: true, Cells: []string{"Change in the layer", page.Signed(sum.ChangeOrganic.Value, 2)}},
		page.Row{Quiet: true, Cells: []string{"Sand put in, kg/m²", page.Num(sum.Sand.Value, 1)}},
	)
	a.Note = "The rate a year above is as it stands at the last round: later rounds count for more, and decay goes with the stock. It need not be this total over the years."
	a.By = page.Table{
		Caption: "Organic matter in kg/m²; ± is one standard uncertainty",
		Head:    []string{"From round to round", "Made less decayed", "Sunk in", "Buried", "Taken out", "Change", "Sand in"},
	}
	pm := func(m balance.Measured, sign float64) string {
		return page.Signed(sign*m.Value, 2) + " ±" + page.Num(m.SE, 2)
	}
	for _, x := range h.Accounts {
		a.By.Rows = append(a.By.Rows, page.Row{Cells: []string{
			page.PlainDay(x.From) + " to " + page.PlainDay(x.To), pm(x.Formed, 1), pm(x.EnteredOrganic, 1), pm(x.LeftOrganic, -1), pm(x.RemovedOrganic, -1),
			pm(x.ChangeOrganic, 1), page.Num(x.Sand.Value, 1) + " ±" + page.Num(x.Sand.SE, 1),
		}})
	}
	if len(h.Budget) > 0 {
		unit := style.Unit("kg/m²") + " a year"
		f := figure.Budget{Unit: unit, Decimals: 3}
		if style.Units == say.US {
			f.Decimals = 1
		}
		for _, s := range h.Budget {
			f.Shares = append(f.Shares, figure.Share{Name: string(s.Origin), Value: style.Value(s.SE, "kg/m²")})
		}
		a.Budget = &page.Figure{
			Picture: page.Draw(f.Scene()), Says: "Most of the doubt comes from " + lowerFirst(string(h.Budget[0].Origin)) + ".", YAxis: "Standard uncertainty, " + unit,
		}
	}
}
