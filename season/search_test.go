package season

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"underfoot/calibrate"
	"underfoot/coring"
	"underfoot/profile"
)

// simulated is an invented course made by the profile model itself: four years, three greens, yearly rounds with
// scatter.
func simulated(t testing.TB) (*calibrate.Ensemble, profile.Daily) {
	t.Helper()
	const first, years, ahead = 18262, 4, 2
	d := profile.Daily{First: first}
	for i := range (years + ahead) * 365 {
		temp := 11 + 9*math.Sin(2*math.Pi*float64(i-110)/365.25)
		d.Temp = append(d.Temp, temp)
		d.Index = append(d.Index, math.Exp(-0.5*math.Pow((temp-20)/5.5, 2)))
	}
	set := profile.Usual()
	past := profile.Daily{First: first, Temp: d.Temp[:years*365], Index: d.Index[:years*365]}
	var work []profile.Event
	var days []int
	for y := range years {
		for k := range 12 {
			work = append(work, profile.Event{Day: first + y*365 + 95 + 16*k, Sand: 0.9})
		}
		days = append(days, first+y*365+280)
	}
	truth := profile.Default()
	truth[profile.Growth] = 3
	rng := rand.New(rand.NewPCG(7, 7))
	c := &calibrate.Course{Settings: set, Daily: past, Start: first}
	layers := []calibrate.Layer{{Top: 0, Bottom: 20}, {Top: 20, Bottom: 40}}
	for g := range 3 {
		c.Greens = append(c.Greens, calibrate.Green{Name: string(rune('1' + g)), Work: work})
		named := slices.Clone(days)
		for _, e := range work {
			named = append(named, e.Day)
		}
		looks := set.Looks(first, past.Until(), named...)
		f, err := profile.NewForcing(past, looks, set)
		if err != nil {
			t.Fatal(err)
		}
		var sights []profile.Sight
		for _, day := range days {
			for _, l := range layers {
				sights = append(sights, profile.Sight{Day: day, Top: l.Top, Bottom: l.Bottom})
			}
		}
		track, err := profile.NewTrack(set, looks, work, sights)
		if err != nil {
			t.Fatal(err)
		}
		col, out := track.NewColumn(set, nil), profile.NewReadout(len(sights), 0)
		f.Set(truth, false)
		if err := track.Run(col, f, truth, out); err != nil {
			t.Fatal(err)
		}
		for i, v := range sights {
			c.Measured = append(c.Measured, calibrate.Measured{
				Green: g, Round: time.Unix(int64(v.Day)*86400, 0).UTC().Format("2006"), Day: v.Day, Top: v.Top, Bottom: v.Bottom,
				OM: out.Seen[i].OM() * math.Exp(0.12*rng.NormFloat64()), Cores: 5,
			})
		}
	}
	fit, err := calibrate.NewFit(c, calibrate.Usual())
	if err != nil {
		t.Fatal(err)
	}
	e, err := fit.Ensemble(120, past.Until()-1, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	return e, d
}

// small is a search with few enough plans to try every one.
func small(t testing.TB, low, high float64) *Search {
	e, d := simulated(t)
	from := e.Now + 1
	calendar := &Calendar{From: from, Until: from + 2*365 - 10, Weekday: time.Monday, Index: func(day int) float64 { return d.Index[day-d.First] }}
	tines := coring.Tines{Diameter: 12, Along: 50, Across: 50, Passes: 1}
	now := e.Fit.Course.Measured
	var level, n float64
	for _, m := range now {
		if m.Day == e.Fit.Course.Last() && m.Top == 0 {
			level, n = level+m.OM, n+1
		}
	}
	level /= n
	return &Search{
		Ensemble: e, Futures: []profile.Daily{d}, Calendar: calendar, StepMM: 2, Members: 60, Seed: 3,
		Operations: []Operation{
			{ID: "dress", Name: "topdressing", Kind: Topdress, SandLow: 0.3, SandHigh: 1, Fuel: 20, Labour: 10, Disturbed: 1, Growth: 0.2, Spacing: 14},
			{ID: "core", Name: "coring", Kind: HollowCore, Tines: tines, Depth: 75, Fill: 0.85, SandLow: 0.5, SandHigh: 2, Contract: 900, Labour: 60, Disturbed: 8, Growth: 0.4, Spacing: 40, Apart: 21, PerSeason: 2},
		},
		Prices: &Prices{SandPerTonne: 45, Density: 1550, Moisture: 0.05, Losses: 0.03, Hour: 30, AreaM2: 4500},
		Aim: Aim{
			Wanted:      []Wanted{{Layer: calibrate.Layer{Top: 0, Bottom: 20}, Low: low * level, High: high * level, Day: calendar.Until}},
			Probability: 0.8, DayWorth: 150,
		},
	}
}

// The search is compared with judging every single plan of the same kind: few enough to be exact, and so many that
// most are ruled out by a guess.
func TestSearchFindsWhatFullEnumerationFinds(t *testing.T) {
	for _, c := range []struct {
		name            string
		low, high, step float64
		most            int
	}{
		{"lower, exact", 0.6, 0.85, 3, 0},
		{"hold, exact", 0.88, 1.12, 3, 0},
		{"raise, exact", 1.1, 1.5, 3, 0},
		{"far, exact", 0.3, 0.6, 3, 0},
		{"lower", 0.6, 0.85, 1, 40},
		{"hold", 0.88, 1.12, 1, 40},
		{"raise", 1.1, 1.5, 1, 40},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := small(t, c.low, c.high)
			s.StepMM, s.Most = c.step, c.most
			a, err := s.Find(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			least, plans := enumerate(t, s)
			if a.Best == nil {
				t.Logf("no plan of %d does it; nearest %.2f: %s", plans, a.Nearest.Probability, a.Unmet)
				if !math.IsInf(least, 1) {
					t.Fatalf("the search found no plan, enumeration of %d one that weighs %.2f", plans, least)
				}
				return
			}
			t.Logf("%d plans; judged %d: %s, %v mm a year, weight %.2f, gap %.3f; enumeration %.2f", plans, a.Judged, a.Best.Name, a.Best.SandMM, a.Best.Weight, a.Gap, least)
			if math.Abs(a.Best.Weight-least) > 1e-9*least {
				t.Errorf("the search found a plan that weighs %.4f, enumeration one of %.4f", a.Best.Weight, least)
			}
			if a.Bound > least+1e-9*least {
				t.Errorf("the bound %.4f lies above the optimum %.4f", a.Bound, least)
			}
		})
	}
}

