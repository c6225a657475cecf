package sieve_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"underfoot/sieve"
	"underfoot/unit"
)

// stack are openings that sheets are drawn from [mm].
var stack = []float64{9.5, 4.75, 3.35, 2, 1.4, 1, .71, .5, .355, .25, .18, .15, .106, .053, 0}

func drawSheet(t *rapid.T, name string) sieve.Sheet {
	var s sieve.Sheet
	for _, d := range stack {
		if d == 0 || rapid.Bool().Draw(t, name+" uses") {
			s.Retained = append(s.Retained, sieve.Retained{Sieve: unit.Millimetres(d), Mass: unit.Grams(rapid.IntRange(0, 5000).Draw(t, name+" mg")) / 100})
		}
	}
	s.Retained = append(s.Retained, sieve.Retained{Sieve: 0.6, Mass: 1})
	return s
}

func drawCurve(t *rapid.T, name string) *sieve.Curve {
	c, err := drawSheet(t, name).Curve()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return c
}

// What is in the classes of any system is the whole, whatever was sieved.
func TestClassesSumToTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t, "sand")
		for _, s := range []sieve.System{sieve.Construction(), sieve.USDA(), sieve.ISO()} {
			sum := 0.0
			for _, k := range s.Classes(c) {
				sum += float64(k.Percent)
			}
			if math.Abs(sum-100) > 1e-9 {
				t.Fatalf("%s: classes sum to %g %%", s.Name, sum)
			}
		}
	})
}

// The order of rows and the unit of mass change nothing.
func TestOrderAndUnitOfMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSheet(t, "sand")
		a, err := s.Curve()
		if err != nil {
			t.Fatal(err)
		}
		other := sieve.Sheet{Retained: rapid.Permutation(s.Retained).Draw(t, "order")}
		for i := range other.Retained {
			other.Retained[i].Mass *= 4
		}
		b, err := other.Curve()
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(a.Points(), b.Points()) {
			t.Fatalf("%v, in another order and unit %v", a.Points(), b.Points())
		}
	})
}

// D and percent passing are each other's inverse, D never falls with the percentage, and never leaves the sieves.
func TestSizesAndPassing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t, "sand")
		last := unit.Millimetres(0)
		for q := unit.Percent(0); q <= 100; q += 2.5 {
			d, ok := c.D(q)
			if !ok {
				continue
			}
			if d < last*(1-1e-12) || d < c.Finest() || d > c.Coarsest() {
				t.Fatalf("D%g = %g mm after %g mm, sieves %g to %g", q, d, last, c.Finest(), c.Coarsest())
			}
			last = d
			if p, ok := c.Passing(d); !ok || p < q-1e-6 || d > c.Finest() && p > q+1e-6 {
				t.Fatalf("D%g = %g mm, which %g %% pass", q, d, p)
			}
		}
	})
}

// A material set beside itself is no distance away; turned round, a distance changes its sign.
func TestDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawCurve(t, "a"), drawCurve(t, "b")
		self, err := sieve.Apart(a, a)
		if len(a.Points()) < 2 {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if self.Shift != 0 || self.Apart != 0 || self.Differs {
			t.Fatalf("from itself %+v", self)
		}
		x, err := sieve.Apart(a, b)
		if err != nil {
			return // no two sizes both reach
		}
		y, err := sieve.Apart(b, a)
		if err != nil || x.Shift != -y.Shift || x.Apart != y.Apart || x.Gap != -y.Gap || x.Differs != y.Differs {
			t.Fatalf("%+v, turned round %+v (%v)", x, y, err)
		}
		if x.Apart < math.Abs(x.Shift)-1e-9 {
			t.Fatalf("apart by %g octaves but shifted by %g", x.Apart, x.Shift)
		}
	})
}

// A blend lies between its parts at every size, and a blend of one is itself.
func TestBlends(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawCurve(t, "a"), drawCurve(t, "b")
		w := rapid.Float64Range(0.01, 0.99).Draw(t, "w")
		m, err := sieve.Blend(sieve.Part{Curve: a, Mass: w}, sieve.Part{Curve: b, Mass: 1 - w})
		if err != nil {
			t.Fatal(err) // 0.6 mm is on every stack
		}
		for _, p := range m.Points() {
			x, _ := a.Passing(p.Size)
			y, _ := b.Passing(p.Size)
			if want := w*float64(x) + (1-w)*float64(y); math.Abs(float64(p.Passing)-want) > 1e-9 {
				t.Fatalf("%g %% pass %g mm, want %g", p.Passing, p.Size, want)
			}
		}
		one, err := sieve.Mean(a, a)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range one.Points() {
			if math.Abs(float64(p.Passing-a.Points()[i].Passing)) > 1e-9 {
				t.Fatalf("mean of one sand twice %v, itself %v", one.Points(), a.Points())
			}
		}
	})
}

