package mixed

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// oneWay is a balanced layout of a groups of m rows, a mean and nothing else.
func oneWay(a, m int, between float64) *Design {
	r := rand.New(rand.NewPCG(21, 5))
	d := &Design{Response: "y", Columns: [][]float64{ones(a * m)}, Names: []string{"mean"}}
	term := Term{Group: "g", Names: []string{"(Intercept)"}, Z: [][]float64{nil}}
	for i := range a {
		term.Levels = append(term.Levels, fmt.Sprint(i))
		b := between * r.NormFloat64()
		for range m {
			term.Level = append(term.Level, int32(i))
			d.Y = append(d.Y, 10+b+r.NormFloat64())
		}
	}
	d.Terms = []Term{term}
	return d
}

// squares are the sums of squares between and within groups.
func squares(d *Design, a, m int) (between, within float64) {
	all := 0.0
	for _, y := range d.Y {
		all += y / float64(a*m)
	}
	for i := range a {
		group := 0.0
		for j := range m {
			group += d.Y[i*m+j] / float64(m)
		}
		between += float64(m) * (group - all) * (group - all)
		for j := range m {
			within += (d.Y[i*m+j] - group) * (d.Y[i*m+j] - group)
		}
	}
	return between, within
}

// In a balanced layout restricted maximum likelihood is the analysis of variance, where that is positive, and full maximum likelihood
// divides the sum between by a instead of a − 1 (Searle, Casella & McCulloch 1992, Variance Components, §3.7 and §4.4, from memory).
func TestBalancedOneWayIsTheAnalysisOfVariance(t *testing.T) {
	const a, m = 6, 4
	d := oneWay(a, m, 1.2)
	between, within := squares(d, a, m)
	msw := within / (a * (m - 1))
	for _, c := range []struct {
		ml   bool
		over float64
	}{{false, a - 1}, {true, a}} {
		f := fitted(t, d, Options{ML: c.ml})
		near(t, "σ²", f.Sigma*f.Sigma, msw, msw, 1e-9)
		near(t, "σ_a²", f.Components[0].Variance, (between/c.over-msw)/m, msw, 1e-8)
	}
}

// The mean of a balanced layout has a − 1 degrees of freedom by either method, and Kenward and Roger leave its standard error as it is: its
// variance is MSB/am.
func TestBothDegreesOfFreedomAgreeInABalancedOneWayLayout(t *testing.T) {
	for _, c := range []struct{ a, m int }{{3, 4}, {6, 4}, {25, 2}} {
		f := fitted(t, oneWay(c.a, c.m, 1.5), Options{})
		want := float64(c.a - 1)
		s, err := f.Satterthwaite()
		if err != nil {
			t.Fatal(err)
		}
		k, se, err := f.KenwardRoger()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Satterthwaite", s[0], want, want, 1e-6)
		near(t, "Kenward–Roger", k[0], want, want, 1e-9)
		near(t, "standard error", se[0], f.SE[0], f.SE[0], 1e-9)
	}
}

// Where the variance between groups comes out as zero Satterthwaite counts rows, Kenward and Roger groups.
func TestDegreesOfFreedomPartAtABoundary(t *testing.T) {
	const a, m = 3, 4
	d := oneWay(a, m, 0)
	for i := range a { // equal means of groups
		for j := range m {
			d.Y[i*m+j] = float64(j*j) + 0.1*float64((i+j)%2)
		}
	}
	f := fitted(t, d, Options{})
	if !f.Singular || f.Components[0].SD != 0 {
		t.Fatalf("standard deviation between groups %g", f.Components[0].SD)
	}
	s, err := f.Satterthwaite()
	if err != nil {
		t.Fatal(err)
	}
	k, _, err := f.KenwardRoger()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "Satterthwaite", s[0], a*m-1, 1, 1e-5)
	near(t, "Kenward–Roger", k[0], a-1, 1, 1e-9)
}

// The profile of σ in a balanced layout has a closed form: with λ = σ² + mσ_a² free above σ², the criterion is that of two independent sums of squares,
// a(m − 1)·log σ² + SSW/σ² + (a − 1)·log λ + SSB/λ.
func TestIntervalsOfABalancedOneWayLayout(t *testing.T) {
	const a, m, cut = 6, 4, 3.841458820694124 // χ²₁(0.95)
	for _, ml := range []bool{false, true} {
		t.Run(fmt.Sprint("ml ", ml), func(t *testing.T) {
			d := oneWay(a, m, 1.2)
			ssb, ssw := squares(d, a, m)
			groups := float64(a - 1)
			if ml {
				groups = a
			}
			criterion := func(s2, lambda float64) float64 {
				return a*(m-1)*math.Log(s2) + ssw/s2 + groups*math.Log(lambda) + ssb/lambda
			}
			best := criterion(ssw/(a*(m-1)), ssb/groups)
			ofSigma := func(s float64) float64 { return criterion(s*s, max(ssb/groups, s*s)) - best - cut }
			ofBetween := func(sd float64) float64 { // least over σ, by golden section on its logarithm
				at := func(log float64) float64 { s2 := math.Exp(log); return criterion(s2, s2+m*sd*sd) }
				low, high := math.Log(ssw)-12, math.Log(ssw)+6
				const golden = 0.6180339887498949
				for range 120 {
					x, y := high-golden*(high-low), low+golden*(high-low)
					if at(x) < at(y) {
						high = y
					} else {
						low = x
					}
				}
				return at((low+high)/2) - best - cut
			}
			f := fitted(t, d, Options{ML: ml})
			got, err := f.Intervals(0.95)
			if err != nil {
				t.Fatal(err)
			}
			sd, sigma := got[0], got[1]
			near(t, "σ lower", sigma.Lower, root(ofSigma, f.Sigma/10, f.Sigma), f.Sigma, 1e-7)
			near(t, "σ upper", sigma.Upper, root(ofSigma, f.Sigma, f.Sigma*10), f.Sigma, 1e-7)
			near(t, "σ_a lower", sd.Lower, root(ofBetween, 0, sd.Estimate), f.Sigma, 1e-6)
			near(t, "σ_a upper", sd.Upper, root(ofBetween, sd.Estimate, sd.Estimate*30), f.Sigma, 1e-6)
		})
	}
}

// root is where f changes sign between two points, by halves.
func root(f func(float64) float64, low, high float64) float64 {
	sign := f(low) > 0
	for range 100 {
		middle := (low + high) / 2
		if (f(middle) > 0) == sign {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