// A plan that holds on the members of the trial only is not taken: every finalist is held to the whole. Here the whole thinks
// less of every plan, just so that the one found without it will not do.
func TestSearchHoldsFinalistsToTheWhole(t *testing.T) {
	plain := small(t, 0.6, 0.85)
	plain.StepMM = 1
	free, err := plain.Find(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if free.Best == nil {
		t.Fatalf("no plan: %s", free.Unmet)
	}
	less := free.Best.Probability - plain.Aim.Probability + 0.01
	s := small(t, 0.6, 0.85)
	s.StepMM = 1
	s.Verify = func(p Plan) (float64, []float64, error) {
		f, err := s.Judge(p)
		if err != nil {
			return 0, nil, err
		}
		return f.Probability - less, f.Each, nil
	}
	held, err := s.Find(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if held.Best == nil {
		t.Fatalf("no plan: %s", held.Unmet)
	}
	if held.Best.Weight <= free.Best.Weight {
		t.Errorf("held to more, the plan weighs %.1f, not above the %.1f of the other", held.Best.Weight, free.Best.Weight)
	}
	for _, f := range append(slices.Clone(held.Others), *held.Best) {
		judged, err := s.Judge(f.Plan)
		if err != nil {
			t.Fatal(err)
		}
		if f.Probability != judged.Probability-less || f.Probability < s.Aim.Probability {
			t.Errorf("%s: %.3f, judged %.3f", f.Name, f.Probability, judged.Probability)
		}
	}
}

// enumerate judges every plan and gives the least weight of those that do.
func enumerate(t *testing.T, s *Search) (least float64, plans int) {
	least = math.Inf(1)
	for i := range s.menus[0] {
		for j := range s.menus[1] {
			for _, p := range s.parts[0][i] {
				for _, q := range s.parts[1][j] {
					if !p.ok || !q.ok {
						continue
					}
					plans++
					f, err := s.Judge(assemble(p, q))
					if err != nil {
						t.Fatal(err)
					}
					if f.Probability >= s.Aim.Probability {
						least = math.Min(least, f.Weight)
					}
				}
			}
		}
	}
	return least, plans
}

func BenchmarkTwoYearPlan(b *testing.B) {
	s := small(b, 0.7, 0.9)
	operations := Usual()
	for b.Loop() {
		one := &Search{
			Ensemble: s.Ensemble, Futures: s.Futures, Calendar: s.Calendar, Operations: operations, Prices: s.Prices, Aim: s.Aim, Seed: 3,
		}
		if _, err := one.Find(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}
