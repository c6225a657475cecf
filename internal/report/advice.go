package report

import (
	"fmt"
	"strings"

	"underfoot/balance"
	"underfoot/internal/app"
	"underfoot/season"
	"underfoot/unit"
)

// follows says what the direction takes in sand.
func (b *builder) follows() string {
	a := b.s.Advice()
	switch {
	case a.Reason != "":
		return "How much sand that takes cannot be said yet."
	case a.Top.NoneNeeded:
		return "No sand is needed on top next season."
	}
	return "Next season takes about " + num(a.Top.Sand.Depth.Q50, 1) + " mm of sand."
}

// advised says whether there is an amount of sand to advise.
func (b *builder) advised() bool {
	a := b.s.Advice()
	return a.Reason == "" && a.Direction.Toward != season.Unknown
}

// sandNext is the sand of next season, for the strip.
func (b *builder) sandNext() Answer {
	a := b.s.Advice()
	out := Answer{Name: "Sand next season", Value: "not known yet"}
	switch {
	case a.Reason != "":
	case a.Direction.Toward == season.Unknown:
		out.Value = "no advice without a direction"
		out.Note = "holding takes " + middle(a.Holding.Depth, 1, "mm")
	case a.Top.NoneNeeded:
		out.Value = "none on top"
	default:
		out.Value = "about " + num(a.Top.Sand.Depth.Q50, 1) + " mm"
		out.Note = span(a.Top.Sand.Depth.Q05, a.Top.Sand.Depth.Q95, 1) + " mm, 9 chances in 10"
	}
	return out
}

// middle writes an estimate with its interval: "5.4 mm (4.5 to 6.5)".
func middle(e balance.Estimate, decimals int, what string) string {
	return num(e.Q50, decimals) + " " + what + " (" + span(e.Q05, e.Q95, decimals) + ")"
}

// ask is what there is to agree on, in a box on the first page.
func (b *builder) ask() Section {
	if b.empty() {
		return Section{}
	}
	a := b.s.Advice()
	n := Notice{Title: "What we ask you to agree"}
	switch {
	case a.Reason != "":
		n.Title = "What comes next"
		n.Words = []string{sentence("No sand can be advised yet: " + a.Reason + ".")}
		if a.Direction.Toward == season.Unknown {
			n.Words = append(n.Words, "Read firmness and soil water through the season and say what is wanted of them, or put a judgement on record with its reason.")
		}
	case a.Direction.Toward == season.Unknown:
		n.Title = "What comes next"
		n.Words = []string{"No sand is advised without a direction. Read firmness and soil water through the season and say what is wanted of them, or put a judgement on record with its reason."}
	case a.Top.NoneNeeded:
		n.Words = []string{"No sand on top next season; the rest of the work as planned."}
	default:
		n.Words = []string{b.askSand()}
	}
	for _, p := range a.Deeper {
		n.Words = append(n.Words, fmt.Sprintf("Beside it, about %s placed in %s, through holes or by injection: %s.",
			middle(p.Sand.Depth, 1, "mm"), depths(p.Top, p.Bottom), p.Why))
	}
	return Section{Blocks: []Block{n}}
}

func (b *builder) askSand() string {
	a := b.s.Advice()
	s := a.Top.Sand
	words := fmt.Sprintf("About %s of sand next season: %s dry", middle(s.Depth, 1, "mm"), middleTonnes(s.Dry))
	if a.Course.SandWater > 0 {
		words += ", " + middleTonnes(s.Delivered) + " as delivered"
	}
	d := a.Dressings
	switch {
	case d.Count == 1:
		words += fmt.Sprintf(", in one dressing of %s mm", num(float64(d.Each), 2))
	case d.Count > 1:
		words += fmt.Sprintf(", in %s of about %s mm, one every %d days", count(d.Count, "dressing", "dressings"), num(float64(d.Each), 2), d.Every)
	}
	return words + "."
}

// middleTonnes writes a mass with its interval, whole tonnes from ten upwards.
func middleTonnes(e balance.Estimate) string {
	if e.Q95 < 10 {
		return middle(e, 1, "t")
	}
	return middle(e, 0, "t")
}

// depths names a layer by its depths.
func depths(top, bottom unit.Millimetres) string {
	return fmt.Sprintf("%g–%g mm", float64(top), float64(bottom))
}

