package web

import (
	"fmt"

	"underfoot/balance"
	"underfoot/findings"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// answerOf is the advice in words and figures. Every sentence is the advice’s own.
func answerOf(st *standing) page.Answer {
	a := st.Advice()
	out := page.Answer{Lead: a.Statement(), Layer: a.Layer}
	if said := a.Sentences(); len(said) > 1 {
		out.Steps = said[1:]
	}
	for _, c := range season.Cautions() {
		if c.Step == season.WithSand || c.Step == season.WithMachines || c.Step == season.WithAdvice {
			out.Cautions = append(out.Cautions, c.Text)
		}
	}
	if a.Reason != "" {
		return out
	}
	out.Chance = directionChance(st)
	if st.Balance() != nil {
		out.Warnings = inWords(st.Balance().Warnings)
	}
	if a.Direction.Toward == season.Unknown {
		out.Facts = amounts(a.Holding, "Holding "+a.Layer+" takes", "a year; a fact, not advice")
		return out
	}
	if a.Top.NoneNeeded {
		return out
	}
	out.Facts = amounts(a.Top.Sand, "Sand into "+a.Layer, "a year")
	if d := a.Dressings; d.Count > 0 {
		note := fmt.Sprintf("%s mm each", page.Num(float64(d.Each), 2))
		if d.Count > 1 {
			note += fmt.Sprintf(", one every %d days", d.Every)
		}
		out.Facts = append(out.Facts, page.Fact{Name: "On top, in", Value: fmt.Sprint(d.Count), Unit: "dressings", Note: note})
	}
	return out
}

// amounts are sand a year in the units it is spread and ordered in.
func amounts(a season.Amount, name, note string) []page.Fact {
	fact := func(name string, e balance.Estimate, unit string, decimals int) page.Fact {
		return page.Fact{Name: name, Value: page.Num(e.Q50, decimals), Unit: unit, Note: page.Span(e.Q05, e.Q95, decimals) + ", 9 in 10"}
	}
	tonnes := func(e balance.Estimate) int {
		if e.Q95 < 10 {
			return 1
		}
		return 0
	}
	out := []page.Fact{fact(name, a.Depth, "mm "+note, 1), fact("The same by mass", a.PerArea, "kg/m²", 1), fact("On all greens, dry", a.Dry, "t", tonnes(a.Dry))}
	if a.Delivered.Q50 > a.Dry.Q50 {
		out = append(out, fact("As delivered", a.Delivered, "t", tonnes(a.Delivered)))
	}
	return out
}

// hasAnswer says whether there is an answer to plan by.
func hasAnswer(st *standing) bool {
	return st.Advice().Reason == "" && st.Direction.Verdict != findings.Unknown
}
