package report

import (
	"fmt"
	"strings"

	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/season"
)

// plain explains in plain words what was found.
func (b *builder) plain() Section {
	if b.empty() {
		return Section{}
	}
	var out []string
	if l := b.top(); l != nil {
		m := l.Last()
		words := fmt.Sprintf("Organic matter is dead stems and roots near the surface. A little makes a green hold together; too much holds water like a sponge. At %s there is %s %% of it (%s, 9 chances in 10)",
			l.Name(), num(float64(m.Mean), 1), span(float64(m.Low90), float64(m.High90), 1))
		_, sure := l.Trend.ChanceOfChange()
		switch {
		case !l.Trend.Estimated:
			words += "; one round cannot say yet whether it is growing."
		case l.Trend.Verdict == findings.NoChange && l.Trend.Steady:
			words += ", steady over the years."
		case l.Trend.Verdict == findings.NoChange:
			words += "; no change over the years that this sampling could see."
		default:
			words += fmt.Sprintf(", and it is %s: %s.", l.Trend.Verdict, chance(sure).Words)
		}
		out = append(out, words)
	}
	if h := b.holding(); h != nil {
		hold, got := h.Hold.Times(b.perMM()), h.Applied.Times(b.perMM())
		out = append(out, fmt.Sprintf("Sand thins it out. The %s got %s mm a year lately; holding organic matter where it is takes %s mm (%s).",
			surfaces(b.s.Surface), num(got.Q50, 1), num(hold.Q50, 1), span(hold.Q05, hold.Q95, 1)))
	}
	if len(out) == 0 {
		return Section{}
	}
	section := Section{Title: "What we found"}
	for _, words := range out {
		section.Blocks = append(section.Blocks, Text{Words: words})
	}
	return section
}

// shown is the one picture of the summary: the surface layer over the years.
func (b *builder) shown() Section {
	l := b.top()
	if l == nil || len(l.Rounds) < 2 {
		return Section{}
	}
	f := Figure{Number: b.figure(), Says: b.shownSays(l), Panels: []Panel{{Title: l.Name(), Unit: "organic matter, % of the dry sample", Scene: trend(l, wide, 112)}}}
	f.Sure = "Each dot is a round of cores; bars and band hold 9 chances in 10."
	return Section{Blocks: []Block{f}}
}

func (b *builder) shownSays(l *app.Layer) string {
	return map[string]string{
		"Rising": "Rising over the years.", "Falling": "Falling over the years.", "Steady": "Steady over the years.",
		"No change seen": "No change that this sampling could see.", "No trend yet": "Too few rounds for a trend.",
	}[trendWords(l.Trend)]
}

// proposal is what would be done, and what that means for play and money.
func (b *builder) proposal() Section {
	if b.empty() {
		return Section{}
	}
	var items []string
	work := b.toCome()
	switch {
	case b.advised() && b.s.Advice().Top.NoneNeeded:
		items = append(items, "No sand on top next season; the rest of the work as planned.")
	case b.advised():
		items = append(items, b.askSand())
	default:
		items = append(items, "To measure before more sand is decided on: firmness and soil water through a season, and what is wanted of them.")
	}
	switch {
	case len(work) > 0:
		items = append(items, "Dated so far: "+lowerFirst(b.planSays(work)))
	case b.advised():
		items = append(items, "The days are not set yet.")
	}
	opens, cost := 0, 0.0
	for _, d := range work {
		cost += d.Work.Cost.Or(0)
		if d.Opened > 0 {
			opens++
		}
	}
	if len(work) > 0 || b.advised() {
		items = append(items, "A light dressing is felt for a day or two until the sand is in.")
	}
	if opens > 0 {
		items[len(items)-1] += " " + upper(count(opens, "day of work opens", "days of work open")) + " the surface; the grass takes days to weeks to close it, longer when it is cold."
	}
	if cost > 0 {
		items = append(items, "The planned work is reckoned to cost "+b.money(cost, 0)+" in all.")
	}
	return Section{Blocks: []Block{Notice{Title: "What we propose, and what it means for play", Words: items}}}
}

// sureness says how far all this can be trusted, without numbers that need explaining.
func (b *builder) sureness() Section {
	if b.empty() {
		return Section{}
	}
	var words []string
	d := b.s.Direction
	if d.Verdict != findings.Unknown && d.DecidedBy != "judgement" {
		words = append(words, fmt.Sprintf("The direction rests on readings of the surface: %s that they ask for %s.", chance(d.Probability).Words, asked(d.Verdict)))
	}
	words = append(words, "“9 chances in 10” means that nine such ranges in ten hold the true value; the next round of cores shows whether we are right.")
	for _, c := range season.Cautions() {
		if c.Step == season.WithAdvice {
			words = append(words, c.Text)
		}
	}
	return Section{Blocks: []Block{Text{Words: strings.Join(words, " "), Fine: true}}}
}

// burialFigure and fanFigure draw what the model says at the width of a report.
func (b *builder) burialFigure(p Profile, high float64) Figure {
	burial := p.Burial()
	burial.Measure = b.measure()
	burial.Width, burial.Height = wide, high
	return Figure{Number: b.figure(), Says: p.BurialSays(), Sure: p.BurialSure(), Panels: []Panel{{Scene: burial.Scene()}}}
}

func (b *builder) fanFigure(p Profile, most int, row float64) Figure {
	fan := p.Fan()
	fan.Layers = fan.Layers[:min(most, len(fan.Layers))]
	fan.Width, fan.Height = wide, 30+row*float64((len(fan.Layers)+1)/2)
	return Figure{Number: b.figure(), Says: p.FanSays(), Sure: p.FanSure(), Panels: []Panel{{Scene: fan.Scene()}}}
}
