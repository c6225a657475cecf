package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"underfoot/unit"
)

// Observation is the organic matter of one composite: the cores of one green and layer, burnt whole.
type Observation struct {
	Green           string
	Round           string // rounds with the same name are one; empty means the date names it
	Date            time.Time
	TopMM, BottomMM unit.Millimetres
	OM              unit.Percent // of oven-dry mass
	U               unit.Percent // standard uncertainty of the composite as a measurement, points; 0 unknown
	Cores           int          // cores in the composite; 0 unknown
}

// What is assumed where the records are silent.
const (
	// usualCores is the number of cores taken to be in a composite that does not say: five to a
	// green (common practice, no source).
	usualCores = 5
	// coreScatter is the standard deviation of single cores of one green as a share of the mean: a
	// third, dimensionless (common practice, no source). It is used only where no repeated sampling
	// of the same greens shows the scatter itself.
	coreScatter = 1.0 / 3
	// daysPerYear turns days into years: the Julian year of 365.25 d (IAU 1976 system; from memory).
	daysPerYear = 365.25
)

// cell is one green in one round: its composites averaged, weighted by their cores.
type cell struct {
	green, round string
	date         time.Time
	om, u        float64 // %, points
	seen         float64 // om before it was brought to the level of another round
	cores        float64 // never 0
	guessed      bool    // the number of cores was not recorded
}

// check refuses what no arithmetic can use, and observations of several layers thrown together.
func check(obs []Observation) error {
	for _, o := range obs {
		where := fmt.Sprintf("organic matter of green %q in round %q", o.Green, o.Round)
		switch v := float64(o.OM); {
		case o.Green == "":
			return fmt.Errorf("organic matter in round %q: the green has no name: say which green it is from", o.Round)
		case o.Date.IsZero():
			return fmt.Errorf("%s: no date: give the day the cores were taken", where)
		case math.IsNaN(v) || v < 0 || v > 100:
			return fmt.Errorf("%s: %g %% is not a share of the dry mass: allowed is 0 to 100 %%", where, v)
		case !(float64(o.U) >= 0) || math.IsInf(float64(o.U), 0):
			return fmt.Errorf("%s: standard uncertainty %g points: allowed is 0 (unknown) or more", where, float64(o.U))
		case !(o.TopMM >= 0 && o.BottomMM > o.TopMM):
			return fmt.Errorf("%s: layer %g–%g mm: allowed is a top at 0 mm or deeper and a bottom below it", where, float64(o.TopMM), float64(o.BottomMM))
		case o.Cores < 0:
			return fmt.Errorf("%s: %d cores: allowed is 0 (unknown) or more", where, o.Cores)
		case o.TopMM != obs[0].TopMM || o.BottomMM != obs[0].BottomMM:
			return fmt.Errorf("%s: layer %g–%g mm among observations of %g–%g mm: hand in one layer at a time",
				where, float64(o.TopMM), float64(o.BottomMM), float64(obs[0].TopMM), float64(obs[0].BottomMM))
		}
	}
	return nil
}

// cells averages the composites of the same green and round, weighting by cores, and sorts by green
// and then by date: several composites of one green are more cores, not more greens.
func cells(obs []Observation) []cell {
	type key struct{ green, round string }
	at := make(map[key]int, len(obs))
	out := make([]cell, 0, len(obs))
	days := make([]float64, 0, len(obs)) // core-weighted days since the first date of the cell
	for _, o := range obs {
		c := cell{green: o.Green, round: o.Round, date: o.Date, cores: float64(o.Cores)}
		if c.round == "" {
			c.round = o.Date.Format(time.DateOnly)
		}
		if c.cores == 0 {
			c.cores, c.guessed = usualCores, true
		}
		k := key{c.green, c.round}
		i, seen := at[k]
		if !seen {
			i = len(out)
			at[k] = i
			out, days = append(out, cell{green: c.green, round: c.round, date: c.date}), append(days, 0)
		}
		s := &out[i]
		s.om += c.cores * float64(o.OM)
		s.u += c.cores * float64(o.U) * c.cores * float64(o.U)
		s.cores += c.cores
		s.guessed = s.guessed || c.guessed
		days[i] += c.cores * o.Date.Sub(s.date).Hours() / 24
	}
	for i := range out {
		s := &out[i]
		s.om /= s.cores
		s.seen = s.om
		s.u = math.Sqrt(s.u) / s.cores
		s.date = s.date.Add(time.Duration(days[i] / s.cores * 24 * float64(time.Hour)))
	}
	slices.SortFunc(out, func(a, b cell) int {
		if c := strings.Compare(a.green, b.green); c != 0 {
			return c
		}
		if c := a.date.Compare(b.date); c != 0 {
			return c
		}
		return strings.Compare(a.round, b.round)
	})
	return out
}

// meanOM is the plain average of the cells [%].
func meanOM(cs []cell) float64 {
	var sum float64
	for _, c := range cs {
		sum += c.om
	}
	return sum / float64(len(cs))
}
