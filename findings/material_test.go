package findings

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/interp"
	"pgregory.net/rapid"

	"underfoot/internal/reference"
	"underfoot/unit"
)

// demonstration is a profile of four layers; its densities are measured.
func demonstration() Profile {
	p := Profile{Round: "2020", Date: after(0)}
	for i, l := range []ProfileLayer{{OM: 6, Density: 1300}, {OM: 4, Density: 1450}, {OM: 2.5, Density: 1520}, {OM: 1.5, Density: 1560}} {
		l.TopMM, l.BottomMM = unit.Millimetres(20*i), unit.Millimetres(20*i+20)
		p.Layers = append(p.Layers, l)
	}
	return p
}

// masses gives the mineral and organic mass of the layers [kg/m²].
func masses(layers []ProfileLayer) (mineral, organic []float64) {
	for _, l := range layers {
		organic = append(organic, l.mass()*float64(l.OM)/100)
		mineral = append(mineral, l.mass()*(1-float64(l.OM)/100))
	}
	return mineral, organic
}

// dressed lays sand of 1550 kg/m³ on a profile of equal layers, worked into the new top one, with nothing made and
// nothing decayed: every layer sinks, and each cut takes part of the layer above it and part of its own.
func dressed(p Profile, sand float64) Profile {
	h := float64(p.Layers[0].BottomMM)
	sunk := sand / 1550 * 1000 / h // share of a layer
	mineral, organic := masses(p.Layers)
	out := Profile{Round: "2021", Date: after(1)}
	for k, l := range p.Layers {
		m, o := (1-sunk)*mineral[k], (1-sunk)*organic[k]
		if k == 0 {
			m += sand
		} else {
			m, o = m+sunk*mineral[k-1], o+sunk*organic[k-1]
		}
		l.OM, l.Density = unit.Percent(100*o/(m+o)), unit.KgPerM3((m+o)/h*1000)
		out.Layers = append(out.Layers, l)
	}
	return out
}

// stacked is the curve of a profile, built as the mover builds it.
func stacked(p Profile) column { return (&mover{rounds: []Profile{p}}).column(0, nil) }

func esm(t *testing.T, do string, a []float64) []float64 {
	t.Helper()
	before := demonstration()
	three := stacked(Profile{Layers: before.Layers[:3]})
	var out []float64
	switch do {
	case "deeper":
		p := Profile{Layers: []ProfileLayer{{Density: unit.KgPerM3(a[2])}}}
		return []float64{float64(deeper(a[0], a[1], p))}
	case "linear":
		for _, m := range a {
			out = append(out, three.organic.linear(m))
		}
	case "monotone":
		for _, m := range a {
			out = append(out, three.read(m))
		}
	case "natural":
		var natural interp.NaturalCubic
		if err := natural.Fit(three.organic.x, three.organic.y); err != nil {
			t.Fatal(err)
		}
		for _, m := range a {
			out = append(out, natural.Predict(m))
		}
	case "fixed depth, OM":
		for _, l := range dressed(before, a[0]).Layers[:3] {
			out = append(out, float64(l.OM))
		}
	case "fixed depth, mass":
		_, was := masses(before.Layers[:3])
		_, is := masses(dressed(before, a[0]).Layers[:3])
		return []float64{is[0] + is[1] + is[2] - was[0] - was[1] - was[2]}
	case "accounted":
		c := stacked(dressed(before, a[0]))
		return []float64{c.organic.linear(a[1]), c.read(a[1])}
	case "equal mass":
		p := dressed(before, a[0])
		c := stacked(Profile{Layers: p.Layers[:3]})
		return []float64{c.organic.linear(a[1]), c.read(a[1])}
	case "two dates":
		r := a[5] / (1 - a[5])
		c := curve{x: []float64{0, a[3], a[3] + 50}, y: []float64{0, a[4], a[4] + 50*r}}
		return []float64{c.linear(a[0]+a[2]) - a[1]}
	default:
		t.Fatalf("nothing called %q", do)
	}
	return out
}

func TestEquivalentMassAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/esm.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Do   string
				Args []float64
			}
			var want []float64
			c.Decode(t, &in, &want)
			got := esm(t, in.Do, in.Args)
			if len(got) != len(want) {
				t.Fatalf("%d numbers, want %d", len(got), len(want))
			}
			for i := range want {
				c.Near(t, c.What, got[i], want[i])
			}
		})
	}
}

// The cubic is the one that gonum v0.17.0 calls interp.FritschButland.
func TestCurveAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "points")
		x, y := []float64{0}, []float64{0}
		for i := 1; i < n; i++ {
			x = append(x, x[i-1]+rapid.Float64Range(0.1, 50).Draw(t, "step"))
			y = append(y, y[i-1]+rapid.Float64Range(0, 5).Draw(t, "rise"))
		}
		var theirs interp.FritschButland
		if err := theirs.Fit(x, y); err != nil {
			t.Fatal(err)
		}
		c := newCurve(x, y)
		at := x[n-1] * rapid.Float64Range(0, 1).Draw(t, "at")
		if got, want := c.monotone(at), theirs.Predict(at); math.Abs(got-want) > 1e-9*(1+want) {
			t.Fatalf("at %g: %g, gonum %g", at, got, want)
		}
	})
}

func TestDressingIsNoLossOfMaterial(t *testing.T) {
	before := demonstration()
	sand := []SandLaid{{Date: after(0.5), Amount: 12.4}}
	m, err := FollowMaterial(Following{Rounds: []Profile{before, dressed(before, 12.4)}, Sand: sand, Doubt: DefaultMaterialDoubt()})
	if err != nil || !m.Known {
		t.Fatal(err, m.Why)
	}
	truth := []float64{1.56, 1.16, 0.76}           // kg/m²
	fixed := []float64{-2.65714, 0.74820, 0.58311} // points a year, from the reference cases
	var organic float64
	for k, b := range m.Bands[:3] {
		last := b.Rounds[1]
		organic += float64(last.Organic)
		if got := b.Fixed.PerYear; math.Abs(got-fixed[k]) > 1e-4 {
			t.Errorf("%g mm: fixed depth changes by %g points a year, want %g", float64(b.TopMM), got, fixed[k])
		}
		if off := math.Abs(float64(last.Organic) - truth[k]); off > 2*float64(last.OrganicSE) || off > 0.1*truth[k] {
			t.Errorf("%g mm: the material holds %g ± %g kg/m², truth is %g", float64(b.TopMM), float64(last.Organic), float64(last.OrganicSE), truth[k])
		}
		if b.Stock.Lower95 > 0 || b.Stock.Upper95 < 0 || b.Stock.Verdict != NoChange {
			t.Errorf("%g mm: the material changes by %g kg/m² a year (%g to %g), truth is 0", float64(b.TopMM), b.Stock.PerYear, b.Stock.Lower95, b.Stock.Upper95)
		}
		if want := float64(before.Layers[k].OM); math.Abs(float64(b.Rounds[0].OM)-want) > 1e-9 {
			t.Errorf("%g mm: reference round %g %%, want %g", float64(b.TopMM), float64(b.Rounds[0].OM), want)
		}
		if last.SandMM != 8 || last.OMKnown != (k > 0) {
			t.Errorf("%g mm of sand, OM known %v: want 8, and known but for the uppermost band", float64(last.SandMM), last.OMKnown)
		}
	}
	if math.Abs(organic-3.44388) > 1e-5 {
		t.Errorf("material of 0–60 mm holds %g kg/m², want 3.44388 (3.48 is true, 3.176 at fixed depth)", organic)
	}
	deepest := m.Bands[3]
	if deepest.Left != "2021" || deepest.Change.Known || len(deepest.Rounds) != 1 {
		t.Errorf("60–80 mm: left in %q, change known %v, %d rounds: want it to leave in 2021", deepest.Left, deepest.Change.Known, len(deepest.Rounds))
	}
}

