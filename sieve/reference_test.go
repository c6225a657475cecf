package sieve_test

import (
	"strconv"
	"testing"

	"underfoot/internal/reference"
	"underfoot/sieve"
	"underfoot/unit"
)

// table is what a reference case was sieved with: pairs of size and mass, or of size and percent passing.
type table struct {
	Retained [][2]float64
	Passing  [][2]float64
}

func (in table) curve(t testing.TB) *sieve.Curve {
	t.Helper()
	var c *sieve.Curve
	var err error
	if in.Passing != nil {
		var points []sieve.Point
		for _, p := range in.Passing {
			points = append(points, sieve.Point{Size: unit.Millimetres(p[0]), Passing: unit.Percent(p[1])})
		}
		c, err = sieve.FromPassing(points)
	} else {
		c, err = sheet(in.Retained...).Curve()
	}
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func sheet(rows ...[2]float64) sieve.Sheet {
	var s sieve.Sheet
	for _, r := range rows {
		s.Retained = append(s.Retained, sieve.Retained{Sieve: unit.Millimetres(r[0]), Mass: unit.Grams(r[1])})
	}
	return s
}

// near wants a value, or that there is none.
func near(t *testing.T, c reference.Case, name string, got float64, ok bool, want *float64) {
	t.Helper()
	switch {
	case want == nil && ok:
		t.Errorf("%s: %s = %g, want that it is not known", c.ID, name, got)
	case want != nil && !ok:
		t.Errorf("%s: %s is not known, want %g", c.ID, name, *want)
	case want != nil:
		c.Near(t, name, got, *want)
	}
}

func sizes(t *testing.T, c reference.Case, curve *sieve.Curve, want map[string]*float64) {
	t.Helper()
	for q, w := range want {
		percent, err := strconv.ParseFloat(q, 64)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := curve.D(unit.Percent(percent))
		near(t, c, "D"+q, float64(got), ok, w)
	}
}

func passes(t *testing.T, c reference.Case, curve *sieve.Curve, want []float64) {
	t.Helper()
	points := curve.Points()
	if len(points) != len(want) {
		t.Fatalf("%s: %d points, want %d", c.ID, len(points), len(want))
	}
	for i, p := range points {
		c.Near(t, "passing "+strconv.FormatFloat(float64(p.Size), 'g', -1, 64), float64(p.Passing), want[i])
	}
}

func TestCurves(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/curves.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in table
			var want struct {
				Passing                          []float64
				D                                map[string]*float64
				Uniformity, Curvature, Gradation *float64
				Fineness                         *float64
				Strict                           *float64 `json:"fineness_strict"`
				Assumed                          *float64 `json:"fineness_assumed"`
				StrictAssumed                    *float64 `json:"fineness_strict_assumed"`
			}
			c.Decode(t, &in, &want)
			curve := in.curve(t)
			passes(t, c, curve, want.Passing)
			sizes(t, c, curve, want.D)
			v, ok := curve.Uniformity()
			near(t, c, "D60/D10", v, ok, want.Uniformity)
			v, ok = curve.Curvature()
			near(t, c, "curvature", v, ok, want.Curvature)
			v, ok = curve.Gradation()
			near(t, c, "D90/D10", v, ok, want.Gradation)
			f, ok := curve.FinenessModulus()
			near(t, c, "fineness modulus", f.Value, ok && !f.Assumed, want.Fineness)
			near(t, c, "fineness modulus, all sieves used", f.Value, ok && !f.Assumed && !f.Between, want.Strict)
			near(t, c, "fineness modulus, nothing coarser", f.Value, ok, want.Assumed)
			near(t, c, "fineness modulus, all sieves used, nothing coarser", f.Value, ok && !f.Between, want.StrictAssumed)
		})
	}
}

