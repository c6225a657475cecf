package report

import "underfoot/bench"

// cautions are the safety notes that belong to what the report asks for, and who decides.
func (b *builder) cautions() Section {
	items := []string{
		"Dry sand and ash give off fine silica dust that harms the lungs. Handle and spread sand damp where that can be done, keep people out of the dust, and wear fitted breathing protection where the assessment of the workplace asks for it.",
		"Spreaders, corers and scarifiers cut, crush and throw stones. Only trained people run them, guards stay on, and engines are off before hands go near tines or blades. Sand is heavy: lift it with machines.",
		"Fertiliser and other products go on by their label, and where a licence is required, by a licence holder.",
	}
	if b.burnsHere() {
		items = append(items, bench.Cautions()[:2]...)
	}
	items = append(items, "These lines do not cover every hazard. Local law, the makers’ manuals and licensed practice come first. The figures advise; a qualified person decides.")
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