// The truth under work: cores out and sand in, played out on a column of thin parcels.
func TestFollowingThroughCoring(t *testing.T) {
	before := demonstration()
	opened := []Opened{{Date: after(0.3), Touched: 0.1, DepthMM: 40, Removed: true, Backfill: 0.1 * 0.040 * 1550}}
	after1 := Profile{Round: "2021", Date: after(1)}
	mineral, organic := masses(before.Layers)
	for k, l := range before.Layers {
		m, o := mineral[k], organic[k]
		if k < 2 {
			m, o = 0.9*m+0.1*0.020*1550, 0.9*o
		}
		l.OM, l.Density = unit.Percent(100*o/(m+o)), unit.KgPerM3((m+o)/0.020)
		after1.Layers = append(after1.Layers, l)
	}
	m, err := FollowMaterial(Following{Rounds: []Profile{before, after1}, Opened: opened})
	if err != nil || !m.Known {
		t.Fatal(err, m.Why)
	}
	for k, b := range m.Bands {
		last := b.Rounds[1]
		removed := 0.0
		if k < 2 {
			removed = 0.1 * organic[k]
		}
		if math.Abs(float64(last.Removed)-removed) > 1e-9 || math.Abs(float64(last.Organic)+removed-organic[k]) > 1e-3 {
			t.Errorf("%g mm: %g kg/m² left and %g taken out, want %g and %g", float64(b.TopMM), float64(last.Organic), float64(last.Removed), organic[k]-removed, removed)
		}
		if math.Abs(float64(last.OM-before.Layers[k].OM)) > 0.01 {
			t.Errorf("%g mm: the material itself holds %g %%, want %g", float64(b.TopMM), float64(last.OM), float64(before.Layers[k].OM))
		}
	}
	if d := m.Bands[0].Rounds[1].BottomMM - 20; math.Abs(float64(d)) > 0.02 {
		t.Errorf("filled holes moved the material by %g mm, want it where it was", float64(d))
	}
}

func drawProfile(t *rapid.T, round string, at time.Time) Profile {
	p := Profile{Round: round, Date: at}
	var top unit.Millimetres
	for range rapid.IntRange(2, 5).Draw(t, "layers") {
		bottom := top + unit.Millimetres(rapid.Float64Range(5, 40).Draw(t, "thickness"))
		p.Layers = append(p.Layers, ProfileLayer{
			TopMM: top, BottomMM: bottom, OM: unit.Percent(rapid.Float64Range(0.2, 15).Draw(t, "om")), OMSE: unit.Percent(rapid.Float64Range(0, 1).Draw(t, "se")),
			Density: unit.KgPerM3(rapid.Float64Range(700, 1800).Draw(t, "density")), DensitySE: unit.KgPerM3(rapid.Float64Range(0, 100).Draw(t, "dse")),
		})
		top = bottom
	}
	return p
}

func followed(t interface{ Fatal(...any) }, f Following) Material {
	m, err := FollowMaterial(f)
	if err != nil {
		t.Fatal(err)
	}
	if !m.Known {
		t.Fatal(m.Why)
	}
	return m
}

func TestNoWorkAndTheSameProfileIsNoChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProfile(t, "a", after(0))
		q := p
		q.Round, q.Date = "b", after(1)
		m := followed(t, Following{Rounds: []Profile{p, q}, Doubt: DefaultMaterialDoubt()})
		for k, b := range m.Bands {
			if len(b.Rounds) != 2 || math.Abs(b.Change.PerYear) > 1e-9 || math.Abs(b.Fixed.PerYear) > 1e-9 {
				t.Fatalf("band %d: %d rounds, %g and %g points a year, want 2 and no change", k, len(b.Rounds), b.Change.PerYear, b.Fixed.PerYear)
			}
			if math.Abs(float64(b.Rounds[1].TopMM-b.TopMM))+math.Abs(float64(b.Rounds[1].BottomMM-b.BottomMM)) > 1e-9 {
				t.Fatalf("band %d moved to %g–%g mm", k, float64(b.Rounds[1].TopMM), float64(b.Rounds[1].BottomMM))
			}
		}
	})
}

