package sampling

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Composite is one result there is or will be: the cores of one green in one round.
type Composite struct {
	Green, Round          string
	Year                  float64 // when, in years; counted as Components.Origin is
	Cores, Determinations int
}

// Trend is what a panel of rounds, with any holes, knows about the course's line through time.
type Trend struct {
	Rounds, Greens int // that the panel has

	components Components
	factor     [2][2]float64 // lower triangle L with L·Lᵀ = covariance of a green's level and slope
	system     mat.Cholesky  // of the mixed-model equations
	target     Target
	level      bool    // only a level: all rounds fall on one date
	date       float64 // that date; else the mean one, which the fixed effects are counted from to keep them apart
}

// Trend works out what a panel of rounds knows about the course's level and slope, by generalised least squares:
//
//	Var(y) = [same green](σ_g² + cov(tᵢ + tⱼ) + σ_b²tᵢtⱼ) + [same round]σ_r² + diag(σ_gt² + σ_c²/cores + σ_l²/determinations)
//
// with t from Origin. No results are needed, only who was sampled when. It solves Henderson's mixed-model equations with
// random effects scaled to variance 1, which stay regular when components are 0; their size grows with greens and
// rounds, not with results. Composites of one green and round are averaged first with their cores as weights. With a
// target of exactly the greens of a course, the figures are those of their own mean, sampled or not.
// Source: Henderson, Biometrics 31 (1975) 423–447 (from memory).
func (c Components) Trend(panel []Composite, target Target) (Trend, error) {
	if err := first(c.check(), checkPanel(panel)); err != nil {
		return Trend{}, err
	}
	if c.GreenTime+c.Core+c.Laboratory < least {
		return Trend{}, errors.New("trend: neither greens in time nor cores nor the laboratory vary, as if a composite told everything: give at least the variance between cores")
	}
	cells := merge(panel)
	greens, rounds := index(cells, func(x cell) string { return x.green }), index(cells, func(x cell) string { return x.round })
	if err := target.check(len(greens)); err != nil {
		return Trend{}, err
	}
	t := Trend{Rounds: len(rounds), Greens: len(greens), components: c, target: target, date: cells[0].year}
	t.level = !slices.ContainsFunc(cells, func(x cell) bool { return x.year != t.date })
	if !t.level {
		var off float64
		for _, x := range cells {
			off += x.year - cells[0].year
		}
		t.date += off / float64(len(cells))
	}
	t.factor = c.greenFactor()
	if !t.solve(cells, greens, rounds) {
		return Trend{}, errors.New("trend: these dates and components leave level and slope tangled: give rounds further apart")
	}
	return t, nil
}

// solve sets up and factors the equations; the fixed level and slope come last.
func (t *Trend) solve(cells []cell, greens, rounds map[string]int) bool {
	random := 2*t.Greens + t.Rounds
	size := random + t.fixed()
	system := mat.NewSymDense(size, nil)
	for i := range random {
		system.SetSym(i, i, 1)
	}
	for _, x := range cells {
		year := x.year - t.components.Origin
		g := 2 * greens[x.green]
		at := []int{g, g + 1, 2*t.Greens + rounds[x.round], random, random + 1}
		row := []float64{t.factor[0][0] + t.factor[1][0]*year, t.factor[1][1] * year, math.Sqrt(t.components.Round), 1, x.year - t.date}
		n := 3 + t.fixed()
		weight := 1 / (t.components.GreenTime + t.components.Core*x.core + t.components.Laboratory*x.laboratory)
		for a := range n {
			for b := range a + 1 {
				system.SetSym(at[b], at[a], system.At(at[b], at[a])+weight*row[a]*row[b])
			}
		}
	}
	return t.system.Factorize(system)
}

func (t *Trend) fixed() int {
	if t.level {
		return 1
	}
	return 2
}

// Slope is the estimate of the change a year, with as many degrees of freedom as there are rounds but two.
func (t *Trend) Slope() (Estimate, error) {
	if t.level {
		return Estimate{}, errors.New("slope: all rounds on one date: give rounds of at least 2 dates")
	}
	return Estimate{t.variance(0, 1), float64(t.Rounds - 2)}, nil
}

