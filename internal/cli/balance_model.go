package cli

import (
	"fmt"
	"io"
	"time"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/internal/app"
)

// printModel prints what the calibrated model says of the layers: where their organic matter went, season by season,
// what holds them, and what one more of each kind of work would do.
func printModel(w io.Writer, s *app.Standing) error {
	m, err := s.Model()
	if err != nil {
		return err
	}
	flows, err := m.SeasonFlows()
	if err != nil {
		return err
	}
	printFlows(w, flows)
	l, err := m.Levers()
	if err != nil {
		return err
	}
	printLevers(w, l)
	printHolds(w, l, 1000/float64(s.SandDensity()))
	return nil
}

// printFlows prints the account of each layer by season.
func printFlows(w io.Writer, flows []calibrate.Flows) {
	var layers []calibrate.Layer
	by := map[calibrate.Layer][]calibrate.Flows{}
	for _, f := range flows {
		if len(by[f.Layer]) == 0 {
			layers = append(layers, f.Layer)
		}
		by[f.Layer] = append(by[f.Layer], f)
	}
	cell := func(kg, points calibrate.Estimate, sign float64) string {
		return number(sign*kg.Q50, 2) + " (" + withSign(100*points.Q50, 1) + ")"
	}
	for _, l := range layers {
		fmt.Fprintf(w, "\n%s by season, organic matter in kg/m² (and what that did to its content, in points):\n", underfoot.LayerName(l.Top, l.Bottom))
		g := newGrid("season", ">at first, %", ">made", ">decayed", ">taken out", ">sunk in", ">buried", ">diluted by sand", ">at last, %")
		for _, f := range by[l] {
			g.row(seasonOf(f), number(100*f.Start.Q50, 1), cell(f.Made, f.ByMade, 1), cell(f.Decayed, f.ByDecay, -1), cell(f.TakenOut, f.ByTaking, -1),
				number(f.SunkIn.Q50, 2), cell(f.SunkOut, f.BySinking, -1), number(f.SandIn.Q50, 1)+" ("+withSign(100*f.BySand.Q50, 1)+")", number(100*f.End.Q50, 1))
		}
		g.print(w)
	}
	fmt.Fprintln(w, "Points of buried are those of what sank in and what was buried together; diluted: sand put into the layer, kg/m². Middles of the model's runs.")
}

// seasonOf names a leaf of the account by its year, or by its days where it is a part of one.
func seasonOf(f calibrate.Flows) string {
	from, to := underfoot.Date(f.From), underfoot.Date(f.To)
	if next := underfoot.DateOf(from.Time().AddDate(1, 0, 0)); next == to {
		if from.Time().Month() == time.January {
			return fmt.Sprint(from.Year())
		}
		return fmt.Sprintf("%d/%02d", from.Year(), to.Year()%100)
	}
	return from.String() + " to " + to.String()
}

// printLevers prints what one more of each kind of work would do.
func printLevers(w io.Writer, l *app.Levers) {
	fmt.Fprintln(w, "\nWhat one more would do, in points of organic matter, beside going on as it is:")
	g := newGrid("a year", "layer", ">by "+l.Horizons[0].String(), ">9 in 10", ">by "+l.Horizons[1].String(), ">9 in 10")
	for _, lever := range []struct {
		name    string
		effects []calibrate.Effect
	}{{"1 mm more sand", l.MoreSand}, {"one more coring", l.OneCoring}, {"10 kg/ha less nitrogen", l.LessNitrogen}} {
		for k, layer := range l.Layers {
			row := []string{lever.name, underfoot.LayerName(layer.Top, layer.Bottom)}
			for h := range l.Horizons {
				e := lever.effects[h*len(l.Layers)+k].Change
				row = append(row, withSign(100*e.Q50, 2), withSign(100*e.Q05, 2)+" to "+withSign(100*e.Q95, 2))
			}
			g.row(row...)
		}
	}
	g.print(w)
	fmt.Fprintf(w, "As it is: %s. The coring: %s.\n", l.Baseline, l.CoringName)
}

// printHolds prints the sand on top that brings each layer back to what it holds now.
func printHolds(w io.Writer, l *app.Levers, mm float64) {
	fmt.Fprintf(w, "\nSand on top that brings a layer back to what it holds on %s, mm a year, with the other work as it is:\n", l.From)
	g := newGrid("layer", ">by "+l.Horizons[0].String(), ">9 in 10", ">by "+l.Horizons[1].String(), ">9 in 10", ">spread in the last 12 months")
	for k, layer := range l.Layers {
		row := []string{underfoot.LayerName(layer.Top, layer.Bottom)}
		for _, list := range [][]calibrate.Holding{l.HoldingFirst, l.Holding} {
			if x := list[k]; app.Reached(x) {
				row = append(row, number(mm*x.Sand.Q50, 1), number(mm*x.Sand.Q05, 1)+" to "+number(mm*x.Sand.Q95, 1))
			} else {
				row = append(row, "not reached", "")
			}
		}
		g.row(append(row, number(l.AppliedMM, 1))...)
	}
	g.print(w)
	fmt.Fprintln(w, "Not reached: sand on top does not lower the layer in this time.")
}

// withSign prints a change with its sign; none on what rounds to nothing.
func withSign(v float64, decimals int) string {
	text := number(v, decimals)
	if v > 0 && text != number(0, decimals) {
		return "+" + text
	}
	return text
}