// A layer cut in two halves of the same material is the same profile: along straight lines nothing changes, and the cubic
// stays within the doubt that is stated for it.
func TestSplittingALayerChangesNothingBeyondInterpolation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProfile(t, "a", after(0))
		split := p
		split.Layers = nil
		at := rapid.IntRange(0, len(p.Layers)-1).Draw(t, "split")
		for k, l := range p.Layers {
			if k != at {
				split.Layers = append(split.Layers, l)
				continue
			}
			upper, lower := l, l
			upper.BottomMM = (l.TopMM + l.BottomMM) / 2
			lower.TopMM = upper.BottomMM
			split.Layers = append(split.Layers, upper, lower)
		}
		one, two := stacked(p), stacked(split)
		m := one.sampled() * rapid.Float64Range(0, 1).Draw(t, "at")
		if a, b := one.organic.linear(m), two.organic.linear(m); math.Abs(a-b) > 1e-9 {
			t.Fatalf("straight lines read %g and %g kg/m² at %g", a, b, m)
		}
		k := one.organic.interval(m)
		rise := one.organic.y[k+1] - one.organic.y[k]
		if a, b := one.read(m), two.read(m); math.Abs(a-b) > 0.5*rise+1e-9 {
			t.Fatalf("the cubic reads %g and %g kg/m² at %g, further apart than half of what the layer holds (%g)", a, b, m, rise)
		}
	})
}

// Mineral is neither made nor lost: what lies between the marks is the material's own and the sand filled into it.
func TestMineralOfTheMaterialAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := drawProfile(t, "a", after(0)), drawProfile(t, "b", after(2))
		f := Following{Rounds: []Profile{p, q}, SandDensity: 1550}
		filled, surface := 0.0, 0.0
		for i := range rapid.IntRange(0, 4).Draw(t, "works") {
			day := after(0.1 + 0.4*float64(i))
			f.Sand = append(f.Sand, SandLaid{Date: day, Amount: 2})
			f.Opened = append(f.Opened, Opened{Date: day, Touched: 0.05, DepthMM: 15, Removed: true, Backfill: 0.5})
			surface, filled = surface+2, filled+0.5
		}
		m := newMover(f, f.Rounds)
		bands := m.follow(nil)[1]
		for k, b := range bands[1:] {
			if math.Abs(b.top-bands[k].bottom) > 1e-9 {
				t.Fatalf("a band starts at %g kg/m², the one above ends at %g", b.top, bands[k].bottom)
			}
		}
		col := m.column(0, nil)
		want := col.sampled() + surface + filled - 0.05*float64(len(f.Opened))*col.mineral.linear(15)
		if got := bands[len(bands)-1].bottom; float64(p.Layers[len(p.Layers)-1].BottomMM) > 20 && math.Abs(got-want) > 1e-9 {
			t.Fatalf("%g kg/m² of mineral down to the lowest mark, want %g", got, want)
		}
	})
}

// Worked by hand: t̄ = 1.5, Σ(t − t̄)² = 5; w = (−0.3, −0.1, 0.1, 0.3); se² = wᵀVw with V = 0.04·I + 0.01 for all that the
// rounds share, which no slope sees.
func TestLineByHand(t *testing.T) {
	s := series{years: []float64{0, 1, 2, 3}, value: []float64{4, 5, 4.5, 6}}
	for i := range 4 {
		row := []float64{0.01, 0.01, 0.01, 0.01}
		row[i] += 0.04
		s.cov = append(s.cov, row)
	}
	c := s.line(0.3)
	if want := math.Sqrt(0.04 * 0.2); math.Abs(c.PerYear-0.55) > 1e-12 || math.Abs(c.SE-want) > 1e-12 || c.Assumed {
		t.Errorf("slope %g ± %g, want 0.55 ± %g", c.PerYear, c.SE, want)
	}
	two := series{years: []float64{0, 2}, value: []float64{4, 5}, se: []float64{0.1, 0.2}}.line(0.3)
	if want := math.Sqrt(0.01+0.04+2*0.09) / 2; math.Abs(two.PerYear-0.5) > 1e-12 || math.Abs(two.SE-want) > 1e-12 || !two.Assumed {
		t.Errorf("two rounds: slope %g ± %g, want 0.5 ± %g with the scatter assumed", two.PerYear, two.SE, want)
	}
}