// Level is the estimate of the course's line at a year: its mean without what that date does to all greens alike.
func (t *Trend) Level(year float64) (Estimate, error) {
	switch {
	case !isYear(year):
		return Estimate{}, fmt.Errorf("level: year %g: give a date", year)
	case t.level && year != t.date:
		return Estimate{}, fmt.Errorf("level: at year %g, from rounds that were all at %g: one date says nothing about another", year, t.date)
	}
	return Estimate{t.variance(1, year-t.components.Origin), float64(max(0, t.Rounds-t.fixed()))}, nil
}

// variance is that of a·level + b·slope at Origin, of the target's greens.
func (t *Trend) variance(a, b float64) float64 {
	random := 2*t.Greens + t.Rounds
	want := mat.NewVecDense(random+t.fixed(), nil)
	want.SetVec(random, a)
	if !t.level {
		want.SetVec(random+1, b-a*(t.date-t.components.Origin))
	}
	first, second := t.factor[0][0]*a+t.factor[1][0]*b, t.factor[1][1]*b
	var unseen float64
	if g := float64(t.target); g > 0 {
		for i := range t.Greens {
			want.SetVec(2*i, first/g)
			want.SetVec(2*i+1, second/g)
		}
		unseen = (g - float64(t.Greens)) / (g * g) * (first*first + second*second)
	}
	var solved mat.VecDense
	// A system that could be factored can be solved; a large condition number is all that the error could say.
	_ = t.system.SolveVecTo(&solved, want)
	return mat.Dot(want, &solved) + unseen
}

// greenFactor is the Cholesky factor of [σ_g², cov; cov, σ_b²], also where variances are 0.
func (c Components) greenFactor() [2][2]float64 {
	var l [2][2]float64
	l[0][0] = math.Sqrt(c.Green)
	if c.Green > 0 {
		l[1][0] = c.LevelSlope / l[0][0]
	}
	l[1][1] = math.Sqrt(max(0, c.GreenSlope-l[1][0]*l[1][0]))
	return l
}

// cell is the result of one green in one round, however many composites it came from.
type cell struct {
	green, round     string
	year             float64
	core, laboratory float64 // what a variance of 1 between cores, and between determinations, adds to its variance
}

// merge averages the composites of each green and round, with their cores as weights, and puts the cells in order: rows
// given in another order must give the same numbers to the last digit.
func merge(panel []Composite) []cell {
	rows := slices.Clone(panel)
	slices.SortFunc(rows, func(a, b Composite) int {
		return cmp.Or(cmp.Compare(a.Round, b.Round), cmp.Compare(a.Green, b.Green), cmp.Compare(a.Year, b.Year),
			cmp.Compare(a.Cores, b.Cores), cmp.Compare(a.Determinations, b.Determinations))
	})
	var cells []cell
	for start := 0; start < len(rows); {
		end, cores := start, 0.0
		for ; end < len(rows) && rows[end].Round == rows[start].Round && rows[end].Green == rows[start].Green; end++ {
			cores += float64(rows[end].Cores)
		}
		x := cell{green: rows[start].Green, round: rows[start].Round, core: 1 / cores}
		for _, r := range rows[start:end] {
			share := float64(r.Cores) / cores
			x.year += share * r.Year
			x.laboratory += share * share / float64(r.Determinations)
		}
		if rows[start].Year == rows[end-1].Year {
			x.year = rows[start].Year
		}
		cells, start = append(cells, x), end
	}
	return cells
}

// index numbers the names in the order they come.
func index(cells []cell, name func(cell) string) map[string]int {
	at := map[string]int{}
	for _, x := range cells {
		if _, seen := at[name(x)]; !seen {
			at[name(x)] = len(at)
		}
	}
	return at
}

func checkPanel(panel []Composite) error {
	const doing = "trend"
	if len(panel) == 0 {
		return fmt.Errorf("%s: no rounds: give who was sampled when", doing)
	}
	for i, r := range panel {
		switch {
		case r.Green == "" || r.Round == "":
			return fmt.Errorf("%s: composite %d has no green or no round: name both", doing, i+1)
		case !isYear(r.Year):
			return fmt.Errorf("%s: green %s in round %s: year %g: give its date", doing, r.Green, r.Round, r.Year)
		case r.Cores < 1:
			return fmt.Errorf("%s: green %s in round %s: %s: give at least 1", doing, r.Green, r.Round, count(r.Cores, "core"))
		case r.Determinations < 1:
			return fmt.Errorf("%s: green %s in round %s: %s: give at least 1", doing, r.Green, r.Round, count(r.Determinations, "determination"))
		}
	}
	return nil
}
