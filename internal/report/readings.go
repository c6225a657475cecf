package report

import (
	"underfoot/findings"
	"underfoot/internal/figure"
)

// readingKinds are the name, unit and decimals of each kind of reading, in the order they are shown.
var readingKinds = [...]struct {
	kind, name, unit string
	decimals         int
}{
	{"firmness_gmax", "Firmness", "g, drop hammer", 0},
	{"firmness_mm", "Firmness", "mm, penetration depth", 1},
	{"moisture_vwc_percent", "Soil water", "% by volume", 1},
	{"speed_m", "Green speed", "m", 2},
	{"speed_ft", "Green speed", "ft", 1},
	{"infiltration_mm_h", "Infiltration", "mm/h", 0},
}

// readings shows what was measured on the surface against what is wanted, and what direction follows.
func (b *builder) readings() Section {
	section := b.readingsOf(len(readingKinds))
	if len(section.Blocks) == 0 {
		return section
	}
	if _, shown := section.Blocks[0].(Figure); shown {
		section.Blocks = append(section.Blocks, List{Title: "In words", Items: b.s.Reasons()})
	} else if b.s.Direction.DecidedBy == "judgement" {
		section.Blocks = append(section.Blocks, List{Items: b.s.Reasons()})
	}
	return section
}

// readingsOf shows so many kinds at most, those that decide first.
func (b *builder) readingsOf(most int) Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "What the surface says"}
	panels := b.readingPanels(most)
	if len(panels) == 0 {
		section.Blocks = append(section.Blocks, Text{Words: "There are no readings of the surface, so the surface has not been asked. A direction needs readings of firmness or soil water over a season and the band wanted for them, or a stated judgement with its reason."})
		return section
	}
	section.Blocks = append(section.Blocks, Figure{
		Number: b.figure(), Says: b.readingsSay(), Panels: panels,
		Sure: "Each dot is a reading day, the mean over the greens read. Grey: what is wanted. Filled dots lie outside it.",
	})
	return section
}

// readingsSay is the direction in one sentence.
func (b *builder) readingsSay() string {
	d := b.s.Direction
	words, _ := findings.Chance(d.Probability)
	switch {
	case d.Verdict == findings.Unknown:
		return "The readings give no direction yet."
	case d.DecidedBy == "judgement" && d.FromReadings == findings.Unknown:
		return "The readings give no direction; the judgement on record stands."
	case d.DecidedBy == "judgement" && d.FromReadings != d.Verdict:
		return "The readings alone ask for " + asked(d.FromReadings) + "; the judgement on record stands over them."
	case d.DecidedBy == "judgement":
		return "The readings bear out the judgement on record: " + words + "."
	}
	return "The surface asks for " + asked(d.Verdict) + ": " + words + "."
}

// asked is what a direction asks for.
func asked(v findings.Verdict) string {
	switch v {
	case findings.Lower:
		return "less organic matter"
	case findings.Raise:
		return "more organic matter"
	}
	return "organic matter to be held where it is"
}

// readingPanels draws each kind of reading over its season, in panels as wide as their number allows.
func (b *builder) readingPanels(most int) []Panel {
	var out []Panel
	var figures []figure.Readings
	for _, w := range readingKinds {
		verdict := b.s.Verdict(w.kind)
		days := b.readingDays(w.kind)
		if len(days) == 0 || len(out) >= most {
			continue
		}
		p := Panel{Title: w.name, Unit: w.unit, Says: "No band is wanted for it."}
		f := figure.Readings{Name: w.name, Unit: w.unit, Decimals: w.decimals, Days: days, Height: 102}
		if verdict != nil {
			f.Wanted = &figure.Interval{Low: verdict.Low, High: verdict.High}
			p.Says = "" // the words below tell it
		}
		out, figures = append(out, p), append(figures, f)
	}
	for i := range figures {
		figures[i].Width = 206 // three side by side
		if n := len(figures); n == 1 || n == 2 || n == 4 {
			figures[i].Width = 318 // two
		}
		out[i].Scene = figures[i].Scene()
	}
	return out
}

// readingDays are the points of the picture of a kind.
func (b *builder) readingDays(kind string) []figure.Reading {
	days, _ := b.s.ReadingDays(kind)
	out := make([]figure.Reading, len(days))
	for i, d := range days {
		out[i] = figure.Reading{At: d.Date.Time(), Estimate: figure.Estimate{Mid: d.Mean}}
	}
	return out
}
