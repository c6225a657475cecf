package report

import (
	"slices"
	"strconv"

	"underfoot"
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
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "What the surface says"}
	panels := b.readingPanels()
	d := b.s.Direction
	if len(panels) == 0 {
		section.Blocks = append(section.Blocks, Text{Words: "There are no readings of the surface, so the surface has not been asked. A direction needs readings of firmness or soil water over a season and the band wanted for them, or a stated judgement with its reason."})
		if d.DecidedBy == "judgement" {
			section.Blocks = append(section.Blocks, List{Items: d.Because})
		}
		return section
	}
	section.Blocks = append(section.Blocks, Figure{
		Number: b.figure(), Says: b.readingsSay(), Panels: panels,
		Sure: "Each dot is a reading day, the mean over the greens read. Grey: what is wanted. Filled dots lie outside it.",
	})
	section.Blocks = append(section.Blocks, List{Title: "In words", Items: d.Because})
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
func (b *builder) readingPanels() []Panel {
	var out []Panel
	var figures []figure.Readings
	for _, w := range readingKinds {
		verdict := b.verdictOn(w.kind)
		days := b.readingDays(w.kind, verdict)
		if len(days) == 0 {
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

func (b *builder) verdictOn(kind string) *findings.KindVerdict {
	for i := range b.s.Direction.Kinds {
		if string(b.s.Direction.Kinds[i].Kind) == kind {
			return &b.s.Direction.Kinds[i]
		}
	}
	return nil
}

// readingDays gives the mean over the greens of each reading day in the season that was judged, or in the last
// calendar year where none was.
func (b *builder) readingDays(kind string, verdict *findings.KindVerdict) []figure.Reading {
	ours := map[string]bool{"": true}
	for _, g := range b.s.Greens {
		ours[g.ID] = true
	}
	var read []underfoot.Reading
	last := 0
	for _, r := range b.s.Records.Readings {
		if r.Kind == kind && ours[r.Green] && r.Date <= b.s.Today {
			read = append(read, r)
			last = max(last, r.Date.Year())
		}
	}
	in := b.season(kind, verdict, last)
	sum, n := map[underfoot.Date]float64{}, map[underfoot.Date]float64{}
	for _, r := range read {
		if in(r.Date) {
			sum[r.Date] += r.Value
			n[r.Date]++
		}
	}
	var days []figure.Reading
	for d, total := range sum {
		days = append(days, figure.Reading{At: d.Time(), Estimate: figure.Estimate{Mid: total / n[d]}})
	}
	slices.SortFunc(days, func(a, b figure.Reading) int { return a.At.Compare(b.At) })
	return days
}

// season says whether a day lies in the season a verdict is about.
func (b *builder) season(kind string, verdict *findings.KindVerdict, last int) func(underfoot.Date) bool {
	if verdict == nil {
		return func(d underfoot.Date) bool { return d.Year() == last }
	}
	year, _ := strconv.Atoi(verdict.Season[:min(4, len(verdict.Season))])
	from, to := 1, 12
	for _, t := range b.s.Records.Targets {
		if t.Kind == kind {
			from, to = t.FromMonth.Or(1), t.ToMonth.Or(12)
		}
	}
	return func(d underfoot.Date) bool {
		m := int(d.Month())
		if from <= to {
			return d.Year() == year && m >= from && m <= to
		}
		return (d.Year() == year && m >= from) || (d.Year() == year+1 && m <= to)
	}
}
