package report

import (
	"fmt"
	"strings"

	"underfoot/season"
)

// certain says in short how sure the change is, beside how even the greens are.
func (b *builder) certain() Section {
	left := List{Title: "How sure the change is", Items: b.steadiness(), Fine: true}
	right := List{Title: "How even the " + surfaces(b.s.Surface) + " are", Fine: true}
	for i := range b.s.Layers {
		if l := &b.s.Layers[i]; l.Even.Known {
			right.Items = append(right.Items, l.Name()+": "+lowerStart(b.evenSays(l.Even)))
		}
	}
	switch {
	case len(left.Items) > 0 && len(right.Items) > 0:
		return Section{Title: "What changed, and how sure", Blocks: []Block{Pair{Left: []Block{left}, Right: []Block{right}}}}
	case len(left.Items) > 0:
		return Section{Title: "What changed, and how sure", Blocks: []Block{left}}
	case len(right.Items) > 0:
		return Section{Title: right.Title, Blocks: []Block{List{Items: right.Items}}}
	}
	return Section{}
}

// lowerStart takes the capital from a sentence unless its first word is a name with a number after it.
func lowerStart(s string) string {
	first, _, _ := strings.Cut(s, " ")
	for _, w := range []string{"The", "No", "All", "There", "Only", "One", "Two"} {
		if first == w {
			return lowerFirst(s)
		}
	}
	return s
}

// why shows the surface and the sand: what the direction rests on.
func (b *builder) why() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "Why"}
	for _, part := range []Section{b.readingsOf(3), b.sandOf(128 - b.lower(10))} {
		if len(part.Blocks) > 0 {
			section.Blocks = append(section.Blocks, part.Blocks[0])
		}
	}
	return section
}

// ahead shows where the profile is heading, without the workings.
func (b *builder) ahead() Section {
	if b.empty() || len(b.s.Layers) == 0 {
		return Section{}
	}
	section := Section{Title: "Where the profile is heading"}
	p, err := ProfileOf(b.s)
	if err != nil {
		section.Blocks = []Block{Text{Words: sentence(err.Error())}}
		return section
	}
	section.Blocks = append(section.Blocks, Text{Words: p.Short()}, b.burialFigure(p, 236-b.lower(36)), b.fanFigure(p, 2, 130))
	return section
}

// care is the safety of the work that is asked for, and who decides, as small print.
func (b *builder) care() Section {
	var words []string
	for _, c := range season.Cautions() {
		if c.Step != season.WithFertiliser {
			words = append(words, c.Text)
		}
	}
	words = append(words, "Local law, the makers’ manuals and licensed practice come before anything that is written here.")
	return Section{Title: "Cautions", Blocks: []Block{Text{Words: strings.Join(words, " "), Fine: true}}}
}

// orderAndDoubt sets the order beside what could prove the report wrong.
func (b *builder) orderAndDoubt() Section {
	order, wrong := b.order(), b.wrong()
	switch {
	case len(wrong.Blocks) == 0:
		return order
	case len(order.Blocks) == 0:
		return wrong
	}
	doubt := wrong.Blocks[0].(List)
	doubt.Title, doubt.Fine = wrong.Title, true
	return Section{Title: "The order, and what could prove us wrong", Blocks: []Block{Pair{Left: order.Blocks, Right: []Block{doubt}}}}
}

// lower is what a picture gives up where the paper is less high.
func (b *builder) lower(px float64) float64 {
	if b.o.Paper == Letter {
		return px
	}
	return 0
}

// wrong says what could prove the report wrong, and when that would be seen.
func (b *builder) wrong() Section {
	if b.empty() {
		return Section{}
	}
	items := []string{"What is really put on, and when, decides more than any forecast; the log shows it."}
	if len(b.s.Layers) > 0 {
		items = append(items, "Weather is drawn from the course’s own years: one unlike any of them, or more growth than nitrogen and warmth explain, moves organic matter further than the range.")
		l := &b.s.Layers[0]
		if l.Trend.Estimated && l.Trend.SmallestVisiblePerYear > 0 {
			items = append(items, fmt.Sprintf("The next round tells: in %s, rounds like these see a change of %s points a year or more, 8 times in 10.", l.Name(), num(l.Trend.SmallestVisiblePerYear, 2)))
		} else {
			items = append(items, "The next round tells, best in the same weeks of another year.")
		}
	}
	if d := b.s.Direction; len(d.Kinds) > 0 && d.Probability < 0.9 && d.Probability > 0 {
		items = append(items, "The readings do not settle the direction beyond doubt; more days of firmness and soil water do.")
	}
	return Section{Title: "What could prove us wrong", Blocks: []Block{List{Items: items}}}
}

// sources says in small print what to beware of, how it was measured and worked out, and what weakens it.
func (b *builder) sources() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "Cautions, method and sources"}
	worked := b.measuredSays()
	if len(b.s.Layers) > 0 && b.s.Layers[0].Trend.Estimated {
		worked += " Trends come from mixed models of rounds and greens; how each was worked out, every setting and every account stand in the full report."
	}
	section.Blocks = append(section.Blocks, b.care().Blocks[0], Text{Words: worked, Fine: true})
	const most = 2
	runs, doubts := failedRuns(b.doubts())
	if n := len(doubts); n > most {
		doubts = append(doubts[:most:most], fmt.Sprintf("%s in the full report.", upper(count(n-most, "remark more stands", "remarks more stand"))))
	}
	if doubts = append(runs, doubts...); len(doubts) > 0 {
		section.Blocks = append(section.Blocks, Text{Words: "What weakens it. " + strings.Join(doubts, " "), Fine: true})
	}
	if b.forecasts() {
		method := ProfileMethod()
		section.Blocks = append(section.Blocks, Text{Words: method[len(method)-1], Fine: true})
	}
	return section
}

// failedRuns takes what is said of failed furnace runs out of the doubts: it is always told.
func failedRuns(doubts []string) (runs, others []string) {
	for _, d := range doubts {
		if strings.HasPrefix(strings.ToLower(d), "furnace run") {
			runs = append(runs, d)
		} else {
			others = append(others, d)
		}
	}
	return runs, others
}

// forecasts says whether the report rests on the profile model.
func (b *builder) forecasts() bool {
	_, ok := ProfileIfKnown(b.s)
	return ok || b.s.Modelled()
}
