package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"underfoot/unit"
)

// course is a simulated panel with a known truth.
type course struct {
	greens, rounds, cores             int
	slope                             float64 // points/a
	greenSD, roundSD, coreSD, benchSD float64 // points
	keep                              float64 // share of composites that were really taken
}

// observe draws one set of records, one round a year.
func (c course) observe(rng *rand.Rand) []Observation {
	obs, _ := c.happen(rng)
	return obs
}

// happen also gives what happened: the least-squares slope of what the sampled years did to all greens alike.
func (c course) happen(rng *rand.Rand) ([]Observation, float64) {
	start := time.Date(2015, 10, 8, 0, 0, 0, 0, time.UTC)
	level, year := make([]float64, c.greens), make([]float64, c.rounds)
	for i := range level {
		level[i] = 5 + c.greenSD*rng.NormFloat64()
	}
	for j := range year {
		year[j] = c.slope*float64(j) + c.roundSD*rng.NormFloat64()
	}
	var obs []Observation
	for i := range c.greens {
		for j := range c.rounds {
			if c.keep < 1 && rng.Float64() > c.keep {
				continue
			}
			cores := c.cores
			if c.keep < 1 {
				cores += rng.IntN(4)
			}
			noise := c.coreSD/math.Sqrt(float64(cores))*rng.NormFloat64() + c.benchSD*rng.NormFloat64()
			obs = append(obs, Observation{
				Green: fmt.Sprintf("g%02d", i+1), Round: fmt.Sprintf("r%02d", j+1),
				Date: start.AddDate(0, 0, int(math.Round(float64(j)*daysPerYear))), BottomMM: 20,
				OM: unit.Percent(max(0.01, level[i]+year[j]+noise)), U: unit.Percent(c.benchSD), Cores: cores,
			})
		}
	}
	columns, did := [][]float64{{}, {}}, []float64{}
	for j := range year {
		name := fmt.Sprintf("r%02d", j+1)
		if slices.ContainsFunc(obs, func(o Observation) bool { return o.Round == name }) {
			columns[0], columns[1], did = append(columns[0], 1), append(columns[1], math.Round(float64(j)*daysPerYear)/daysPerYear), append(did, year[j])
		}
	}
	var happened float64
	if w, ok := leastSquares(columns); ok {
		for j, v := range did {
			happened += w[1][j] * v
		}
	}
	return obs, happened
}

// The interval of the slope must hold what happened as often as it says, and that of the line behind the rounds the
// true slope, with a good or a bad year in the world or without.
func TestTrendIntervalHoldsTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates 2,400 courses")
	}
	cases := []struct {
		name string
		course
	}{
		{"6 rounds 18 greens, years scatter", course{18, 6, 5, 0.3, 0.5, 0.3, 1.5, 0.1, 1}},
		{"6 rounds 6 greens, years scatter", course{6, 6, 5, -0.2, 0.5, 0.3, 1.5, 0.1, 1}},
		{"5 rounds 6 greens, small scatter", course{6, 5, 5, 0, 0.4, 0.15, 1.5, 0.1, 1}},
		{"4 rounds 3 greens, years scatter", course{3, 4, 5, 0.5, 0.5, 0.3, 1.5, 0.1, 1}},
		{"3 rounds 6 greens, years scatter", course{6, 3, 5, 0.5, 0.5, 0.3, 1.5, 0.1, 1}},
		{"6 rounds 9 greens, holes and uneven cores", course{9, 6, 3, 0.3, 0.5, 0.25, 1.5, 0.2, 0.6}},
		{"10 rounds 12 greens, years scatter", course{12, 10, 5, 0.1, 0.5, 0.2, 1.5, 0.1, 1}},
		{"6 rounds 9 greens, years do not scatter", course{9, 6, 5, 0.3, 0.5, 0, 1.5, 0.1, 1}},
	}
	const runs = 300
	for i, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(20261125, uint64(i)))
			var held, behind, called, wrong float64
			for range runs {
				obs, happened := c.happen(rng)
				f, err := FitTrend(obs, Options{})
				if err != nil {
					t.Fatal(err)
				}
				if f.Lower95 <= happened && happened <= f.Upper95 {
					held++
				}
				if u := f.Underlying; u.Known && u.Lower95 <= c.slope && c.slope <= u.Upper95 {
					behind++
				}
				if f.Verdict != NoChange {
					called++
				}
				if f.Verdict == Rising && happened < 0 || f.Verdict == Falling && happened > 0 {
					wrong++
				}
			}
			t.Logf("of %d courses the 95 %% interval held what happened in %.3f, that of the line behind it the true slope in %.3f; a change was called in %.3f, the wrong way in %.3f",
				runs, held/runs, behind/runs, called/runs, wrong/runs)
			if got := held / runs; got < 0.92 || got > 0.98 {
				t.Errorf("95 %% interval held what happened in %.3f of courses, want 0.92 to 0.98", got)
			}
			high := 0.98
			if c.rounds <= kenwardRounds { // on the safe side there
				high = 1
			}
			if got := behind / runs; got < 0.92 || got > high {
				t.Errorf("95 %% interval of the line behind the rounds held the true slope in %.3f of courses, want 0.92 to 0.98", got)
			}
			if wrong/runs > 0.05 {
				t.Errorf("a change was called the wrong way in %.3f of runs", wrong/runs)
			}
		})
	}
}

// The spread between greens must lie in its interval as often as it says.
func TestSpreadIntervalHoldsTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("simulates 900 courses")
	}
	cases := []struct {
		name string
		course
	}{
		{"18 greens 6 rounds", course{18, 6, 5, 0.3, 0.5, 0.3, 1.5, 0.1, 1}},
		{"6 greens 4 rounds", course{6, 4, 5, 0.3, 0.5, 0.3, 1.5, 0.1, 1}},
		{"9 greens 6 rounds with holes", course{9, 6, 3, 0.3, 0.5, 0.25, 1.5, 0.2, 0.6}},
	}
	const runs = 300
	for i, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(20261126, uint64(i)))
			var held, out, greens float64
			for range runs {
				s, err := CompareGreens(c.observe(rng))
				if err != nil {
					t.Fatal(err)
				}
				if float64(s.SDLower95) <= c.greenSD && c.greenSD <= float64(s.SDUpper95) {
					held++
				}
				for _, g := range s.Greens {
					greens++
					if g.StandsOut {
						out++
					}
				}
			}
			t.Logf("interval held the truth in %.3f of %d courses; %.3f of greens stood out", held/runs, runs, out/greens)
			if got := held / runs; got < 0.92 || got > 0.98 {
				t.Errorf("95 %% interval held the truth in %.3f of courses, want 0.92 to 0.98", got)
			}
		})
	}
}

func BenchmarkCourse(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	var obs []Observation
	for l := range 3 {
		for _, o := range (course{18, 6, 5, 0.3, 0.5, 0.3, 1.5, 0.1, 1}).observe(rng) {
			o.TopMM, o.BottomMM = unit.Millimetres(20*l), unit.Millimetres(20*l+20)
			obs = append(obs, o)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Layers(obs, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