// advice is the advice in full.
func (b *builder) advice() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "The advice in full"}
	a := b.s.Advice()
	sentences := a.Sentences()
	if a.Reason == "" {
		section.Blocks = append(section.Blocks, b.amounts())
	}
	if b.advised() {
		sentences = sentences[1:] // the heading has said it
	}
	if a.Reason != "" {
		sentences = nil // the box has said it
	}
	if b.advised() && a.Direction.Toward == season.Lower && len(a.Deeper) == 0 {
		sentences = append(sentences, "No deeper layer that has an account is out of line, so the sand belongs on top.")
	}
	if len(sentences) > 0 {
		section.Blocks = append(section.Blocks, List{Items: sentences})
	}
	if t := b.planned(); len(t.Rows) > 0 {
		section.Blocks = append(section.Blocks, t)
	}
	return section
}

// amounts is the sand in every unit people order and spread it in.
func (b *builder) amounts() Table {
	a := b.s.Advice()
	t := Table{
		Caption: "Sand a year, middle and range of 9 chances in 10",
		Columns: []Column{{"", false}, {"mm", true}, {"kg/m², dry", true}, {"t, dry", true}, {"t, as delivered", true}},
	}
	add := func(name string, s season.Amount) {
		row := []string{name, within(s.Depth, 1), within(s.PerArea, 1)}
		if a.Course.Area > 0 {
			row = append(row, withinTonnes(s.Dry), withinTonnes(s.Delivered))
		} else {
			row = append(row, "area not known", "area not known")
		}
		t.Rows = append(t.Rows, row)
	}
	if b.advised() {
		name := "To hold " + a.Layer + " (the advice)"
		if a.Top.Times != 1 {
			name = "The advice, into " + a.Layer
		}
		add(name, a.Top.Sand)
	}
	if !b.advised() || a.Top.Times != 1 {
		add("To hold "+a.Layer+" as it is", a.Holding)
	}
	add("What it got since "+month(a.Lately), a.Applied)
	for _, p := range a.Deeper {
		add("Placed in "+depths(p.Top, p.Bottom), p.Sand)
	}
	t.Note = fmt.Sprintf("Sand: %s, %s kg/m³ dry, %s %% water as delivered.", b.s.Sand.Title(), num(float64(a.Course.SandDensity), 0), num(float64(a.Course.SandWater.Percent()), 1))
	if price := b.price(); price != "" && b.advised() && !a.Top.NoneNeeded {
		t.Note += " " + price
	}
	return t
}

func within(e balance.Estimate, decimals int) string {
	return num(e.Q50, decimals) + " (" + span(e.Q05, e.Q95, decimals) + ")"
}

func withinTonnes(e balance.Estimate) string {
	if e.Q95 < 10 {
		return within(e, 1)
	}
	return within(e, 0)
}

// price tells what the sand costs by its record.
func (b *builder) price() string {
	p := b.s.Sand.PricePerT
	if !p.Known || b.s.Advice().Course.Area <= 0 {
		return ""
	}
	return fmt.Sprintf("At the recorded %s a tonne, taken as delivered, the advice costs about %s for sand alone.",
		b.money(p.Value, 2), b.money(b.s.Advice().Top.Sand.Delivered.Q50*p.Value, 0))
}

// money writes an amount in the currency of the report.
func (b *builder) money(v float64, decimals int) string {
	return strings.TrimSpace(b.currency() + " " + num(v, decimals))
}

func (b *builder) currency() string {
	if b.o.Currency != "" {
		return b.o.Currency
	}
	return b.o.Style.MoneyIn(b.s.Sand.Currency)
}

// planned lists the work that is in the log as planned.
func (b *builder) planned() Table {
	t := Table{
		Caption: "Work in the log as planned",
		Columns: []Column{
			{"Date", false}, {"Work", false}, {"Sand, mm", true}, {"Dry sand, kg/m²", true}, {"Surface opened, %", true}, {"Nitrogen, kg/ha", true},
		},
	}
	var mm, kg float64
	for _, d := range b.s.Planned {
		mm, kg = mm+d.SandMM(), kg+d.SandKgM2
		name := app.KindName(d.Work.Kind)
		if d.Work.Green != "" {
			name += ", " + b.s.GreenTitle(d.Work.Green)
		}
		t.Rows = append(t.Rows, []string{
			shortDay(d.Work.Date.Time()), name, some(d.SandMM(), 2), some(d.SandKgM2, 2), some(d.Opened*100, 1), some(d.Work.NitrogenKgHa.Or(0), 1),
		})
	}
	if mm > 0 {
		t.Total = []string{"In all", "", num(mm, 2), num(kg, 2), "", ""}
	}
	return t
}

// some writes an amount, and a dash for none.
func some(v float64, decimals int) string {
	if v == 0 {
		return "–"
	}
	return num(v, decimals)
}
