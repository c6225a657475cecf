package web

import (
	"fmt"
	"strings"

	"underfoot/findings"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// materialOf sets the change at fixed depth beside that of the material that lay there first.
func materialOf(st *standing) page.Material {
	m, err := st.Material("")
	switch {
	case err != nil:
		return page.Material{Why: page.Sentence(err.Error())}
	case !m.Known:
		return page.Material{Why: m.Why}
	}
	out := page.Material{Reference: "Followed from the round of " + page.Day(m.Date) + ".", Method: m.Method, Notes: m.Notes}
	for i := range m.Bands {
		out.Views = append(out.Views, bandView(st, &m.Bands[i]))
	}
	return out
}

// z90 is the half width of the interval that holds 9 times in 10, in standard errors of a normal distribution.
const z90 = 1.645

func withError(mid, se float64) figure.Estimate {
	return figure.Estimate{Mid: mid, Outer: figure.Interval{Low: max(0, mid-z90*se), High: mid + z90*se}}
}

func bandView(st *standing, b *findings.MaterialBand) page.View {
	top, bottom := float64(b.TopMM), float64(b.BottomMM)
	f := figure.Views{Layer: layerName(top, bottom), Width: 390, Height: 200}
	whole := st.Layer(top, bottom)
	if whole != nil { // all its rounds, also those in which the material lay deeper than was sampled
		f.Fixed = roundsOf(whole)
	}
	t := page.Table{
		Caption: "The material of " + layerName(top, bottom) + ", by round",
		Head:    []string{"Round", "Fixed depth, %", "Material lies at, mm", "Material, %", "Organic, kg/m²", "Sand laid since, mm"},
	}
	for _, r := range b.Rounds {
		row := []string{r.Round + ", " + page.PlainDay(r.Date), "–", page.Num(float64(r.TopMM), 0) + "–" + page.Num(float64(r.BottomMM), 0), "–", "", ""}
		if r.FixedKnown {
			if whole == nil {
				f.Fixed = append(f.Fixed, figure.Round{At: r.Date, Estimate: withError(float64(r.Fixed), float64(r.FixedSE))})
			}
			row[1] = page.Num(float64(r.Fixed), 2) + " ± " + page.Num(float64(r.FixedSE), 2)
		}
		if r.OMKnown {
			f.Material = append(f.Material, figure.Followed{
				At: r.Date, Top: float64(r.TopMM), Bottom: float64(r.BottomMM), Estimate: withError(float64(r.OM), float64(r.SE)),
			})
			row[3] = page.Num(float64(r.OM), 2) + " ± " + page.Num(float64(r.SE), 2)
		}
		row[4] = page.Num(float64(r.Organic), 2) + " ± " + page.Num(float64(r.OrganicSE), 2)
		row[5] = page.Num(float64(r.SandMM), 1)
		t.Rows = append(t.Rows, page.Row{Cells: row})
	}
	v := page.View{Depths: depths(st, top, bottom), Picture: page.Draw(f.Scene()), Says: b.Says, Table: t}
	for _, c := range []struct {
		name, unit string
		of         findings.MaterialChange
		decimals   int
	}{{"At fixed depth", "points a year", b.Fixed, 2}, {"The material", "points a year", b.Change, 2}, {"Its organic mass", "kg/m² a year", b.Stock, 3}} {
		if c.of.Known {
			v.Notes = append(v.Notes, changeNote(c.name, c.unit, c.of, c.decimals))
		}
	}
	return v
}

// changeNote tells a slope with its interval and chance.
func changeNote(name, unit string, c findings.MaterialChange, decimals int) string {
	verb, p := "rises", c.PRising
	if c.PerYear < 0 {
		verb, p = "falls", 1-p
	}
	words, _ := findings.Chance(p)
	s := fmt.Sprintf("%s: %s %s (%s), %s that it %s.", name, page.Signed(c.PerYear, decimals), unit, page.SignedSpan(c.Lower90, c.Upper90, decimals), words, verb)
	if c.Assumed {
		s = strings.TrimSuffix(s, ".") + ", with the scatter of rounds assumed."
	}
	return s
}
