package profile_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"underfoot/profile"
)

// busy is two years of every kind of work, cut by looks at depths that no parcel ends at.
func busy(s profile.Settings) scene {
	daily, _ := season(2)
	c := scene{set: s, p: profile.Default(), daily: daily}
	at := func(day int, e profile.Event) {
		e.Day = daily.First + day
		c.work = append(c.work, e)
	}
	for y := range 2 {
		d := y * 365
		at(d+60, profile.Event{Opening: profile.Opening{Touched: 0.05, Depth: 61.3, Fill: 0.7, Returned: true}})
		at(d+95, profile.Event{Sand: 1.1})
		at(d+100, profile.Event{Sand: 0.7})
		at(d+120, profile.Event{Opening: profile.Opening{Touched: 0.11, Depth: 19, Fill: 1}}) // scarifying
		at(d+150, profile.Event{Sand: 2.2, Top: 13.7, Bottom: 41.9})
		at(d+170, profile.Event{Sand: 3, Bottom: 80})
		at(d+200, profile.Event{Opening: profile.Opening{Touched: 0.08, Depth: 75, Fill: 0.85}})
		at(d+215, profile.Event{Opening: profile.Opening{Touched: 0.08, Depth: 75}})
	}
	for _, day := range []int{0, 119, 121, 300, 365 + 160, 365 + 340} {
		for _, edges := range [][2]float64{{0, 20}, {20, 40}, {17.3, 58.1}, {3, 8}} {
			c.sights = append(c.sights, profile.Sight{Day: daily.First + day, Top: edges[0], Bottom: edges[1]})
		}
	}
	return c
}

// look lays the looks of a scene.
func (c *scene) look() {
	var named []int
	for _, e := range c.work {
		named = append(named, e.Day)
	}
	for _, v := range c.sights {
		named = append(named, v.Day)
	}
	c.looks = c.set.Looks(c.daily.First, c.daily.Until(), named...)
}

// checkSlopes compares derivatives by all unknowns with central differences on the scale each is free to move on.
func checkSlopes(t *testing.T, c scene) {
	t.Helper()
	wrt := all()
	f, track, column, out := c.build(t, wrt)
	if err := track.Read(column, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	const step, allowed = 1e-5, 1e-6
	x := c.p.Coordinates()
	for u := range wrt {
		at := func(by float64) []profile.Seen {
			y := x
			y[u] += by
			moved := c
			moved.p = profile.At(y)
			return moved.see(t)
		}
		low, high := at(-step), at(step)
		for i := range out.Seen {
			for _, what := range []struct {
				name string
				of   func(profile.Seen) float64
				got  float64
			}{
				{"organic matter", profile.Seen.OM, out.DLogOM[i*len(wrt)+u]},
				{"mass", profile.Seen.Mass, out.DLogMass[i*len(wrt)+u]},
			} {
				want := (math.Log(what.of(high[i])) - math.Log(what.of(low[i]))) / (2 * step)
				if !(math.Abs(what.got-want) <= allowed*(1+math.Abs(want))) {
					t.Errorf("sight %d, %s: derivative of ln %s %.9f, by differences %.9f", i, profile.Table[u].Name, what.name, what.got, want)
				}
			}
		}
	}
}

func TestDerivativesOfEveryKindOfWork(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*profile.Settings)
	}{
		{"as usual", func(*profile.Settings) {}},
		{"one pool", func(s *profile.Settings) { s.OnePool = true }},
		{"Lloyd and Taylor", func(s *profile.Settings) { s.LloydTaylor = true }},
		{"deeper roots reach 2.5 times", func(s *profile.Settings) { s.DeepReach = 2.5 }},
		{"deeper roots reach no farther", func(s *profile.Settings) { s.DeepReach = 1 }},
		{"shallow column", func(s *profile.Settings) { s.Depth = 80 }},
		{"every day", func(s *profile.Settings) { s.Step = 1 }},
		{"thick parcels", func(s *profile.Settings) { s.Cell, s.Join, s.Mix = 7, 5, 6 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := profile.Usual()
			c.change(&s)
			scene := busy(s)
			scene.look()
			rng := rand.New(rand.NewPCG(3, 4))
			x := scene.p.Coordinates()
			for i := range x {
				x[i] += 0.3 * rng.NormFloat64() * profile.Table[i].Spread
			}
			scene.p = profile.At(x)
			checkSlopes(t, scene)
		})
	}
}

// At its cap an amount does not follow its unknown any more, and the others still follow theirs.
func TestDerivativesAtTheCaps(t *testing.T) {
	c := busy(profile.Usual())
	c.p[profile.Filling] = 1.3 // of 0.7, 0.85 and 1: some below the cap, some at it
	c.look()
	checkSlopes(t, c)

	c.p[profile.Coring] = 1.4
	c.work = append(c.work, profile.Event{Day: c.daily.Until() - 60, Opening: profile.Opening{Touched: 0.9, Depth: 30, Fill: 0.5}})
	c.look()
	checkSlopes(t, c)
}

func TestSomeDerivativesAreThoseOfAll(t *testing.T) {
	c := busy(profile.Usual())
	c.look()
	f, track, column, full := c.build(t, all())
	if err := track.Run(column, f, c.p, full); err != nil {
		t.Fatal(err)
	}
	some := []profile.Unknown{profile.OrganicDensity, profile.FastShare, profile.Coring}
	_, _, column, out := c.build(t, some)
	if err := track.Run(column, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	for i := range c.sights {
		for j, u := range some {
			if got, want := out.DLogOM[i*len(some)+j], full.DLogOM[i*int(profile.Unknowns)+int(u)]; got != want {
				t.Errorf("sight %d, %s: %g alone, %g among all", i, profile.Table[u].Name, got, want)
			}
		}
	}
}
