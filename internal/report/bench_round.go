package report

import (
	"fmt"
	"slices"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
)

// waits says whether a round waits for the furnace.
func (b *builder) waits() bool { return len(b.s.Waiting()) > 0 }

// benchSays is the statement of a bench sheet.
func (b *builder) benchSays() string {
	if waiting := b.s.Waiting(); len(waiting) > 0 {
		return fmt.Sprintf("%s to dry, burn and weigh.", upper(count(len(waiting), "composite", "composites")))
	}
	if rows := b.lastRound(); len(rows) > 0 {
		held := 0
		for i := range rows {
			if rows[i].Held {
				held++
			}
		}
		words := fmt.Sprintf("%s, all weighed.", upper(count(len(rows), "composite", "composites")))
		if held > 0 {
			words += fmt.Sprintf(" %s held.", upper(count(held, "result is", "results are")))
		}
		return words
	}
	return "There is nothing to weigh."
}

// benchBecause names the round.
func (b *builder) benchBecause() []string {
	if waiting := b.s.Waiting(); len(waiting) > 0 {
		return []string{fmt.Sprintf("Round %s of %s. Burn each composite whole: nothing screened out, nothing scooped. Masses in grams, crucible and all, as the balance shows them.",
			waiting[0].RoundLabel(), day(waiting[0].Date.Time()))}
	}
	if rows := b.lastRound(); len(rows) > 0 {
		return []string{fmt.Sprintf("Round %s of %s, with the checks of its furnace runs.", rows[0].Round, day(rows[0].Of.Date.Time()))}
	}
	return []string{"Enter a round with its composites, and they stand here in the order of the tray with room for their masses."}
}

// lastRound gives the results of the newest round of the course.
func (b *builder) lastRound() []app.BenchRow {
	var newest underfoot.Date
	round := ""
	for i := range b.s.Bench {
		if x := &b.s.Bench[i]; round == "" || x.Of.Date > newest {
			newest, round = x.Of.Date, x.Round
		}
	}
	var out []app.BenchRow
	for i := range b.s.Bench {
		if x := b.s.Bench[i]; x.Round == round {
			out = append(out, x)
		}
	}
	return out
}

// toWeigh is the sheet to write masses into, in the order of the tray.
func (b *builder) toWeigh() Section {
	if !b.waits() {
		return Section{}
	}
	sheet, _ := b.s.RunSheet("")
	t := Table{
		Columns: []Column{
			{"Place", false}, {"Crucible", false}, {"Composite", false}, {"Tare, g", false}, {"Moist, g", false}, {"Dry, g", false}, {"Dry again, g", false}, {"Ash, g", false}, {"Ash again, g", false},
		},
		Write: []int{0, 1, 3, 4, 5, 6, 7, 8},
	}
	of := map[string]underfoot.Sample{}
	for _, x := range b.s.Records.Samples {
		of[x.ID] = x
	}
	for _, r := range sheet.Rows {
		c := r.Cells
		name := map[string]string{"blank": "Blank, an empty crucible", "control": "Control " + c["sample"]}[c["kind"]]
		if x, ok := of[c["sample"]]; ok && name == "" {
			name = b.s.GreenTitle(x.Green) + ", " + x.Layer() + ": " + x.ID
		}
		t.Rows = append(t.Rows, []string{c["place"], c["crucible"], name, c["tare_g"], c["moist_g"], c["dry_g"], c["dry_again_g"], c["ash_g"], c["ash_again_g"]})
	}
	t.Note = "Weigh again after a further hour until two masses agree within what the method allows; write both down."
	run := Table{
		Columns: []Column{{"Furnace run", false}, {"Day", false}, {"Furnace", false}, {"Balance", false}, {"Drying, °C and h", false}, {"Burning, °C and h", false}, {"By", false}},
		Rows:    [][]string{make([]string, 7)}, Write: []int{0, 1, 2, 3, 4, 5, 6},
	}
	return Section{Title: "The run", Blocks: []Block{run, t}}
}

// weighed is the newest round's results.
func (b *builder) weighed() Section {
	rows := b.lastRound()
	if b.waits() || len(rows) == 0 {
		return Section{}
	}
	t := Table{
		Columns: []Column{
			{"Green", false}, {"Layer", false}, {"Organic matter, %", true}, {"± standard uncertainty, %", true}, {"Dry mass, g", true}, {"Bulk density, kg/m³", true}, {"Organic stock, kg/m²", true}, {"Run", false}, {"State", false},
		}, Fine: true,
	}
	seen := map[string]bool{}
	var remarks []string
	for i := range rows {
		x := &rows[i]
		state := "counts"
		switch {
		case x.Held:
			state = "held"
		case x.Released != nil:
			state = "released"
		case !x.Known:
			state = "no result"
		case !x.Comparable():
			state = "another quantity"
		}
		density := known(x.BulkDensityKgM3, 0)
		if x.BulkDensityFrom == string(bench.FromMixture) && x.BulkDensityKgM3 != nil {
			density = "about " + density
		}
		t.Rows = append(t.Rows, []string{
			b.s.GreenTitle(x.Green), x.Of.Layer(), known(x.OrganicMatterPercent, 2), known(x.StandardUncertaintyPercent, 3), known(x.DryMassG, 2), density, known(x.OrganicStockKgM2, 2),
			list(x.FurnaceRuns), state,
		})
		for _, w := range x.Warnings {
			if line := b.s.GreenTitle(x.Green) + ", " + x.Of.Layer() + ": " + ended(w); !seen[line] {
				seen[line] = true
				remarks = append(remarks, line)
			}
		}
	}
	t.Note = "Organic matter is what the whole oven-dry composite lost on ignition. “About”: the density is reckoned from the mixture, no volume is known."
	section := Section{Title: "Results of the round", Blocks: []Block{t}}
	if len(remarks) > 0 {
		section.Blocks = append(section.Blocks, List{Title: "Remarks", Items: remarks, Fine: true})
	}
	return section
}

func known(v *float64, decimals int) string {
	if v == nil {
		return "–"
	}
	return num(*v, decimals)
}

// checks are the judgements of the runs of the newest round.
func (b *builder) checks() Section {
	if b.waits() {
		return Section{}
	}
	var runs []string
	for _, x := range b.lastRound() {
		for _, r := range x.FurnaceRuns {
			if !slices.Contains(runs, r) {
				runs = append(runs, r)
			}
		}
	}
	section := Section{Title: "Checks of the furnace runs"}
	for _, name := range runs {
		r := b.s.Quality.Run(name)
		if r == nil {
			continue
		}
		t := Table{
			Caption: fmt.Sprintf("Run %s: %s", name, r.Judgement.Verdict), Columns: []Column{{"What", false}, {"Found", false}, {"Verdict", false}}, Fine: true,
		}
		for _, c := range r.Judgement.Checks {
			t.Rows = append(t.Rows, []string{upper(c.What), sentence(c.Found), string(c.Verdict)})
		}
		if r.Release != nil {
			t.Note = fmt.Sprintf("Released by %s on %s: %s", r.Release.By, r.Release.Date, ended(r.Release.Reason))
		}
		if len(t.Rows) > 0 {
			section.Blocks = append(section.Blocks, t)
		}
	}
	return section
}

// benchCautions are those of the furnace and of ash, where there is something to burn.
func (b *builder) benchCautions() Section {
	if !b.waits() {
		return Section{}
	}
	return Section{Title: "Before you start", Blocks: []Block{List{Items: bench.Cautions()}}}
}
