package findings

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// pool lets the rounds of one layer lend one another their scatter: two or three greens that happen to agree would
// otherwise give a round a standard error of next to nothing, and later steps would believe it.
//
//	c² = Σ_r Σ_i ((y_ri − m_r)/m_r)² / Σ_r (G_r − 1)    se_r = c·m_r/√G_r    ν = Σ_r (G_r − 1)
//
// y_ri [%] is green i of round r, m_r the mean of its G_r greens; the scatter of greens and cores is taken as the
// same share of the mean in every round. A round of one green takes the shared scatter too, and then speaks for
// greens like it. Ignored: that rounds may really differ in evenness, and that the same greens come back.
// Source: pooled variance, Snedecor & Cochran, Statistical Methods, 8th ed. 1989, ch. 6 (from memory).
func pool(means []RoundMean, greens [][]cell) {
	var squares, df float64
	spread := 0 // rounds that show any
	for r, m := range means {
		if m.Mean <= 0 || len(greens[r]) < 2 {
			continue
		}
		spread++
		df += float64(len(greens[r]) - 1)
		for _, c := range greens[r] {
			d := c.om/float64(m.Mean) - 1
			squares += d * d
		}
	}
	if df == 0 {
		return
	}
	if squares == 0 { // no spread to lend
		return
	}
	c := math.Sqrt(squares / df)
	for r := range means {
		m := &means[r]
		if m.Mean <= 0 {
			continue
		}
		m.bound(c*float64(m.Mean)/math.Sqrt(float64(m.N)), df)
		m.Assumed = false
		m.Note = fmt.Sprintf("From the spread of the greens in %s together, as a share of the mean.", count(spread, "round"))
		switch {
		case spread == 1 && m.N > 1:
			m.Note = fmt.Sprintf("From the spread of the %d greens sampled.", m.N)
		case m.N == 1:
			m.Note = fmt.Sprintf("One green; the spread between greens of %s stands in.", count(spread, "other round"))
		}
	}
}

// bound gives the mean its standard error and the 90 % interval that follows from it.
func (m *RoundMean) bound(se, df float64) {
	mean, half := float64(m.Mean), quantile(0.95, df)*se
	m.SE, m.DF = unit.Percent(se), df
	m.Low90, m.High90 = unit.Percent(max(0, mean-half)), unit.Percent(min(100, mean+half))
}
