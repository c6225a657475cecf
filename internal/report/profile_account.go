package report

import (
	"fmt"
	"math"
	"time"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/internal/figure"
)

// leafName names a leaf of the account: "2025", or "2026 to 13 Oct" where the year is not whole.
func leafName(f calibrate.Flows) string {
	from, to := underfoot.Date(f.From), underfoot.Date(f.To)
	year := from.Time().Format("2006")
	switch {
	case from.Time().YearDay() > 1:
		return year + " from " + from.Time().Format("2 January")
	case to.Time().YearDay() > 1:
		return year + " up to " + to.Time().Format("2 January")
	}
	return year
}

// lastSeason gives the account of the last season that is long enough to speak of, layer by layer.
func (p Profile) lastSeason() []calibrate.Flows {
	var out []calibrate.Flows
	list, _ := p.o.Model.SeasonFlows() // AccountSays says why there is none
	for _, f := range list {
		if f.To-f.From < 240 && len(out) > 0 {
			continue
		}
		if len(out) > 0 && f.From != out[0].From {
			out = nil
		}
		out = append(out, f)
	}
	return out
}

// inPoints writes a change of a mass fraction in points, with its sign.
func inPoints(e calibrate.Estimate) string { return signed(100*e.Q50, 2) }

// AccountSays tells where organic matter of the layer at the surface went in the last season.
func (p Profile) AccountSays() string {
	list := p.lastSeason()
	if len(list) == 0 {
		_, err := p.o.Model.SeasonFlows()
		if err == nil {
			return ""
		}
		return sentence(err.Error())
	}
	f := list[0]
	size := func(e calibrate.Estimate) string { return num(math.Abs(100*e.Q50), 2) }
	words := fmt.Sprintf("In %s, %s went from %s to %s %%: growth added %s points, decay took %s, sand diluted it by %s", leafName(f), nameOf(f.Layer),
		num(100*f.Start.Q50, 1), num(100*f.End.Q50, 1), size(f.ByMade), size(f.ByDecay), size(f.BySand))
	if f.TakenOut.Q95 > 0 {
		words += ", cores changed it by " + inPoints(f.ByTaking)
	}
	if f.BySinking.Q50 > 0 {
		return words + "; what moved past its lower edge added " + size(f.BySinking) + "."
	}
	return words + "; burial took " + size(f.BySinking) + "."
}

// AccountBars draws the account of the last season, in points.
func (p Profile) AccountBars() figure.BalanceBars {
	b := figure.BalanceBars{Title: "Balance of organic matter", Unit: "points", Decimals: 2}
	for _, f := range p.lastSeason() {
		in := func(name string, kind figure.TermKind, e calibrate.Estimate) figure.BalanceTerm {
			return figure.BalanceTerm{Name: name, Kind: kind, Estimate: inPercent(e)}
		}
		g := figure.BalanceGroup{Name: nameOf(f.Layer) + ", " + leafName(f), Terms: []figure.BalanceTerm{
			in("made by growth", figure.Made, f.ByMade), in("decayed", figure.Decayed, f.ByDecay),
		}}
		if f.TakenOut.Q95 > 0 {
			g.Terms = append(g.Terms, in("taken out with cores", figure.TakenOut, f.ByTaking))
		}
		if f.Layer.Top == 0 {
			g.Terms = append(g.Terms, in("buried below", figure.Buried, f.BySinking))
		} else {
			g.Terms = append(g.Terms, in("brought down, less buried", figure.BroughtDown, f.BySinking))
		}
		if f.SandIn.Q95 > 0 {
			g.Terms = append(g.Terms, in("diluted by sand", figure.Diluted, f.BySand))
		}
		net := 100 * (f.End.Q50 - f.Start.Q50)
		g.Net = &figure.Estimate{Mid: net}
		b.Groups = append(b.Groups, g)
	}
	return b
}

// AccountTables are the account of every season: in points of organic matter, and in kg/m².
func (p Profile) AccountTables() (changes, masses Table) {
	changes = Table{
		Caption: "What changed organic matter, points (middle of what the model holds likely)",
		Columns: []Column{
			{"Season", false}, {"Layer", false}, {"Start, %", true}, {"Made", true}, {"Decayed", true}, {"Taken out", true}, {"Sunk", true}, {"Sand", true}, {"End, %", true},
		},
	}
	masses = Table{
		Caption: "Organic matter and sand, kg/m² (middle of what the model holds likely; in brackets 9 chances in 10)",
		Columns: []Column{
			{"Season", false}, {"Layer", false}, {"Made", true}, {"Decayed", true}, {"Taken out", true}, {"Come down", true}, {"Gone down", true}, {"Sand in", true},
		},
	}
	flows, _ := p.o.Model.SeasonFlows()
	for _, f := range flows {
		changes.Rows = append(changes.Rows, []string{
			leafName(f), layerCell(f.Layer), num(100*f.Start.Q50, 2), inPoints(f.ByMade), inPoints(f.ByDecay), inPoints(f.ByTaking), inPoints(f.BySinking), inPoints(f.BySand), num(100*f.End.Q50, 2),
		})
		mass := func(e calibrate.Estimate, decimals int) string {
			if e.Q05 == 0 && e.Q95 == 0 {
				return "–"
			}
			return num(e.Q50, decimals) + " (" + span(e.Q05, e.Q95, decimals) + ")"
		}
		masses.Rows = append(masses.Rows, []string{
			leafName(f), layerCell(f.Layer), mass(f.Made, 2), mass(f.Decayed, 2), mass(f.TakenOut, 2), mass(f.SunkIn, 2), mass(f.SunkOut, 2), mass(f.SandIn, 1),
		})
	}
	return changes, masses
}

// dayOf turns a day count into a time.
func dayOf(day int) time.Time { return underfoot.Date(day).Time() }
