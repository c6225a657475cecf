package report

import (
	"underfoot/bench"
	"underfoot/season"
)

// cautions are the words of safety that belong to what the report asks for, and who decides.
func (b *builder) cautions() Section {
	var items []string
	for _, c := range season.Cautions() {
		items = append(items, c.Text)
	}
	if b.burnsHere() {
		items = append(items, bench.Cautions()...)
	}
	items = append(items, "Local law, the makers’ manuals and licensed practice come before anything that is written here.")
	return Section{Title: "Cautions", Blocks: []Block{List{Items: items, Fine: true}}}
}

// burnsHere says whether composites were burnt and weighed by whoever keeps these records.
func (b *builder) burnsHere() bool {
	for i := range b.s.Bench {
		if len(b.s.Bench[i].Burnt) > 0 {
			return true
		}
	}
	return false
}
