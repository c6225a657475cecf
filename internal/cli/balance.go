package cli

import (
	"fmt"
	"io"

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
	if s.Balance() == nil {
		fmt.Fprintln(w, s.Why)
		return nil
	}
	printHoldings(w, s)
	for _, h := range s.Balance().Layers {
		printAccounts(env, h)
	}
	fmt.Fprintln(w, "\nSand put on, mean of the course:")
	g := newGrid("year", ">spread, mm", ">in holes and injected, mm", ">kg/m²", ">t, dry", ">dressings")
	for _, e := range s.Seasons {
		g.row(fmt.Sprint(e.Year), number(e.SurfaceMM, 1), number(e.DeepMM, 1), number(e.SandKgM2, 1), number(e.SandKgM2*s.AreaM2/1000, 1), fmt.Sprint(e.Dressings))
	}
	g.print(w)
	fmt.Fprintf(w, "1 mm is %s kg/m² of %s. Sand to hold: into the layer itself, with coring as it was.\n", number(float64(s.SandDensity())/1000, 2), s.Sand.Title())
	for _, x := range append(s.Notes, s.Balance().Warnings...) {
		fmt.Fprintln(w, "note: "+x)
	}
	return nil
}

// printHoldings prints a line for every layer that has an account, and why the others have none.
func printHoldings(w io.Writer, s *app.Standing) {
	g := newGrid("layer", ">OM, %", ">net formed, kg/m² a year", ">9 in 10", ">sand to hold, mm a year", ">9 in 10", ">put in lately, mm a year", "rounds")
	mm := 1000 / float64(s.SandDensity())
	var without []string
	for _, h := range s.Balance().Layers {
		if !h.Answered() {
			without = append(without, h.Reason)
			continue
		}
		hold := h.Hold.Times(mm)
		g.row(underfoot.LayerName(float64(h.Top), float64(h.Bottom)), number(float64(h.OM.Percent()), 1), number(h.Formed.Value, 2), between(h.Formed, 2),
			number(hold.Value, 1), between(hold, 1), number(h.Applied.Times(mm).Value, 1),
			fmt.Sprintf("%d from %s to %s", h.Intervals+1, h.From.Format("2006-01-02"), h.To.Format("2006-01-02")))
	}
	if len(g.rows) > 0 {
		g.print(w)
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
