package report

import (
	"fmt"
	"strconv"

	"underfoot/balance"
	"underfoot/internal/figure"
	"underfoot/unit"
)

// holding is the balance of the layer that starts at the surface, or nil where it has no answer.
func (b *builder) holding() *balance.Holding {
	if b.s.Balance == nil {
		return nil
	}
	for i := range b.s.Balance.Layers {
		if h := &b.s.Balance.Layers[i]; h.Top == 0 && h.Answered() {
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
	return fmt.Sprintf("Sand into that layer has been %s mm a year; holding it would have taken %s mm (%s).",
		num(got.Q50, 1), num(hold.Q50, 1), span(hold.Q05, hold.Q95, 1))
}

// sand shows the sand of each season beside what holding the surface layer needs.
func (b *builder) sand() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "Sand put on"}
	if len(b.s.Seasons) == 0 {
		section.Blocks = []Block{Text{Words: "No sand and no other work is on record. The account takes what is not entered as not done."}}
		return section
	}
	f := figure.SandNeed{Width: 658, Height: 196, AppliedNote: "sand put on"}
	h := b.holding()
	for _, season := range b.s.Seasons {
		z := figure.Season{Name: strconv.Itoa(season.Year), Applied: season.SandMM()}
		if h != nil && season.Year > h.From.Year() && season.Year <= h.To.Year() {
			hold := h.Hold.Times(b.perMM())
			z.Needed = &figure.Estimate{Mid: hold.Q50, Outer: figure.Interval{Low: hold.Q05, High: hold.Q95}}
		}
		f.Seasons = append(f.Seasons, z)
	}
	sure := "Sand by calendar year, mm over all " + surfacesOf(b) + "."
	if h != nil {
		f.NeededNote = "holding " + h.Name()
		sure += " Blue: the sand that would have held " + h.Name() + " over the whole account, the same for every year; whiskers hold 9 chances in 10."
	}
	section.Blocks = []Block{
		Figure{Number: b.figure(), Says: b.sandHeading(h), Sure: sure, Panels: []Panel{{Scene: f.Scene()}}},
		b.seasonTable(),
	}
	return section
}

func surfacesOf(b *builder) string { return surfaces(b.s.Surface) }

// sandHeading says what the picture of the sand means.
func (b *builder) sandHeading(h *balance.Holding) string {
	first, last := b.s.Seasons[0], b.s.Seasons[len(b.s.Seasons)-1]
	words := fmt.Sprintf("Sand: %s mm in %d.", num(last.SandMM(), 1), last.Year)
	if len(b.s.Seasons) > 1 {
		words = fmt.Sprintf("Sand went from %s mm in %d to %s mm in %d.", num(first.SandMM(), 1), first.Year, num(last.SandMM(), 1), last.Year)
	}
	if h == nil {
		return words
	}
	short, _ := balanceChance(h.Short)
	return words + " Over the account it was too little to hold " + h.Name() + ": " + short + "."
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
	for _, z := range b.s.Seasons {
		mass := "area not known"
		if b.s.AreaM2 > 0 {
			mass = tonnes(float64(unit.KgPerM2(z.SandKgM2).Over(unit.SquareMetres(b.s.AreaM2))) / 1000)
		}
		t.Rows = append(t.Rows, []string{
			strconv.Itoa(z.Year), num(z.SurfaceMM, 1), num(z.DeepMM, 1), num(z.SandKgM2, 1), mass, strconv.Itoa(z.Dressings),
			num(z.Opened*100, 1), num(z.Cored*100, 1), num(z.NitrogenKgHa, 0),
		})
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

func wasWere(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
