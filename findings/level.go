package findings

import (
	"fmt"
	"math"
	"time"

	"underfoot/unit"
)

// RoundMean is the organic matter of one layer in one round, for greens like those sampled.
type RoundMean struct {
	Round         string
	Date          time.Time    // mean date of its composites
	Mean          unit.Percent // average of the greens, each counting once
	SE            unit.Percent // standard error, points
	DF            float64      // degrees of freedom; 0 where the spread was assumed, not estimated
	Low90, High90 unit.Percent // 90 % interval, never below 0
	N             int          // greens
	Cores         int          // cores in all, counting only those recorded
	Assumed       bool         // SE rests on the usual scatter of single cores
	Note          string       // what the standard error rests on, a plain sentence

	Same   unit.Percent // mean of the same greens as in the other rounds (see sameGreens); set by Layers
	SameSE unit.Percent // its standard error from cores and bench alone, points
}

// Level gives the mean organic matter of one layer in one round, for greens like those sampled.
//
//	m = Σ y_i/G    se = s/√G    ν = G − 1
//
// y_i [%] is green i, its composites averaged with their cores as weights, G the number of greens
// and s the standard deviation of the y_i. The spread of green composites holds the variance between greens,
// that of the cores within a green over the number of cores, and that of the bench, so s/√G carries
// all three. With one green there is no spread to see, and
//
//	se = √((m/3)²/cores + u²)
//
// from the usual scatter of single cores; this then speaks of that green alone. The same scatter stands in where all
// greens read the same. No finite-population
// correction is made: the answer is for greens like these, not only for these.
// Source: two-stage sampling, Cochran, Sampling Techniques, 3rd ed. 1977, section 10.3 (from memory).
func Level(obs []Observation) (RoundMean, error) {
	if len(obs) == 0 {
		return RoundMean{}, fmt.Errorf("mean of a round: no observations: hand in the composites of one layer and round")
	}
	if err := check(obs); err != nil {
		return RoundMean{}, fmt.Errorf("mean of a round: %w", err)
	}
	cs := cells(obs)
	for _, c := range cs {
		if c.round != cs[0].round {
			return RoundMean{}, fmt.Errorf("mean of a round: rounds %q and %q: hand in one round at a time", cs[0].round, c.round)
		}
	}
	return level(cs), nil
}

func level(cs []cell) RoundMean {
	g := float64(len(cs))
	m := RoundMean{Round: cs[0].round, N: len(cs), Date: middle(cs)}
	mean := meanOM(cs)
	var ss float64
	for _, c := range cs {
		ss += (c.om - mean) * (c.om - mean)
		if !c.guessed {
			m.Cores += int(c.cores)
		}
	}
	var se float64
	switch {
	case len(cs) > 1 && (ss > 0 || mean == 0):
		m.DF = g - 1
		se = math.Sqrt(ss / m.DF / g)
		m.Note = fmt.Sprintf("From the spread of the %d greens sampled.", len(cs))
	default:
		for _, c := range cs {
			se += assumedVariance(c, mean) / g / g
		}
		se = math.Sqrt(se)
		m.Assumed = true
		m.Note = "One green: the interval is for that green alone and rests on the usual scatter of single cores, a third of the mean."
		if len(cs) > 1 {
			m.Note = "All greens read the same, which is luck or rounding: the interval rests on the usual scatter of single cores, a third of the mean."
		}
		if cs[0].guessed {
			m.Note += " The number of cores was not recorded; five were assumed."
		}
	}
	m.Mean = unit.Percent(mean)
	m.bound(se, m.DF)
	return m
}

// assumedVariance is the variance [points²] of a composite about its green, from the usual scatter
// of single cores and the known uncertainty of the measurement.
func assumedVariance(c cell, mean float64) float64 {
	sd := coreScatter * mean
	return sd*sd/c.cores + c.u*c.u
}

// middle is the mean date of the cells.
func middle(cs []cell) time.Time {
	var sum time.Duration
	for _, c := range cs {
		sum += c.date.Sub(cs[0].date) / time.Duration(len(cs))
	}
	return cs[0].date.Add(sum)
}
