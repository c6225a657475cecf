package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
	"underfoot/internal/figure"
)

// method says how it was measured, what was left out and why, and what weakens the answer.
func (b *builder) method() Section {
	if b.empty() {
		return Section{}
	}
	section := Section{Title: "How it was measured, and how sure it is"}
	section.Blocks = append(section.Blocks, Text{Words: b.measuredSays()})
	for _, t := range []Table{b.leftOut(), b.remarks()} {
		if len(t.Rows) > 0 {
			section.Blocks = append(section.Blocks, t)
		}
	}
	if items := b.methods(); len(items) > 0 {
		section.Blocks = append(section.Blocks, List{Title: "How it was worked out", Items: items, Fine: true})
	}
	if items := b.doubts(); len(items) > 0 {
		section.Blocks = append(section.Blocks, List{Title: "What weakens it", Items: items, Fine: true})
	}
	if h := b.holding(); h != nil && len(h.Budget) > 0 {
		section.Blocks = append(section.Blocks, b.budget())
	}
	return section
}

// measuredSays counts what was taken and says how it was burnt.
func (b *builder) measuredSays() string {
	whole, weighed, rounds := 0, 0, map[string]bool{}
	for i := range b.s.Bench {
		if row := &b.s.Bench[i]; row.Comparable() && b.ours(row.Green) {
			whole++
			rounds[row.Round] = true
			if len(row.Burnt) > 0 {
				weighed++
			}
		}
	}
	if whole == 0 {
		return "No composite is on record that was burnt whole."
	}
	words := fmt.Sprintf("%s from %s stand behind this report. Each composite, the cores of one green and layer, was dried and burnt whole, nothing screened out and nothing scooped; organic matter is what it lost on ignition, in %% of its oven-dry mass.",
		upper(count(whole, "composite", "composites")), count(len(rounds), "round", "rounds"))
	switch {
	case weighed == whole:
		words += " All were worked out from their crucible weighings."
	case weighed == 0:
		words += " All are results as a laboratory reported them."
	default:
		words += fmt.Sprintf(" %s worked out from crucible weighings; %s as a laboratory reported.", upper(count(weighed, "was", "were")), count(whole-weighed, "stands", "stand"))
	}
	words += b.burntAt()
	return words + " An interval in brackets holds 9 chances in 10 unless it says otherwise; ± is one standard error."
}

// burntAt gives the furnace temperatures on record, as a range.
func (b *builder) burntAt() string {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range b.s.Bench {
		if row := &b.s.Bench[i]; row.Comparable() && b.ours(row.Green) {
			for _, w := range row.Burnt {
				if w.AshC.Known {
					low, high = min(low, w.AshC.Value), max(high, w.AshC.Value)
				}
			}
		}
	}
	switch {
	case low > high:
		return " The furnace temperature was not written down."
	case low == high:
		return fmt.Sprintf(" The furnace stood at %s °C.", num(low, 0))
	}
	return fmt.Sprintf(" The furnace stood at %s to %s °C.", num(low, 0), num(high, 0))
}

func (b *builder) ours(green string) bool {
	return slices.ContainsFunc(b.s.Greens, func(g underfoot.Green) bool { return g.ID == green })
}

// methods gives how trends, evenness and the account were reckoned, layers of one method together.
func (b *builder) methods() []string {
	var trends, even, sinks grouped
	for i := range b.s.Layers {
		l := &b.s.Layers[i]
		if l.Trend.Estimated {
			trends.add(l.Trend.Method, l.Name())
		}
		if l.Even.Known {
			even.add(l.Even.Method, l.Name())
		}
	}
	if b.s.Balance() != nil {
		for _, h := range b.s.Balance().Layers {
			if h.Answered() {
				sinks.add("read "+h.LeavingHow, h.Name())
			}
		}
	}
	out := append(trends.lines("Trend of "), even.lines("Greens compared at ")...)
	out = append(out, sinks.lines("Organic matter of what sinks out of ")...)
	if b.accounted() {
		out = append(out, fmt.Sprintf("The account is closed for every layer and pair of rounds; its intervals come from %s random draws of all stated uncertainties (seed %d).",
			num(float64(b.s.Balance().Draws), 0), b.s.Balance().Seed))
	}
	return out
}

// doubts gives every warning of trends, evenness and the account, and what the standing left out.
func (b *builder) doubts() []string {
	var said grouped
	for i := range b.s.Layers {
		for _, w := range b.s.Layers[i].Trend.Warnings {
			said.add(w, b.s.Layers[i].Name())
		}
		if last := b.s.Layers[i].Last(); last.Assumed {
			said.add(last.Note, b.s.Layers[i].Name())
		}
		for _, w := range b.s.Layers[i].Even.Warnings {
			said.add(w, b.s.Layers[i].Name())
		}
	}
	out := said.lines("")
	if b.s.Balance() != nil {
		for _, w := range b.s.Balance().Warnings {
			out = append(out, sentence(w))
		}
	}
	for _, n := range b.s.Notes {
		out = append(out, sentence(n))
	}
	return out
}

// budget shows what the doubt of the account is made of.
func (b *builder) budget() Figure {
	h := b.holding()
	f := figure.Budget{Unit: "kg/m² a year", Decimals: 3, Width: 658}
	for _, part := range h.Budget {
		f.Shares = append(f.Shares, figure.Share{Name: upper(string(part.Origin)), Value: part.SE})
	}
	return Figure{
		Number: b.figure(), Panels: []Panel{{Scene: f.Scene()}},
		Says: "What the doubt about organic matter made in " + h.Name() + " comes from.",
		Sure: "Standard uncertainty of what was made less decayed, kg/m² a year; the parts add in squares.",
	}
}

// leftOut lists composites that stand in no trend and no account.
func (b *builder) leftOut() Table {
	var said grouped
	for i := range b.s.Bench {
		row := &b.s.Bench[i]
		switch {
		case row.Comparable() || !b.ours(row.Green):
		case row.Held:
			said.add(sentence("held, because the furnace run failed: "+strings.Join(row.RunFailed, "; ")), b.composite(row))
		case row.Known:
			said.add(sentence(bench.OtherQuantity{Method: row.Result.Method}.String()), b.composite(row))
		default:
			said.add(sentence(strings.Join(row.Warnings, "; ")), b.composite(row))
		}
	}
	return said.table("Kept on record and left out of trends and account", "Why")
}

// remarks lists what the bench warned of and had to assume, composite by composite.
func (b *builder) remarks() Table {
	var said grouped
	for i := range b.s.Bench {
		row := &b.s.Bench[i]
		if !row.Comparable() || !b.ours(row.Green) {
			continue
		}
		for _, w := range row.Warnings {
			said.add(sentence(w), b.composite(row))
		}
		for _, n := range row.Notes {
			said.add(sentence(n), b.composite(row))
		}
	}
	return said.table("Remarks of the bench on composites that count", "Remark")
}

// composite names a composite for people.
func (b *builder) composite(row *app.BenchRow) string {
	return fmt.Sprintf("%s, %s, %s", b.s.GreenTitle(row.Green), row.Of.Layer(), shortDay(row.Of.Date.Time()))
}
