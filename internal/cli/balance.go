package cli

import (
	"fmt"
	"io"
	"slices"

	"underfoot"
	"underfoot/balance"
	"underfoot/internal/app"
)

type balanceCommand struct {
	source
}

// Run prints the account of every layer and the sand that would hold it.
func (c *balanceCommand) Run(env *Env) error {
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, s.BalanceFound())
	}
	w := env.Stdout
	fmt.Fprintf(w, "%s, %s\n", s.Records.Course.Title(), s.AsOf)
	sheet := s.Balance()
	if sheet == nil {
		fmt.Fprintln(w, s.Why)
		return nil
	}
	printHoldings(w, s, sheet)
	if s.Modelled() {
		if err := printModel(w, s); err != nil {
			return err
		}
	} else {
		for _, h := range sheet.Layers {
			printAccounts(env, h)
		}
	}
	fmt.Fprintln(w, "\nSand put on, mean of the course:")
	g := newGrid("year", ">spread, mm", ">in holes and injected, mm", ">kg/m²", ">t, dry", ">dressings")
	for _, e := range s.Seasons {
		g.row(fmt.Sprint(e.Year), number(e.SurfaceMM, 1), number(e.DeepMM, 1), number(e.SandKgM2, 1), number(e.SandKgM2*s.AreaM2/1000, 1), fmt.Sprint(e.Dressings))
	}
	g.print(w)
	fmt.Fprintf(w, "1 mm is %s kg/m² of %s. Sand to hold: into the layer itself, with coring as it was.\n", number(float64(s.SandDensity())/1000, 2), s.Sand.Title())
	notes := append(slices.Clone(s.Notes), sheet.Warnings...)
	if why := s.WhyByRounds(); why != "" {
		notes = append(notes, why)
	}
	for _, x := range notes {
		fmt.Fprintln(w, "note: "+x)
	}
	return nil
}

// printHoldings prints a line for every layer that has an account, and why the others have none; under the answer of the
// model that of the rounds alone.
func printHoldings(w io.Writer, s *app.Standing, sheet *balance.Sheet) {
	g := newGrid("layer", "by", ">OM, %", ">net formed, kg/m² a year", ">9 in 10", ">sand to hold, mm a year", ">9 in 10", ">put in lately, mm a year", "rounds")
	mm := 1000 / float64(s.SandDensity())
	var without []string
	for _, h := range sheet.Layers {
		if !h.Answered() {
			without = append(without, h.Reason)
			continue
		}
		by, rounds := "rounds", fmt.Sprintf("%d from %s to %s", h.Intervals+1, h.From.Format("2006-01-02"), h.To.Format("2006-01-02"))
		if h.Basis == balance.ByModel {
			by = "model"
		}
		hold := h.Hold.Times(mm)
		g.row(underfoot.LayerName(float64(h.Top), float64(h.Bottom)), by, number(float64(h.OM.Percent()), 1), number(h.Formed.Q50, 2), between(h.Formed, 2),
			number(hold.Q50, 1), between(hold, 1), number(h.Applied.Times(mm).Q50, 1), rounds)
		if c := h.Check; c != nil {
			hold := c.Hold.Times(mm)
			g.row("", "rounds alone", "", number(c.Formed.Q50, 2), between(c.Formed, 2), number(hold.Q50, 1), between(hold, 1), "", "")
		}
	}
	if len(g.rows) > 0 {
		g.print(w)
	}
	if s.Modelled() {
		top := sheet.Layers[0]
		fmt.Fprintf(w, "By the model: the profile calibrated to the rounds, rates from %s to %s; by the rounds alone: the cross-check.\n",
			top.Since.Format("2006-01-02"), top.To.Format("2006-01-02"))
	}
	for _, why := range without {
		fmt.Fprintln(w, why)
	}
}

func between(e balance.Estimate, decimals int) string {
	return number(e.Q05, decimals) + " to " + number(e.Q95, decimals)
}

func printAccounts(env *Env, h balance.Holding) {
	if !h.Answered() {
		return
	}
	fmt.Fprintf(env.Stdout, "\n%s, organic matter in kg/m² (standard uncertainty):\n", underfoot.LayerName(float64(h.Top), float64(h.Bottom)))
	g := newGrid("from", "to", ">sand in", ">formed less decayed", ">sank in", ">sank out", ">with cores", ">change")
	pm := func(m balance.Measured) string { return number(m.Value, 2) + " (" + number(m.SE, 2) + ")" }
	for _, a := range h.Accounts {
		g.row(a.FromRound, a.ToRound, pm(a.Sand), pm(a.Formed), pm(a.EnteredOrganic), pm(a.LeftOrganic), pm(a.RemovedOrganic), pm(a.ChangeOrganic))
	}
	g.print(env.Stdout)
}