// Every verdict agrees with what was found: met is never said outside a limit, not met never within.
func TestVerdictsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, j := range sieve.Judge(drawCurve(t, "sand"), sieve.RootZoneLimits()) {
			if j.Low > j.High+1e-9 || j.Found != nil && (*j.Found < j.Low-1e-9 || *j.Found > j.High+1e-9) {
				t.Fatalf("%s: found %v outside %g to %g", j.Name, j.Found, j.Low, j.High)
			}
			if j.Within == nil != (j.Verdict == sieve.NotMeasured) {
				t.Fatalf("%s: %s, within %v", j.Name, j.Verdict, j.Within)
			}
			if j.Within != nil && (j.Verdict == sieve.Met && !*j.Within || j.Verdict == sieve.NotMet && *j.Within) {
				t.Fatalf("%s: %s, within %v", j.Name, j.Verdict, *j.Within)
			}
		}
	})
}

// Any numbers make a curve that holds together or an error in words.
func FuzzSheet(f *testing.F) {
	f.Add(2.0, 0.4, 0.5, 52.3, 0.15, 5.6, 0.0, 0.7, 100.0)
	f.Add(0.0, 0.0, -1.0, math.Inf(1), math.NaN(), 1.0, 1e300, 5e-324, 0.0)
	f.Add(0.25, 1e6, 0.25000000000000006, 1e-300, 200.0, 1.0, 0.001, 1e6, 1e-6)
	f.Fuzz(func(t *testing.T, d1, m1, d2, m2, d3, m3, d4, m4, start float64) {
		s := sheet([2]float64{d1, m1}, [2]float64{d2, m2}, [2]float64{d3, m3}, [2]float64{d4, m4})
		g := unit.Grams(start)
		for _, s.Start = range []*unit.Grams{nil, &g} {
			c, err := s.Curve()
			if err != nil {
				if err.Error() == "" || c != nil {
					t.Fatalf("curve %v with error %q", c, err)
				}
				continue
			}
			last := unit.Percent(100)
			for _, p := range c.Points() {
				if !(p.Passing >= 0 && p.Passing <= last) {
					t.Fatalf("points %v", c.Points())
				}
				last = p.Passing
			}
			for q := unit.Percent(0); q <= 100; q += 5 {
				if d, ok := c.D(q); ok && !(d >= c.Finest()*(1-1e-12) && d <= c.Coarsest()*(1+1e-12)) {
					t.Fatalf("D%g = %g mm outside %g to %g", q, d, c.Finest(), c.Coarsest())
				}
			}
			for _, k := range sieve.USDA().Classes(c) {
				if !(k.Percent >= 0 && k.Percent <= 100+1e-9 && k.SD >= 0) {
					t.Fatalf("class %+v", k)
				}
			}
			sieve.Judge(c, sieve.RootZoneLimits())
			sieve.Gravel(c, c)
			sieve.Suit(c, sieve.Bed{Name: "a", Curve: c}, sieve.Bed{Name: "b"})
			sieve.Water(c, c, "a", "b")
			c.Hazen()
			c.KozenyCarman(0.4, 15)
			c.FinenessModulus()
		}
	})
}

func BenchmarkThousandCurves(b *testing.B) {
	s := sheet([2]float64{4, 0}, [2]float64{2, .82}, [2]float64{1, 8.13}, [2]float64{.5, 28.95}, [2]float64{.25, 39.61}, [2]float64{.15, 15.42}, [2]float64{.053, 4.18}, [2]float64{0, 1.75})
	systems, limits := []sieve.System{sieve.Construction(), sieve.USDA(), sieve.ISO()}, sieve.RootZoneLimits()
	for b.Loop() {
		for range 1000 {
			c, err := s.Curve()
			if err != nil {
				b.Fatal(err)
			}
			for _, q := range []unit.Percent{10, 15, 20, 30, 50, 60, 85, 90} {
				c.D(q)
			}
			c.FinenessModulus()
			for _, sys := range systems {
				sys.Classes(c)
			}
			sieve.Judge(c, limits)
		}
	}
}
