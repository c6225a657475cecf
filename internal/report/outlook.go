package report

import "strings"

// outlook shows where the profile is heading by the calibrated model, why, and how far that can be trusted.
func (b *builder) outlook() Section {
	if b.empty() || len(b.s.Layers) == 0 {
		return Section{}
	}
	section := Section{Title: "Where the profile is heading"}
	p, err := ProfileOf(b.s)
	if err != nil {
		section.Blocks = []Block{Text{Words: sentence(err.Error())}}
		return section
	}
	section.Blocks = append(section.Blocks, Text{Words: p.Statement() + " " + strings.Join(p.Because(), " ")})
	section.Blocks = append(section.Blocks, b.burialFigure(p, 300), b.fanFigure(p, len(p.layers()), 150))
	section.Blocks = append(section.Blocks, outlookLevers(p)...)
	section.Blocks = append(section.Blocks, b.outlookAccount(p)...)
	section.Blocks = append(section.Blocks, Text{Words: p.BackSays()})
	if t := p.BackTable(); len(t.Rows) > 0 {
		t.Fine = true
		section.Blocks = append(section.Blocks, t)
	}
	learnt := []string{p.LearntSays()}
	if lists := p.LearntLists(); len(lists) > 0 {
		learnt = append(learnt, lists[len(lists)-1]) // what is still open
	}
	section.Blocks = append(section.Blocks,
		List{Title: "What the rounds decided, and what they leave open", Items: append(learnt, p.MisfitSays()...), Fine: true},
		List{Title: "How the forecast was worked out", Items: append(append(p.Notes(), p.Source()), ProfileMethod()...), Fine: true},
	)
	return section
}

// outlookAccount is where organic matter came from and went in the last season.
func (b *builder) outlookAccount(p Profile) []Block {
	bars := p.AccountBars()
	if len(bars.Groups) == 0 {
		return []Block{Text{Words: p.AccountSays()}}
	}
	bars.Width = 658
	return []Block{Figure{Number: b.figure(), Says: p.AccountSays(), Sure: p.AccountSure(), Panels: []Panel{{Scene: bars.Scene()}}}}
}

// outlookLevers is what one more of each kind of work would do, and the sand that holds each layer.
func outlookLevers(p Profile) []Block {
	levers, why := p.Levers()
	if levers == nil {
		return []Block{Text{Words: why}}
	}
	t, holds := levers.Table(), levers.Holds()
	t.Says, t.Fine, holds.Fine = levers.Says(), true, true
	return []Block{t, holds}
}
