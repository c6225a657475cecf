package report

import (
	"fmt"
	"slices"
	"strings"

	"underfoot/balance"
	"underfoot/findings"
)

// account tells, layer by layer, where organic matter and sand went between the rounds.
func (b *builder) account() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "The account, layer by layer"}
	if b.s.Balance() == nil {
		section.Blocks = []Block{Text{Words: sentence(b.s.Why) + " Until then the sand that would hold the layers cannot be said."}}
		return section
	}
	if !b.accounted() {
		var why []string
		for _, h := range b.s.Balance().Layers {
			why = append(why, sentence(h.Reason))
		}
		section.Blocks = []Block{List{Items: why}, Text{Words: "Until then the sand that would hold the layers cannot be said."}}
		return section
	}
	section.Blocks = append(section.Blocks, Text{Words: "Every dressing lifts the surface, so a layer at a fixed depth loses its lowest material to the one below. The account follows sand and organic matter through that."})
	for i := range b.s.Balance().Layers {
		h := &b.s.Balance().Layers[i]
		if !h.Answered() {
			section.Blocks = append(section.Blocks, Text{Words: sentence(h.Reason)})
			continue
		}
		section.Blocks = append(section.Blocks, b.accountTable(h))
	}
	return section
}

// accounted says whether any layer has an account.
func (b *builder) accounted() bool {
	return b.s.Balance() != nil && slices.ContainsFunc(b.s.Balance().Layers, balance.Holding.Answered)
}

// accountTable is one layer between each round and the next, in organic matter; it adds up along each row.
func (b *builder) accountTable(h *balance.Holding) Table {
	t := Table{
		Caption: h.Name() + ": organic matter, kg/m² ± standard error",
		Columns: []Column{
			{"From round to round", false},
			{"Sand in, kg/m²", true},
			{"Sunk in from above", true},
			{"Taken out with cores", true},
			{"Sunk out below", true},
			{"Change in the layer", true},
			{"Made less decayed", true},
		},
		Says: b.accountSays(h),
		Fine: true,
	}
	for _, a := range h.Accounts {
		row := []string{strings.ReplaceAll(shortMonth(a.From)+" to "+shortMonth(a.To), " ", "\u00a0")}
		for _, m := range []balance.Measured{a.Sand, a.EnteredOrganic, a.RemovedOrganic, a.LeftOrganic, a.ChangeOrganic, a.Formed} {
			row = append(row, measured(m))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// measured writes a value of the account; nothing with no doubt is a dash.
func measured(m balance.Measured) string {
	if m.Value == 0 && m.SE == 0 {
		return "–"
	}
	return plusMinus(m.Value, m.SE, 2)
}

// accountSays is what the account of a layer comes to.
func (b *builder) accountSays(h *balance.Holding) string {
	mm := b.perMM()
	hold, got := h.Hold.Times(mm), h.Applied.Times(mm)
	words := fmt.Sprintf("%s. Cores took out %s kg/m² a year (%s). ", formedSays(h), num(h.Removed.Q50, 3), span(h.Removed.Q05, h.Removed.Q95, 3))
	words += fmt.Sprintf("Sand into the layer since %s: %s kg/m² a year, %s mm (%s). To hold it: %s kg/m², %s mm (%s), with coring as it was; without coring %s. ",
		month(h.Lately), num(h.Applied.Q50, 2), num(got.Q50, 1), span(got.Q05, got.Q95, 1), num(h.Hold.Q50, 2), num(hold.Q50, 1), span(hold.Q05, hold.Q95, 1),
		middle(h.HoldWithoutCoring.Times(mm), 1, "mm"))
	short, _ := findings.Chance(h.Short)
	words += upper(short) + " that less went in than holds it."
	if h.NoneNeeded >= 0.05 {
		none, _ := findings.Chance(h.NoneNeeded)
		words += " " + upper(none) + " that no sand is needed to hold it."
	}
	return words
}

// formedSays is what the grass made less what decayed, in words that say no more than the interval.
func formedSays(h *balance.Holding) string {
	f := h.Formed
	period := fmt.Sprintf("%s, by the rounds from %s to %s", h.Name(), month(h.From), month(h.To))
	switch {
	case f.Q05 > 0:
		return fmt.Sprintf("%s: the grass now makes %s kg/m² a year more organic matter than decays (%s)", period, num(f.Q50, 2), span(f.Q05, f.Q95, 2))
	case f.Q95 < 0:
		return fmt.Sprintf("%s: %s kg/m² a year more organic matter now decays than is made (%s)", period, num(-f.Q50, 2), span(-f.Q95, -f.Q05, 2))
	}
	return fmt.Sprintf("%s: no difference between made and decayed that this account could see, %s kg/m² a year (%s)", period, signed(f.Q50, 2), signedSpan(f.Q05, f.Q95, 2))
}
