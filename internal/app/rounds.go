package app

import (
	"fmt"
	"math"
	"slices"
	"time"

	"underfoot/balance"
	"underfoot/bench"
	"underfoot/unit"
)

// balanceRounds joins the layers' means and densities round by round, and says what it had to leave out.
func balanceRounds(layers []Layer, rows []BenchRow) (rounds []balance.Round, notes []string) {
	at := map[string]int{}
	var sums []time.Duration
	var counts []int
	for _, row := range rows {
		if !row.Comparable() {
			continue
		}
		i, ok := at[row.Round]
		if !ok {
			i = len(rounds)
			at[row.Round] = i
			rounds = append(rounds, balance.Round{Label: row.Round, At: row.Of.Date.Time()})
			sums, counts = append(sums, 0), append(counts, 0)
		}
		sums[i] += row.Of.Date.Time().Sub(rounds[i].At)
		counts[i]++
	}
	for i := range rounds {
		rounds[i].At = rounds[i].At.Add((sums[i] / time.Duration(counts[i])).Round(24 * time.Hour))
	}
	impossible := 0
	for _, l := range layers {
		bare := 0 // rounds without any organic matter in the layer
		for _, m := range l.Rounds {
			i := at[m.Round]
			if m.Mean <= 0 || m.Same <= 0 {
				bare++
				continue
			}
			rho, se, odd := densityOf(l.Rows, m.Round)
			impossible += odd
			rounds[i].Layers = append(rounds[i].Layers, balance.Layer{
				Top: unit.Millimetres(l.TopMM), Bottom: unit.Millimetres(l.BottomMM), OM: m.Same.Fraction(), OMSE: m.SameSE.Fraction(),
				Density: rho, DensitySE: se,
			})
		}
		if bare > 0 {
			notes = append(notes, fmt.Sprintf("%s: %s without any organic matter left out of the account, which needs some", l.Name(), counted(bare, "round", "rounds")))
		}
	}
	if impossible > 0 {
		notes = append(notes, fmt.Sprintf("%d composites have a density that no layer has (the bench sheet says which): the account estimates their density from their organic matter", impossible))
	}
	rounds = slices.DeleteFunc(rounds, func(r balance.Round) bool { return len(r.Layers) == 0 })
	return joinSameDay(rounds), notes
}

// joinSameDay puts rounds of one day into one: the layers of the later label fill what the first does not have.
func joinSameDay(rounds []balance.Round) []balance.Round {
	var out []balance.Round
	for _, r := range rounds {
		i := slices.IndexFunc(out, func(o balance.Round) bool { return o.At.Equal(r.At) })
		if i < 0 {
			out = append(out, r)
			continue
		}
		for _, l := range r.Layers {
			if !slices.ContainsFunc(out[i].Layers, func(o balance.Layer) bool { return l.Top < o.Bottom && o.Top < l.Bottom }) {
				out[i].Layers = append(out[i].Layers, l)
			}
		}
	}
	return out
}

// densityOf gives the mean bulk density of a layer in a round and its standard error: the spread of the composites, but
// never less than what one composite's own uncertainty allows. A measured density that no layer can have is a wrong
// count of cores or a wrong mass; the density estimated from the organic matter stands in, and odd counts those.
func densityOf(rows []BenchRow, round string) (mean, se unit.KgPerM3, odd int) {
	var n, sum, squares, own float64
	settings := bench.Defaults()
	for _, row := range rows {
		if row.Round != round {
			continue
		}
		rho := row.Result.BulkDensity
		if rho.Value < bench.DensityLow || rho.Value > bench.DensityHigh {
			share := min(1, max(0, row.Result.OrganicMatter.Fraction()))
			if estimated, err := settings.Mixture.Density(share); err == nil {
				rho.Value, rho.Standard = estimated, estimated*unit.KgPerM3(settings.MixtureRelative)
				odd++
			}
		}
		n++
		sum += float64(rho.Value)
		squares += float64(rho.Value) * float64(rho.Value)
		own += float64(rho.Standard)
	}
	mean = unit.KgPerM3(sum / n)
	floor := own / n / math.Sqrt(n)
	if n > 1 {
		spread := math.Sqrt(max(0, (squares-sum*sum/n)/(n-1)) / n)
		floor = max(floor, spread)
	}
	return mean, unit.KgPerM3(floor), odd
}
