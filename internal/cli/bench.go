package cli

import (
	"fmt"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
	"underfoot/unit"
)

type benchCommand struct {
	source

	Clay      float64 `placeholder:"PERCENT" help:"Clay in the mineral part, %, whose water is taken off in this list. Off unless given: with clean sand it moves a result by 0.1 to 0.3 points at most."`
	Carbonate float64 `placeholder:"PERCENT" help:"Carbonate in the mineral part, %, whose gas is taken off in this list. Off unless given: below 550 °C calcite hardly decomposes."`
}

// corrections are those asked for.
func (c *benchCommand) corrections() bench.Corrections {
	var out bench.Corrections
	if c.Clay != 0 {
		out.Clay = bench.ClayAt440(unit.Fraction(c.Clay / 100))
	}
	if c.Carbonate != 0 {
		out.Carbonate = bench.CarbonateAt440(unit.Fraction(c.Carbonate / 100))
	}
	return out
}

// Run prints what the bench says about every composite.
func (c *benchCommand) Run(env *Env) error {
	list, err := c.records(env)
	if err != nil {
		return err
	}
	rows := []app.BenchRow{}
	for _, rs := range list {
		corrected, err := app.BenchCorrected(rs, c.corrections())
		if err != nil {
			return err
		}
		rows = append(rows, corrected...)
	}
	if c.JSON {
		return printJSON(env.Stdout, rows)
	}
	g := newGrid("sample", "green", "date", "layer", ">OM, %", ">±", ">dry, g", ">cm³", ">kg/m³", "", ">OM, kg/m²", ">mineral, kg/m²", "")
	marks := 0
	for _, r := range rows {
		from := map[string]string{"measured": "", "mixture": "estimated"}[r.BulkDensityFrom]
		mark := ""
		if len(r.Warnings) > 0 {
			marks++
			mark = fmt.Sprintf("[%d]", marks)
		}
		g.row(r.Sample, r.Green, r.Date, underfoot.LayerName(r.TopMM, r.BottomMM), maybe(r.OrganicMatterPercent, 2), maybe(r.StandardUncertaintyPercent, 3),
			maybe(r.DryMassG, 2), maybe(r.VolumeCm3, 1), maybe(r.BulkDensityKgM3, 0), from, maybe(r.OrganicStockKgM2, 3), maybe(r.MineralKgM2, 2), mark)
	}
	g.print(env.Stdout)
	marks = 0
	for _, r := range rows {
		if len(r.Warnings) > 0 {
			marks++
			fmt.Fprintf(env.Stdout, "[%d] %s: %s\n", marks, r.Sample, strings.Join(r.Warnings, "; "))
		}
	}
	for _, rs := range list {
		for _, said := range app.RunsSay(rs) {
			fmt.Fprintln(env.Stdout, said)
		}
	}
	fmt.Fprintf(env.Stdout, "%s. ± is the standard uncertainty of the measurement; the spread between cores and greens is in findings.\n", counted(len(rows), "composite", "composites"))
	fmt.Fprintln(env.Stdout, "Care: "+strings.Join(bench.Cautions(), " "))
	return nil
}
