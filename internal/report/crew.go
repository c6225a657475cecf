package report

import (
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/season"
)

// crewWork is the work the crew has to do: sand, tines, blades and nitrogen, by date.
func (b *builder) crewWork() []app.Done {
	var out []app.Done
	for _, d := range b.s.PlanOnRecord().Work {
		if d.Work.Kind != "clippings" && d.Work.Kind != "other" {
			out = append(out, d)
		}
	}
	return out
}

// crewSays is the statement of a crew sheet.
func (b *builder) crewSays() string {
	work := b.crewWork()
	switch {
	case len(work) > 0:
		return upper(count(len(work), "piece of work", "pieces of work")) + " " + fromTo(work) + "."
	case b.advised() && !b.s.Advice().Top.NoneNeeded:
		return "Sand as advised; the days are not set yet."
	}
	return "No work is planned."
}

// crewBecause says where the sheet comes from.
func (b *builder) crewBecause() []string {
	if len(b.crewWork()) > 0 {
		return []string{"From " + b.planFrom() + ". Tick off what is done and write down what was really put on: that is what the next advice goes by. Settings of machines are in the maker’s manual."}
	}
	return []string{"A plan that is accepted, or work entered as planned, stands here day by day."}
}

// crewDays is the dated work with boxes to tick.
func (b *builder) crewDays() Section {
	work := b.crewWork()
	if len(work) == 0 {
		return b.crewAdvised()
	}
	t := Table{
		Columns: []Column{{"Day", false}, {"Work and machine", false}, {"Sand, mm", true}, {"Sand to have ready, t", true}, {"Crew, h", true}, {"Done on", false}, {"Put on", false}},
		Tick:    true, Write: []int{5, 6},
	}
	for i := range work {
		d := &work[i]
		t.Rows = append(t.Rows, []string{
			strings.ReplaceAll(d.Work.Date.Time().Format("Mon 2 Jan 2006"), " ", "\u00a0"), b.task(d), some(d.SandMM(), 2), b.ready(d.SandKgM2), some(d.Work.LabourH.Or(0), 0), "", "",
		})
	}
	t.Note = "Sand in mm over all " + surfaces(b.s.Surface) + ", what goes into holes counted in; tonnes " + b.wet() + ". Depths are below the surface."
	return Section{Title: "The work, day by day", Blocks: []Block{t}}
}

// task says what is done on a day, with what, and how deep.
func (b *builder) task(d *app.Done) string {
	words := upper(app.KindName(d.Work.Kind))
	if d.Work.Green != "" {
		words += ", " + b.s.GreenTitle(d.Work.Green) + " only"
	}
	if setup := d.Setup(); setup != "" {
		words += ": " + setup
	}
	if fill := d.Work.Backfill.Or(0); fill > 0 {
		words += fmt.Sprintf(", holes filled to %s %%", num(100*fill, 0))
	}
	if n := d.Work.NitrogenKgHa.Or(0); n > 0 {
		words += fmt.Sprintf(", %s kg/ha", num(n, 1))
	}
	if name := b.sandName(d.Work.Sand); name != "" && d.SandMM() > 0 {
		words += "; " + name
	}
	if d.Work.Note != "" {
		words += ". " + sentence(d.Work.Note)
	}
	return words
}

func (b *builder) sandName(id string) string {
	for i := range b.s.Records.Sands {
		if b.s.Records.Sands[i].ID == id && id != "" {
			return b.s.Records.Sands[i].Title()
		}
	}
	return ""
}

// ready is the sand of a day as delivered.
func (b *builder) ready(kgM2 float64) string {
	return b.overArea(kgM2 * (1 + b.s.Sand.MoisturePercent.Or(0)/100))
}

func (b *builder) wet() string {
	if b.s.Sand.MoisturePercent.Known {
		return fmt.Sprintf("with %s %% of water, as delivered", num(b.s.Sand.MoisturePercent.Value, 1))
	}
	return "dry, as its water is not on record"
}

// crewAdvised is the dressings of the advice, their days to be written in.
func (b *builder) crewAdvised() Section {
	if !b.advised() || b.s.Advice().Top.NoneNeeded {
		return Section{}
	}
	d := b.s.Advice().Dressings
	if d.Count < 1 {
		return Section{}
	}
	t := Table{
		Caption: fmt.Sprintf("Dressings of the advice, about %d days apart", d.Every),
		Columns: []Column{{"Dressing", false}, {"Sand, mm", true}, {"Sand to have ready, t", true}, {"Day", false}, {"Put on", false}}, Tick: true, Write: []int{3, 4},
	}
	kg := float64(d.Each) * float64(b.s.SandDensity()) / 1000
	for i := range d.Count {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), num(float64(d.Each), 2), b.ready(kg), "", ""})
	}
	return Section{Title: "The work", Blocks: []Block{t}}
}

// crewGreens is the sand of every green for each amount that is spread.
func (b *builder) crewGreens() Section {
	var amounts []float64
	for _, d := range b.crewWork() {
		if d.SurfaceMM > 0 && d.Work.Green == "" && !slices.ContainsFunc(amounts, func(v float64) bool { return num(v, 2) == num(d.SurfaceMM, 2) }) {
			amounts = append(amounts, d.SurfaceMM)
		}
	}
	const most = 6
	if slices.Sort(amounts); len(amounts) == 0 || len(amounts) > most || !slices.ContainsFunc(b.s.Greens, func(g underfoot.Green) bool { return g.AreaM2.Known }) {
		amounts = []float64{1}
	}
	t := Table{Columns: []Column{{"Green", false}, {"Area, m²", true}}}
	for _, v := range amounts {
		t.Columns = append(t.Columns, Column{num(v, 2) + " mm, kg", true})
	}
	t.Columns = append(t.Columns, Column{"1 mm, litres", true})
	kg := float64(b.s.SandDensity()) / 1000 * (1 + b.s.Sand.MoisturePercent.Or(0)/100)
	for i := range b.s.Greens {
		g := &b.s.Greens[i]
		if !g.AreaM2.Known {
			continue
		}
		row := []string{g.Title(), num(g.AreaM2.Value, 0)}
		for _, v := range amounts {
			row = append(row, num(v*g.AreaM2.Value*kg, 0))
		}
		t.Rows = append(t.Rows, append(row, num(g.AreaM2.Value, 0)))
	}
	if len(t.Rows) == 0 {
		return Section{}
	}
	t.Note = fmt.Sprintf("Sand as it lies in the hopper, %s: %s kg a litre. Set the spreader by a trial on a sheet, not by this table alone.", b.wet(), num(kg, 2))
	return Section{Title: "Sand for each green", Blocks: []Block{t}}
}

// crewCautions are those for sand, machines and, where any is given, fertiliser.
func (b *builder) crewCautions() Section {
	feeds := slices.ContainsFunc(b.crewWork(), func(d app.Done) bool { return d.Work.Kind == "nitrogen" })
	var items []string
	for _, c := range season.Cautions() {
		if c.Step == season.WithSand || c.Step == season.WithMachines || (feeds && c.Step == season.WithFertiliser) {
			items = append(items, c.Text)
		}
	}
	items = append(items, "Local law, the makers’ manuals and licensed practice come before anything that is written here.")
	return Section{Title: "Before you start", Blocks: []Block{List{Items: items}}}
}
