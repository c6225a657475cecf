package report

// needed says what has to be entered before there is a report, for a course with nothing on record.
func (b *builder) needed() Section {
	if !b.empty() {
		return Section{}
	}
	var items []string
	if greens := b.greensNeeded(); greens != "" {
		items = append(items, greens)
	}
	return Section{Title: "What is needed", Blocks: []Block{List{Steps: true, Items: append(items,
		"A round of cores: common practice is five cores from each of six greens, cut at 20, 40 and 60 mm, burnt whole, weighed before and after. It gives the level of organic matter; a second round a year later gives a first trend and a first account of sand.",
		"The work: every dressing with its date and amount, every coring and scarifying with its tines or blades. It shows what the sand has been doing.",
		"Readings of firmness and soil water over a season, and the band that is wanted for each: the surface decides which way organic matter should go. Without them, a stated judgement with its reason does.",
	)}}}
}

// greensNeeded says what is missing of the greens; empty where all are there with their areas.
func (b *builder) greensNeeded() string {
	const why = "without areas, sand can be given in mm and kg/m² and not in tonnes."
	bare := 0
	for i := range b.s.Greens {
		if !b.s.Greens[i].AreaM2.Known {
			bare++
		}
	}
	switch {
	case len(b.s.Greens) == 0:
		return "The " + surfaces(b.s.Surface) + ", each with its area in m²: " + why
	case bare > 0:
		return "The area in m² of " + count(bare, "of the "+surfaces(b.s.Surface), surfaces(b.s.Surface)) + ": " + why
	}
	return ""
}
