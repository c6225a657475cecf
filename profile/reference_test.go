package profile_test

import (
	"math"
	"testing"

	"underfoot/internal/reference"
	"underfoot/profile"
)

// constant is days of one weather.
func constant(days int, celsius, index float64) profile.Daily {
	d := profile.Daily{}
	for range days {
		d.Temp = append(d.Temp, celsius)
		d.Index = append(d.Index, index)
	}
	return d
}

// even is a scene with the same organic share f at all depths, such that it has a density [kg/m³] with sand of 1550.
func even(f, density float64) scene {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.set.OnePool, c.set.CutShare = true, 1
	c.p[profile.Surface], c.p[profile.Base] = f, f
	c.p[profile.OrganicDensity] = f / (1/density - (1-f)/c.set.SandDensity)
	c.p[profile.Coring], c.p[profile.Filling], c.p[profile.Sanding] = 1, 1, 1
	return c
}

// account runs a scene and gives what its column holds.
func account(t *testing.T, c scene) profile.Account {
	t.Helper()
	f, track, column, out := c.build(t, nil)
	if err := track.Run(column, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	a, err := column.Account()
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// onePool follows organic matter for a year in so many steps to the day; a step is a day of the model with the rates of
// a part of a day.
func onePool(t *testing.T, start, input, k float64, parts int) float64 {
	days := 1461 * parts / 4 // a Julian year
	c := even(0.01, 1500)
	c.daily = constant(days, 20, 1)
	rate := 365.25 / float64(days)
	c.p[profile.Growth], c.p[profile.SlowRate] = input*rate, k*rate
	c.looks = c.set.Looks(0, days)
	a := account(t, c)
	// What is there at the start decays by itself; take it out and put in what is asked for.
	return a.OrganicEnd + (start-a.OrganicStart)*math.Exp(-k)
}

// work does a case.
func work(t *testing.T, do string, a []float64) []float64 {
	t.Helper()
	decay := func(s profile.Settings) (out []float64) {
		for _, celsius := range a {
			out = append(out, s.DecayFactor(celsius)/s.DecayFactor(10))
		}
		return out
	}
	switch do {
	case "one pool":
		return []float64{onePool(t, a[0], a[1], a[2], 100)}
	case "Lloyd and Taylor":
		return decay(profile.Settings{LloydTaylor: true})
	case "Q10":
		return decay(profile.Settings{Q10: 2})
	case "core and fill":
		c := even(0.06, 1300)
		c.daily = constant(1, 20, 0)
		c.work = []profile.Event{{Opening: profile.Opening{Touched: a[0], Depth: 20, Fill: 1}}}
		c.sights = []profile.Sight{{Bottom: 20}}
		c.look()
		return []float64{c.see(t)[0].OM(), account(t, c).TakenOut}
	case "steady mat":
		const years = 12
		c := even(0.01, 1500)
		c.p[profile.Growth], c.p[profile.SlowRate] = a[0], 0
		c.p[profile.RootDepth], c.p[profile.DeepShare] = 0.2, 0 // all in the top
		c.daily = constant(365*years, 20, 1)
		for day := 0; day < c.daily.Until(); day += 5 {
			c.work = append(c.work, profile.Event{Day: day, Sand: a[1] * 5 / 365.25})
		}
		c.sights = []profile.Sight{{Day: c.daily.Until(), Top: 20, Bottom: 60}}
		c.look()
		return []float64{c.see(t)[0].OM()}
	case "dressed", "sunk":
		c := even(0.06, 1300)
		c.set.Mix, c.set.Cell = 20, 2 // parcels end at 12 mm, which becomes 20
		c.daily = constant(1, 20, 0)
		c.p[profile.SlowRate] = 0
		c.work = []profile.Event{{Day: 1, Sand: a[0]}}
		c.sights = []profile.Sight{{Bottom: 20}, {Day: 1, Bottom: 20}}
		c.look()
		seen := c.see(t)
		if do == "sunk" {
			l, _ := leaves(t, c, []float64{20}, []int{0, 1})
			organic, _ := l[0][0].Sunk()
			return []float64{organic}
		}
		return []float64{seen[0].OM(), seen[1].OM()}
	}
	t.Fatalf("nothing does %q", do)
	return nil
}

func TestReferences(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/profile.json") {
		var input struct {
			Do   string
			Args []float64
		}
		var want []float64
		c.Decode(t, &input, &want)
		got := work(t, input.Do, input.Args)
		if len(got) != len(want) {
			t.Errorf("%s: %d answers for %d", c.ID, len(got), len(want))
			continue
		}
		for i := range want {
			c.Near(t, input.Do, got[i], want[i])
		}
	}
}

// Sand on a profile that falls with depth lowers the top layer and raises the one below, though nothing was made.
func TestSandRaisesTheLayerBelow(t *testing.T) {
	c := even(0.01, 1500)
	c.p[profile.Surface], c.p[profile.Fade], c.p[profile.OrganicDensity], c.p[profile.SlowRate] = 0.08, 35, 235, 0
	c.daily = constant(1, 20, 0)
	c.work = []profile.Event{{Day: 1, Sand: 12.4}} // 8 mm
	for day := range 2 {
		for _, top := range []float64{0, 20, 40} {
			c.sights = append(c.sights, profile.Sight{Day: day, Top: top, Bottom: top + 20})
		}
	}
	c.look()
	om := c.see(t)
	for i, raised := range []bool{false, true, true} {
		before, after := 100*om[i].OM(), 100*om[3+i].OM()
		t.Logf("%d–%d mm: %.2f %% before, %.2f %% after", 20*i, 20*i+20, before, after)
		if math.Abs(after-before) < 0.3 || after > before != raised {
			t.Errorf("%d–%d mm: %.2f %% before, %.2f %% after", 20*i, 20*i+20, before, after)
		}
	}
}

// twoPools is the solution of dQ/dt = aI − kq·Q, dO/dt = (1−a)I + η·kq·Q − k·O at t = 1 a, both together.
func twoPools(slow, fast, input, a, k, kq, humified float64) float64 {
	endFast := a * input / kq
	endSlow := ((1-a)*input + humified*kq*endFast) / k
	swing := humified * kq * (fast - endFast) / (k - kq)
	return endFast + (fast-endFast)*math.Exp(-kq) + endSlow + swing*math.Exp(-kq) + (slow-endSlow-swing)*math.Exp(-k)
}

// Two pools under constant weather have a closed form; daily steps come to it in first order, as a day's growth decays
// from its morning on.
func TestTwoPoolsAgainstTheirClosedForm(t *testing.T) {
	const k, kq, input, share = 0.25, 1.8, 0.9, 0.45
	off := func(parts int) float64 {
		days := 1461 * parts / 4
		c := even(0.01, 1500)
		c.set.OnePool = false
		c.daily = constant(days, 20, 1)
		rate := 365.25 / float64(days)
		c.p[profile.Growth], c.p[profile.FastShare] = input*rate, share
		c.p[profile.SlowRate], c.p[profile.FastRate] = k*rate, kq*rate
		c.looks = c.set.Looks(0, days)
		a := account(t, c)
		fast := a.OrganicStart * c.set.FastStart
		return a.OrganicEnd/twoPools(a.OrganicStart-fast, fast, input, share, k, kq, c.set.Humified) - 1
	}
	one, two, four := off(4)*4, off(8)*8, off(16)*16 // times the steps a day: the same if of first order
	t.Logf("steps of a day are off by %.2g, to first order %.6g %.6g %.6g", one, one, two, four)
	if math.Abs(two/one-1) > 0.01 || math.Abs(four/two-1) > 0.01 {
		t.Errorf("not of first order: off by %g, %g, %g times the step in days", one, two, four)
	}
	if !(math.Abs(one) < 6e-4) {
		t.Errorf("steps of a day are off by %g of the organic matter, 6e-4 is what the document says", one)
	}
}

// Holes filled to the brim put back the volume that was taken: a column of sand alone keeps its mass and one with
// organic matter gains sand.
func TestFilledHolesKeepTheVolume(t *testing.T) {
	c := even(0.06, 1300)
	c.p[profile.Surface], c.p[profile.Base], c.p[profile.OrganicDensity] = 0, 0, 235
	c.daily = constant(1, 20, 0)
	c.work = []profile.Event{{Opening: profile.Opening{Touched: 0.1, Depth: 63, Fill: 1}}}
	c.look()
	a := account(t, c)
	if math.Abs(a.SandIn/a.SandOut-1) > 1e-14 || math.Abs(a.SandEnd/a.SandStart-1) > 1e-14 {
		t.Errorf("sand alone: %g kg/m² out and %g in", a.SandOut, a.SandIn)
	}
	c = even(0.06, 1300)
	c.daily = constant(1, 20, 0)
	c.work = []profile.Event{{Opening: profile.Opening{Touched: 0.1, Depth: 63, Fill: 1}}}
	c.look()
	a = account(t, c)
	if want := 0.1 * 0.063 * (1550 - 0.94*1300); math.Abs((a.SandEnd-a.SandStart)/want-1) > 1e-12 {
		t.Errorf("6 %% organic matter: gained %g kg/m² of sand, by the volume of the holes %g", a.SandEnd-a.SandStart, want)
	}
}
