package cli

import (
	"fmt"
	"strings"

	"underfoot/internal/app"
	"underfoot/sieve"
)

type sieveCommand struct {
	source
}

// Run prints what the sieves say about every sand and ash.
func (c *sieveCommand) Run(env *Env) error {
	list, err := c.records(env)
	if err != nil {
		return err
	}
	rows := []app.SieveRow{}
	for _, rs := range list {
		rows = append(rows, app.Sieve(rs)...)
	}
	if c.JSON {
		return printJSON(env.Stdout, rows)
	}
	if len(rows) == 0 {
		fmt.Fprintln(env.Stdout, "There is no sieve table: write what stayed on each sieve into sieve.csv (source, sieve_mm, retained_g), the pan as 0 mm.")
		return nil
	}
	c.print(env, rows)
	for _, rs := range list {
		for _, says := range app.GrainsOf(rs).Says() {
			fmt.Fprintln(env.Stdout, says)
		}
	}
	fmt.Fprintln(env.Stdout, "Care: "+strings.Join(app.SieveCautions(), " "))
	return nil
}

func (c *sieveCommand) print(env *Env, rows []app.SieveRow) {
	out := env.Stdout
	g := newGrid("source", ">g", ">lost, %", ">D10, mm", ">D15", ">D50", ">D85", ">D90", ">D60/D10", ">curvature", ">fineness", "limits", "")
	marks := 0
	for _, r := range rows {
		mark := ""
		if len(r.Warnings) > 0 {
			marks++
			mark = fmt.Sprintf("[%d]", marks)
		}
		g.row(r.Source, maybe(r.MassRetainedG, 2), maybe(r.LossPercent, 1), maybe(r.D10, 3), maybe(r.D15, 3), maybe(r.D50, 3), maybe(r.D85, 3), maybe(r.D90, 3),
			maybe(r.Uniformity, 2), maybe(r.Curvature, 2), maybe(r.FinenessIf, 2), limitsMet(r.Limits), mark)
	}
	g.print(out)
	marks = 0
	for _, r := range rows {
		if len(r.Warnings) > 0 {
			marks++
			fmt.Fprintf(out, "[%d] %s: %s\n", marks, r.Source, strings.Join(r.Warnings, "; "))
		}
	}
	classes := sieve.Construction().Names
	heads := []string{"% of mass"}
	for i := range classes {
		heads = append(heads, ">"+classes[len(classes)-1-i])
	}
	g = newGrid(heads...)
	for _, r := range rows {
		cells := []string{r.Source}
		for i := range classes {
			cells = append(cells, classCell(r.Classes, classes[len(classes)-1-i]))
		}
		g.row(cells...)
	}
	g.print(out)
	for _, r := range rows {
		for _, l := range r.Limits {
			if l.Verdict == string(sieve.NotMet) || l.Verdict == string(sieve.TooClose) {
				fmt.Fprintf(out, "%s: %s: %s %%, allowed %s: %s\n", r.Source, l.Limit, limitFound(l), l.Allowed, l.Verdict)
			}
		}
	}
	fmt.Fprintf(out, "%s. An en dash is not known: nothing is guessed beyond the sieves used. Classes and limits are those of the construction recommendation; USDA and ISO 14688-1 are in --json.\n",
		counted(len(rows), "sieving", "sievings"))
}

// classCell gives the percent of a class; a class that was given together with a neighbour is a dash.
func classCell(list []app.SieveClass, name string) string {
	for _, k := range list {
		if k.Class == name {
			return number(k.Percent, 1)
		}
	}
	return "–"
}

func limitFound(l app.SieveLimit) string {
	if l.Found != nil {
		return number(*l.Found, 1) + " ± " + number(l.SD, 1)
	}
	return number(l.Low, 1) + " to " + number(l.High, 1)
}

func limitsMet(list []app.SieveLimit) string {
	n := map[string]int{}
	for _, l := range list {
		n[l.Verdict]++
	}
	var parts []string
	for _, v := range []sieve.Verdict{sieve.Met, sieve.NotMet, sieve.TooClose, sieve.NotMeasured} {
		if n[string(v)] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[string(v)], v))
		}
	}
	return strings.Join(parts, ", ")
}
