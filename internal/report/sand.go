package report

import (
	"fmt"
	"strconv"
	"strings"

	"underfoot/balance"
	"underfoot/findings"
	"underfoot/internal/figure"
	"underfoot/unit"
)

// holding is the balance of the layer that starts at the surface, or nil where it has no answer.
func (b *builder) holding() *balance.Holding {
	if b.s.Balance() == nil {
		return nil
	}
	for i := range b.s.Balance().Layers {
		if h := &b.s.Balance().Layers[i]; h.Top == 0 && h.Answered() {
			return h
		}
	}
	return nil
}

// perMM turns kg/m² of sand into mm.
func (b *builder) perMM() float64 { return float64(unit.KgPerM2(1).Depth(b.s.SandDensity())) }

// sandSays sets the sand put into the surface layer beside what would have held it.
func (b *builder) sandSays() string {
	h := b.holding()
	if h == nil {
		return ""
	}
	hold, got := h.Hold.Times(b.perMM()), h.Applied.Times(b.perMM())
	if h.Applied.Q95 == 0 {
		return fmt.Sprintf("No sand into that layer is on record since %s, and what is not recorded counts as none; holding it would then take %s mm (%s).",
			month(h.Lately), num(hold.Q50, 1), span(hold.Q05, hold.Q95, 1))
	}
	return fmt.Sprintf("Sand into that layer has been %s mm a year since %s; holding it as it is takes %s mm (%s).",
		num(got.Q50, 1), month(h.Lately), num(hold.Q50, 1), span(hold.Q05, hold.Q95, 1))
}

// sand shows the sand of each season beside what holding the surface layer needs.
func (b *builder) sand() Section { return b.sandOf(180) }

// sandOf draws the picture as high as it is told.
func (b *builder) sandOf(high float64) Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "Sand put on, and what holding takes"}
	if len(b.s.Seasons) == 0 {
		section.Blocks = []Block{Text{Words: "No sand and no other work is on record. The account takes what is not entered as not done."}}
		return section
	}
	h := b.holding()
	f := figure.SandNeed{Width: wide, Height: high, Seasons: b.sandSeasons(h), Measure: b.measure()}
	sure := "Sand by calendar year, mm over all " + surfaces(b.s.Surface) + "."
	if h != nil {
		f.NeededNote, f.AppliedNote = "to hold "+h.Name(), "into "+h.Name()
		sure = fmt.Sprintf("Bars: sand that went into %s, mm a calendar year; the table has all sand. Blue: what holds that layer, from the account of %d to %d, the same for every year; whiskers hold 9 chances in 10.",
			h.Name(), h.From.Year(), h.To.Year())
	}
	section.Blocks = []Block{
		Figure{Number: b.figure(), Says: b.sandHeading(f.Seasons, h), Sure: sure, Panels: []Panel{{Scene: f.Scene()}}},
		b.seasonTable(),
	}
	return section
}

// sandSeasons gives the sand of every year: what went into the surface layer beside what holds it, or all of it where
// there is no account.
func (b *builder) sandSeasons(h *balance.Holding) []figure.Season {
	var out []figure.Season
	if h == nil {
		for _, season := range b.s.Seasons {
			out = append(out, figure.Season{Name: strconv.Itoa(season.Year), Applied: season.SandMM()})
		}
		return out
	}
	hold := h.Hold.Times(b.perMM())
	for _, y := range b.s.Seasons {
		z := figure.Season{Name: strconv.Itoa(y.Year), Applied: y.TopMM}
		if y.Year > h.From.Year() && y.Year <= h.To.Year() {
			z.Needed = &figure.Estimate{Mid: hold.Q50, Outer: figure.Interval{Low: hold.Q05, High: hold.Q95}}
		}
		out = append(out, z)
	}
	return out
}

// sandHeading says what the picture of the sand means.
func (b *builder) sandHeading(seasons []figure.Season, h *balance.Holding) string {
	first, last := seasons[0], seasons[len(seasons)-1]
	into := ""
	if h != nil {
		into = " into " + h.Name()
	}
	words := fmt.Sprintf("Sand%s: %s mm in %s.", into, num(last.Applied, 1), last.Name)
	if len(seasons) > 1 {
		words = fmt.Sprintf("Sand%s: %s mm in %s, %s mm in %s.", into, num(first.Applied, 1), first.Name, num(last.Applied, 1), last.Name)
	}
	if h == nil {
		return words
	}
	short, _ := findings.Chance(h.Short)
	return words + " Over all years of the account: " + short + " that it was too little to hold it."
}

// seasonTable is the work of each season in numbers.
func (b *builder) seasonTable() Table {
	t := Table{
		Caption: "What was done, by calendar year",
		Columns: []Column{
			{"Year", false},
			{"Spread, mm", true},
			{"In holes, injected, mm", true},
			{"Dry sand, kg/m²", true},
			{"Dry sand, t", true},
			{"Dressings", true},
			{"Opened, %", true},
			{"Of it cored, %", true},
			{"Nitrogen, kg/ha", true},
		},
	}
	cost := b.costColumn()
	if cost != "" {
		t.Columns = append(t.Columns, Column{cost, true})
	}
	for _, z := range b.s.Seasons {
		mass := "area not known"
		if b.s.AreaM2 > 0 {
			mass = tonnes(float64(unit.KgPerM2(z.SandKgM2).Over(unit.SquareMetres(b.s.AreaM2))) / 1000)
		}
		row := []string{
			strconv.Itoa(z.Year), num(z.SurfaceMM, 1), num(z.DeepMM, 1), num(z.SandKgM2, 1), mass, strconv.Itoa(z.Dressings),
			num(z.Opened*100, 1), num(z.Cored*100, 1), num(z.NitrogenKgHa, 0),
		}
		if cost != "" {
			row = append(row, num(z.Cost, 0))
		}
		t.Rows = append(t.Rows, row)
	}
	if b.s.AreaM2 > 0 {
		t.Note = fmt.Sprintf("Over %s m² of %s. Opened: share of the surface that tines and blades touched, events added up; cored: with what was cut taken off.",
			num(b.s.AreaM2, 0), surfaces(b.s.Surface))
		if b.s.Unsized > 0 {
			t.Note += fmt.Sprintf(" %s without an area %s taken to be like the rest.", upper(count(b.s.Unsized, "green", "greens")), wasWere(b.s.Unsized))
		}
	}
	return t
}

// costColumn is the head of the column of costs; empty where the log has none.
func (b *builder) costColumn() string {
	for _, z := range b.s.Seasons {
		if z.Cost > 0 {
			return strings.TrimRight("Cost logged, "+b.currency(), ", ")
		}
	}
	return ""
}

func wasWere(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