func TestPublished(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/published.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in table
			var want struct {
				Passing                          []float64
				D                                map[string]*float64
				Uniformity, Curvature, Gradation *float64
			}
			c.Decode(t, &in, &want)
			curve := in.curve(t)
			if want.Passing != nil {
				passes(t, c, curve, want.Passing)
			}
			sizes(t, c, curve, want.D)
			for _, x := range []struct {
				name string
				of   func() (float64, bool)
				want *float64
			}{{"D60/D10", curve.Uniformity, want.Uniformity}, {"curvature", curve.Curvature, want.Curvature}, {"D90/D10", curve.Gradation, want.Gradation}} {
				if x.want != nil {
					v, ok := x.of()
					near(t, c, x.name, v, ok, x.want)
				}
			}
		})
	}
}

func TestSums(t *testing.T) {
	green := table{Passing: greenSand}.curve
	for _, c := range reference.Load(t, "testdata/reference/sums.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Sum    string
				Values []float64
			}
			var want float64
			c.Decode(t, &in, &want)
			got, ok := sum(t, green(t), in.Sum, in.Values)
			near(t, c, in.Sum, got, ok, &want)
		})
	}
}

// greenSand is the percent passing of the sand of PSD-5.
var greenSand = [][2]float64{{2, 99.5}, {1, 93.5}, {.5, 69.5}, {.25, 24.5}, {.15, 5.5}, {.05, 1.5}}

// sum works out what a reference case names.
func sum(t *testing.T, green *sieve.Curve, name string, v []float64) (float64, bool) {
	t.Helper()
	passing := func(rows ...[2]float64) *sieve.Curve { return table{Passing: rows}.curve(t) }
	switch name {
	case "uniformity":
		return passing([2]float64{v[0], 10}, [2]float64{v[1], 30}, [2]float64{v[2], 60}).Uniformity()
	case "curvature":
		return passing([2]float64{v[0], 10}, [2]float64{v[1], 30}, [2]float64{v[2], 60}).Curvature()
	case "window":
		a, b, ok := sieve.GravelWindow(green)
		return []float64{float64(a), float64(b)}[int(v[0])], ok
	case "fineness of aggregate":
		var rows [][2]float64
		for i := 0; i < len(v); i += 2 {
			rows = append(rows, [2]float64{v[i], v[i+1]})
		}
		for _, d := range []float64{75, 2.36, 1.18, .6, .3, .15, 0} {
			rows = append(rows, [2]float64{d, 0})
		}
		f, ok := table{Retained: rows}.curve(t).FinenessModulus()
		return f.Value, ok && !f.Assumed
	case "fineness from cumulative":
		rows := [][2]float64{{9.5, 100}}
		for i := 0; i < len(v); i += 2 {
			rows = append(rows, [2]float64{v[i], 100 - v[i+1]})
		}
		f, ok := passing(rows...).FinenessModulus()
		return f.Value, ok && !f.Between && !f.Assumed
	case "hazen":
		p, ok := passing([2]float64{v[0], 10}, [2]float64{2 * v[0], 70}).Hazen()
		return p.MMPerHour(), ok && p.Within
	case "hazen of PSD-5":
		p, ok := green.Hazen()
		return p.MMPerHour(), ok && p.Within
	case "kozeny":
		p, err := sieve.KozenyCarman(unit.Fraction(v[0]), unit.Millimetres(v[1]), unit.Celsius(v[2]))
		return p.Value, err == nil
	case "blend":
		b, err := sieve.Blend(sieve.Part{Curve: passing([2]float64{.25, v[1]}), Mass: v[0]}, sieve.Part{Curve: passing([2]float64{.25, v[2]}), Mass: 1 - v[0]})
		if err != nil {
			return 0, false
		}
		p, ok := b.Passing(.25)
		return float64(p), ok
	case "by volume":
		w, err := sieve.ByVolume(v[0], unit.KgPerM3(v[1]), v[2], unit.KgPerM3(v[3]))
		return float64(w), err == nil
	case "share for":
		w, ok := sieve.ShareFor(unit.Percent(v[0]), unit.Percent(v[1]), unit.Percent(v[2]))
		return float64(w), ok
	}
	t.Fatalf("no sum called %q", name)
	return 0, false
}
