package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"underfoot/unit"
)

// anyCourse draws a panel with holes, uneven cores and uneven measurement.
func anyCourse(t *rapid.T) []Observation {
	greens, rounds := rapid.IntRange(1, 8).Draw(t, "greens"), rapid.IntRange(1, 7).Draw(t, "rounds")
	keep := rapid.Float64Range(0.3, 1).Draw(t, "keep")
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
	var obs []Observation
	for i := range greens {
		for j := range rounds {
			if rng.Float64() > keep {
				continue
			}
			obs = append(obs, Observation{
				Green: fmt.Sprint("g", i), Round: fmt.Sprint("r", j), Date: after(float64(j) + 0.3*rng.Float64()), BottomMM: 20,
				OM: unit.Percent(5 + 0.3*float64(i) + rng.NormFloat64()), U: unit.Percent(0.2 * rng.Float64()), Cores: 1 + rng.IntN(8),
			})
		}
	}
	return obs
}

// The slope, its variance and the fitted line must be those of generalised least squares written out
// in full: X = [greens, t], V = σ_round²·ZZ' + diag(v), all matrices dense.
func TestTrendIsGeneralisedLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPanel(cells(anyCourse(t)))
		if len(p.rounds) < 2 {
			return
		}
		p.pool()
		coreVar := rapid.Float64Range(0.1, 4).Draw(t, "core variance")
		tau2 := rapid.SampledFrom([]float64{0, 0.05, 1}).Draw(t, "round variance")
		s := p.sweep(coreVar)
		beta, info, _, _ := s.fit(tau2)
		if info < 1e-9 {
			return // time is not to be told from the greens
		}
		n, k := len(p.cells), p.greens+1
		x, v, y := mat.NewDense(n, k, nil), mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for i := range p.cells {
			x.Set(i, p.green[i], 1)
			x.Set(i, k-1, p.t[p.round[i]])
			y.SetVec(i, p.cells[i].om)
			for j := range p.cells {
				if p.round[i] == p.round[j] {
					v.Set(i, j, tau2)
				}
			}
			v.Set(i, i, tau2+1/p.weight(i, coreVar))
		}
		var vi, xv, normal, cov mat.Dense
		var rhs, b mat.VecDense
		if err := vi.Inverse(v); err != nil {
			t.Fatal(err)
		}
		xv.Mul(x.T(), &vi)
		normal.Mul(&xv, x)
		if err := cov.Inverse(&normal); err != nil {
			t.Fatal(err)
		}
		rhs.MulVec(&xv, y)
		b.MulVec(&cov, &rhs)
		near(t, "slope", beta, b.AtVec(k-1))
		near(t, "variance of the slope", 1/info, cov.At(k-1, k-1))

		f := Trend{Estimated: true, SlopePerYear: beta, SE: 1 / math.Sqrt(info), RoundSD: math.Sqrt(tau2)}
		f.draw(p, s)
		for _, at := range []float64{p.t[0], p.t[len(p.t)-1] + 2} {
			h := mat.NewVecDense(k, nil)
			for g := range p.greens {
				h.SetVec(g, 1/float64(p.greens))
			}
			h.SetVec(k-1, at)
			mean, se := f.Line(p.dates[0].Add(after(at - p.t[0]).Sub(start)))
			near(t, "line", float64(mean), mat.Dot(h, &b))
			near(t, "se of the line", float64(se), math.Sqrt(mat.Inner(h, &cov, h)))
		}
	})
}

func near(t *rapid.T, name string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-6*(1+math.Abs(want)) {
		t.Fatalf("%s = %.10g, want %.10g", name, got, want)
	}
}

// The order of rows changes nothing, and no course however patchy gives a number that is none.
func TestOrderOfRowsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := anyCourse(t)
		want, err := Layers(obs, Options{})
		if err != nil {
			t.Fatal(err)
		}
		mixed := slices.Clone(obs)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "shuffle"), 4))
		rng.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		got, err := Layers(mixed, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(want, got, cmp.AllowUnexported(Trend{}, Consistency{}), cmpopts.EquateApprox(1e-9, 1e-9)); d != "" {
			t.Fatalf("other order, other findings (-first +mixed):\n%s", d)
		}
		for _, l := range got {
			f := l.Trend
			for name, v := range map[string]float64{
				"slope": f.SlopePerYear, "se": f.SE, "lower": f.Lower95, "upper": f.Upper95, "p": f.PRising, "beyond": f.PBeyond,
				"sd": float64(l.Consistency.SD), "sd upper": float64(l.Consistency.SDUpper95),
			} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%s is %v", name, v)
				}
			}
			if f.Estimated && !(f.Lower95 <= f.Lower90 && f.Lower90 <= f.SlopePerYear && f.SlopePerYear <= f.Upper90 && f.Upper90 <= f.Upper95) {
				t.Fatalf("intervals not in order: %v %v %v %v %v", f.Lower95, f.Lower90, f.SlopePerYear, f.Upper90, f.Upper95)
			}
			if c := l.Consistency; c.Known && !(c.SDLower95 <= c.SD+1e-9 && c.SD <= c.SDUpper95+1e-9) {
				t.Fatalf("spread %v outside its interval %v to %v", c.SD, c.SDLower95, c.SDUpper95)
			}
		}
	})
}

// A course that is richer throughout has the same trend, where greens and cores differ by points.
func TestRicherThroughoutChangesNoTrend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := cells(anyCourse(t))
		if len(cs) == 0 {
			return
		}
		richer := slices.Clone(cs)
		for i := range richer {
			richer[i].om += 3
		}
		f, ok := inPoints(newPanel(cs))
		g, same := inPoints(newPanel(richer))
		if ok != same {
			t.Fatalf("a trend %v, and of the richer course %v", ok, same)
		}
		if ok {
			near(t, "slope", g.SlopePerYear, f.SlopePerYear)
			near(t, "se", g.SE, f.SE)
		}
	})
}

// inPoints reads the trend of a panel with greens and cores that differ by points, without drift and season.
func inPoints(p *panel) (f Trend, ok bool) {
	if p.cannot() != "" {
		return f, false
	}
	p.pool()
	if s := p.settle(); len(s.z) < 2 || !s.moves() {
		return f, false
	}
	l, fit, err := p.fit(model{green: p.repeats() && !p.pooled, round: p.tellsRounds()}, false)
	if err != nil {
		return f, false
	}
	f = Trend{Rounds: len(p.rounds), Matters: DefaultMatters, Verdict: NoChange}
	if err := f.read(p, chosen{layout: l, fit: fit}); err != nil {
		return f, false
	}
	f.conclude()
	return f, true
}
