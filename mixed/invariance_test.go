package mixed

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// sketches are designs whose fits are well inside: what they say must not depend on how they are written.
var sketches = []sketch{
	{rows: 60, columns: 2, levels: []int{8}, sizes: []int{1}, seed: 1},
	{rows: 90, columns: 3, levels: []int{9}, sizes: []int{2}, weights: true, seed: 2},
	{rows: 120, columns: 2, levels: []int{9, 7}, sizes: []int{2, 1}, seed: 3},
	{rows: 90, columns: 2, levels: []int{10}, sizes: []int{2}, known: true, seed: 4},
}

func fitted(t *testing.T, d *Design, o Options) *Fitted {
	t.Helper()
	f, err := Fit(d, o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// near fails where two numbers differ by more than a share of the size given.
func near(t *testing.T, what string, got, want, size, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(size)) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// alikeFits holds everything a fit reports against another of the same data with y, and each column, in other units: y′ = unit·y, x′_j = x_j/column_j.
func alikeFits(t *testing.T, got, want *Fitted, unit float64, column []float64) {
	t.Helper()
	near(t, "sigma", got.Sigma, unit*want.Sigma, unit*want.Sigma, 1e-8)
	df, err := got.Satterthwaite()
	if err != nil {
		t.Fatal(err)
	}
	df0, err := want.Satterthwaite()
	if err != nil {
		t.Fatal(err)
	}
	kr, _, err := got.KenwardRoger()
	if err != nil {
		t.Fatal(err)
	}
	kr0, _, err := want.KenwardRoger()
	if err != nil {
		t.Fatal(err)
	}
	for j, name := range want.Names {
		by := unit * column[j]
		near(t, name, got.Beta[j], by*want.Beta[j], by*want.SE[j], 1e-8)
		near(t, name+" standard error", got.SE[j], by*want.SE[j], by*want.SE[j], 1e-8)
		near(t, name+" Satterthwaite", df[j], df0[j], df0[j], 1e-5)
		near(t, name+" Kenward–Roger", kr[j], kr0[j], kr0[j], 1e-7)
	}
	for i, c := range want.Components {
		near(t, c.Group+" "+c.Name, got.Components[i].SD, unit*c.SD, unit*want.Sigma, 1e-7)
		near(t, c.Group+" "+c.Name+" "+c.Other, got.Components[i].Correlation, c.Correlation, 1, 1e-7)
	}
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}

// reordered is a design with its rows in the order given.
func reordered(d *Design, order []int) *Design {
	pick := func(v []float64) []float64 {
		if v == nil {
			return nil
		}
		out := make([]float64, len(order))
		for i, o := range order {
			out[i] = v[o]
		}
		return out
	}
	out := &Design{Response: d.Response, Y: pick(d.Y), Names: d.Names, Weights: pick(d.Weights), KnownSD: pick(d.KnownSD)}
	for _, x := range d.Columns {
		out.Columns = append(out.Columns, pick(x))
	}
	for _, term := range d.Terms {
		var z [][]float64
		for _, column := range term.Z {
			z = append(z, pick(column))
		}
		level := make([]int32, len(order))
		for i, o := range order {
			level[i] = term.Level[o]
		}
		out.Terms = append(out.Terms, Term{Group: term.Group, Names: term.Names, Levels: term.Levels, Level: level, Z: z})
	}
	return out
}

func TestOrderOfRowsChangesNothing(t *testing.T) {
	for _, p := range sketches {
		t.Run(fmt.Sprintf("%+v", p), func(t *testing.T) {
			d := p.design()
			want := fitted(t, d, Options{})
			order := rand.New(rand.NewPCG(p.seed, 3)).Perm(p.rows)
			got := fitted(t, reordered(d, order), Options{})
			alikeFits(t, got, want, 1, ones(want.P))
			near(t, "criterion", got.Criterion, want.Criterion, want.Criterion, 1e-12)
			for i, o := range order {
				near(t, "fitted value", got.FittedValues()[i], want.FittedValues()[o], want.Sigma, 1e-8)
			}
		})
	}
}

func TestOrderAndNamesOfLevelsChangeNothing(t *testing.T) {
	for _, p := range sketches {
		t.Run(fmt.Sprintf("%+v", p), func(t *testing.T) {
			d := p.design()
			want := fitted(t, d, Options{})
			other := p.design()
			for k := range other.Terms {
				term := &other.Terms[k]
				to := rand.New(rand.NewPCG(p.seed, 4)).Perm(len(term.Levels))
				names := make([]string, len(to)+2) // and two levels without rows
				for l, m := range to {
					names[m] = "other " + term.Levels[l]
				}
				for i, l := range term.Level {
					term.Level[i] = int32(to[l])
				}
				names[len(to)], names[len(to)+1] = "unseen", "unseen too"
				term.Levels = names
			}
			slices.Reverse(other.Terms)
			got := fitted(t, other, Options{})
			slices.SortStableFunc(got.Components, func(a, b Component) int {
				return slices.Index([]string{"g0", "g1"}, a.Group) - slices.Index([]string{"g0", "g1"}, b.Group)
			})
			alikeFits(t, got, want, 1, ones(want.P))
			near(t, "criterion", got.Criterion, want.Criterion, want.Criterion, 1e-12)
			modes := map[string]float64{}
			for _, m := range got.Modes() {
				modes[m.Group+m.Level+m.Name] = m.Estimate
			}
			for _, m := range want.Modes() {
				near(t, "mode of "+m.Level, modes[m.Group+"other "+m.Level+m.Name], m.Estimate, want.Sigma, 1e-7)
			}
			if v := modes["g0unseen too"+"z0"]; v != 0 {
				t.Errorf("mode of a level without rows: %g", v)
			}
		})
	}
}

// y in another unit: coefficients, their errors and all standard deviations go with it, and the criterion moves by 2(n − p)·log of the unit.
func TestUnitOfTheResponse(t *testing.T) {
	for _, p := range sketches {
		for _, unit := range []float64{1e-6, 25.4, 1e9} {
			t.Run(fmt.Sprintf("%+v times %g", p, unit), func(t *testing.T) {
				want := fitted(t, p.design(), Options{})
				d := p.design()
				for i := range d.Y {
					d.Y[i] *= unit
				}
				for i := range d.KnownSD {
					d.KnownSD[i] *= unit
				}
				got := fitted(t, d, Options{})
				alikeFits(t, got, want, unit, ones(want.P))
				near(t, "criterion", got.Criterion, want.Criterion+2*float64(want.N-want.P)*math.Log(unit), 100, 1e-9)
			})
		}
	}
}

// A number added to y goes to the intercept, and a number added to a column is taken out of it by the intercept.
func TestOriginOfTheResponseAndOfAColumn(t *testing.T) {
	for _, p := range sketches {
		t.Run(fmt.Sprintf("%+v", p), func(t *testing.T) {
			want := fitted(t, p.design(), Options{})
			d := p.design()
			const y, x = 300, 2000
			for i := range d.Y {
				d.Y[i] += y
				d.Columns[1][i] += x
			}
			got := fitted(t, d, Options{})
			near(t, "criterion", got.Criterion, want.Criterion, want.Criterion, 1e-10)
			near(t, "sigma", got.Sigma, want.Sigma, want.Sigma, 1e-8)
			near(t, "intercept", got.Beta[0]+got.Beta[1]*x-y, want.Beta[0], want.SE[0], 1e-6)
			near(t, "slope", got.Beta[1], want.Beta[1], want.SE[1], 1e-7)
			near(t, "slope standard error", got.SE[1], want.SE[1], want.SE[1], 1e-8)
			for i, c := range want.Components {
				near(t, c.Group+" "+c.Name, got.Components[i].SD, c.SD, want.Sigma, 1e-7)
			}
		})
	}
}

// x in another unit: the coefficient alone goes with it, and the restricted criterion, which leaves out log|X'X|, moves by −2·log of the unit.
func TestUnitOfAColumn(t *testing.T) {
	for _, p := range sketches {
		for _, unit := range []float64{1e-7, 1000} {
			t.Run(fmt.Sprintf("%+v over %g", p, unit), func(t *testing.T) {
				want := fitted(t, p.design(), Options{})
				d := p.design()
				for i := range d.Y {
					d.Columns[1][i] /= unit
				}
				got := fitted(t, d, Options{})
				column := ones(want.P)
				column[1] = unit
				alikeFits(t, got, want, 1, column)
				near(t, "criterion", got.Criterion, want.Criterion-2*math.Log(unit), 100, 1e-9)
			})
		}
	}
}

// The origin of a slope that differs between levels: the model is the same, the standard deviation of the intercept is that at the new origin.
func TestOriginOfARandomSlope(t *testing.T) {
	p := sketch{rows: 120, columns: 2, levels: []int{12}, sizes: []int{2}, seed: 6}
	want := fitted(t, p.design(), Options{})
	d := p.design()
	const origin = 2020
	for i := range d.Y {
		d.Terms[0].Z[1][i] += origin
	}
	got := fitted(t, d, Options{})
	near(t, "criterion", got.Criterion, want.Criterion, want.Criterion, 1e-10)
	sd, slope, r := want.Components[0].SD, want.Components[1].SD, want.Components[2].Correlation
	near(t, "slope", got.Components[1].SD, slope, slope, 1e-7)
	at := math.Sqrt(sd*sd - 2*origin*r*sd*slope + origin*origin*slope*slope)
	near(t, "intercept at the new origin", got.Components[0].SD, at, at, 1e-7)
	for i, v := range want.FittedValues() {
		near(t, "fitted value", got.FittedValues()[i], v, want.Sigma, 1e-7)
	}
}

// Weights that all go up by a factor change σ alone, which is that of a row of weight one.
func TestWeightsOfAnySize(t *testing.T) {
	p := sketches[1]
	want := fitted(t, p.design(), Options{})
	d := p.design()
	for i := range d.Weights {
		d.Weights[i] *= 49
	}
	got := fitted(t, d, Options{})
	near(t, "criterion", got.Criterion, want.Criterion, want.Criterion, 1e-12)
	near(t, "sigma", got.Sigma, 7*want.Sigma, want.Sigma, 1e-8)
	for j := range want.Beta {
		near(t, want.Names[j], got.Beta[j], want.Beta[j], want.SE[j], 1e-9)
		near(t, want.Names[j], got.SE[j], want.SE[j], want.SE[j], 1e-9)
	}
	for i, c := range want.Components {
		near(t, c.Name, got.Components[i].SD, c.SD, c.SD, 1e-7)
	}
}

// A row may be split into two of the same response whose precisions add up to its own: coefficients and what is known of them stay, and −2 log
// likelihood gains that of the two being equal. Precisions are known here, for σ would learn from the pair.
func TestSplitWeightsOfKnownVariance(t *testing.T) {
	whole := sketch{rows: 40, columns: 2, levels: []int{8}, sizes: []int{2}, seed: 8}.design()
	order := make([]int, 0, 80)
	for i := range 40 {
		order = append(order, i, i)
	}
	parts := reordered(whole, order)
	for i := range 40 {
		v := 0.04 + 0.001*float64(i) // of the whole row; shares of the precision are 0.3 and 0.7
		whole.KnownSD = append(whole.KnownSD, math.Sqrt(v))
		parts.KnownSD = append(parts.KnownSD, math.Sqrt(v/0.3), math.Sqrt(v/0.7))
	}
	at := []float64{0.7, 0.2, 0.4}
	value := func(d *Design) (float64, []float64, [][]float64) {
		e := equationsOf(t, d, true)
		factors := [][]float64{{at[0], 0, at[1], at[2]}}
		l := e.bases[0].raise(factors[0], 2)
		v := e.evaluate([]float64{l[0] / e.unit, l[2] / e.unit, l[3] / e.unit, 0})
		e.settle()
		gamma := slices.Clone(e.gamma)
		for i := range gamma {
			gamma[i] *= e.unit
		}
		c := e.coefficientCovariance()
		for i := range c {
			for j := range c {
				c[i][j] *= e.variance() * e.unit * e.unit
			}
		}
		return e.criterion(v), e.fixed.coefficients(gamma), e.fixed.covariance(c)
	}
	wholeValue, beta, cov := value(whole)
	partsValue, beta2, cov2 := value(parts)
	for j := range beta {
		near(t, "coefficient", beta2[j], beta[j], 1, 1e-10)
		near(t, "variance", cov2[j][j], cov[j][j], cov[j][j], 1e-10)
	}
	apart := 0.0 // of the pair: difference 0, variance v(1/0.3 + 1/0.7)
	for _, s := range whole.KnownSD {
		apart += math.Log(2 * math.Pi * s * s * (1/0.3 + 1/0.7))
	}
	near(t, "criterion", partsValue, wholeValue+apart, 100, 1e-10)
}

// Blocks are dealt into a fixed number of pieces and added in order: the last bit does not depend on how many processors there are.
func TestNumberOfProcessorsChangesNothing(t *testing.T) {
	for _, p := range []sketch{
		{rows: 9000, columns: 3, levels: []int{1500}, sizes: []int{2}, seed: 9},
		{rows: 9000, columns: 3, levels: []int{1500}, sizes: []int{2}, known: true, weights: true, seed: 10},
	} {
		d := p.design()
		var first string
		for _, processors := range []int{1, 2, 3, 8} {
			before := runtime.GOMAXPROCS(processors)
			f := fitted(t, d, Options{})
			df, err := f.Satterthwaite()
			runtime.GOMAXPROCS(before)
			if err != nil {
				t.Fatal(err)
			}
			if f.equations.s.entries < 1<<14 {
				t.Fatalf("%d entries: too few to be shared", f.equations.s.entries)
			}
			now := fmt.Sprintf("%x %x %x %x %x %x", f.Criterion, f.Theta, f.Beta, f.SE, f.Sigma, df)
			if first == "" {
				first = now
			}
			if diff := cmp.Diff(first, now); diff != "" {
				t.Errorf("%d processors (-one +these):\n%s", processors, diff)
			}
		}
	}
}
