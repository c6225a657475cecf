package profile_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"underfoot/profile"
)

// all lists every unknown.
func all() []profile.Unknown {
	var u []profile.Unknown
	for i := range profile.Unknowns {
		u = append(u, i)
	}
	return u
}

// season makes a plain six years: a mild climate, a dressing every 16 days of the season, coring twice a year.
func season(years int) (profile.Daily, []profile.Event) {
	d := profile.Daily{First: 18262}
	for i := range years * 365 {
		temp := 11 + 9*math.Sin(2*math.Pi*float64(i-110)/365.25)
		d.Temp = append(d.Temp, temp)
		d.Index = append(d.Index, math.Exp(-0.5*math.Pow((temp-20)/5.5, 2)))
		n := 1.1
		if i > 365*years/2 {
			n = 0.7
		}
		d.Nitrogen = append(d.Nitrogen, n)
	}
	var work []profile.Event
	for y := range years {
		for k := range 12 {
			day := d.First + y*365 + 95 + 16*k
			if k == 0 || k == 9 {
				work = append(work, profile.Event{Day: day, Opening: profile.Opening{Touched: 0.08, Depth: 75, Fill: 0.85}})
			}
			work = append(work, profile.Event{Day: day, Sand: 0.9})
		}
	}
	return d, work
}

func built(t testing.TB, years int, s profile.Settings, wrt []profile.Unknown) (*profile.Forcing, *profile.Track, *profile.Column, *profile.Readout) {
	t.Helper()
	daily, work := season(years)
	var named []int
	for _, e := range work {
		named = append(named, e.Day)
	}
	var sights []profile.Sight
	for y := range years {
		day := daily.First + y*365 + 270
		named = append(named, day)
		for _, top := range []float64{0, 20, 40} {
			sights = append(sights, profile.Sight{Day: day, Top: top, Bottom: top + 20})
		}
	}
	looks := s.Looks(daily.First, daily.Until(), named...)
	f, err := profile.NewForcing(daily, looks, s)
	if err != nil {
		t.Fatal(err)
	}
	track, err := profile.NewTrack(s, looks, work, sights)
	if err != nil {
		t.Fatal(err)
	}
	return f, track, track.NewColumn(s, wrt), profile.NewReadout(len(sights), len(wrt))
}

func TestDerivativesAreThoseOfTheRun(t *testing.T) {
	s := profile.Usual()
	wrt := all()
	f, track, c, out := built(t, 4, s, wrt)
	_, _, plain, seen := built(t, 4, s, nil)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 3 {
		x := profile.Default().Coordinates()
		for i := range x {
			x[i] += 0.3 * rng.NormFloat64() * profile.Table[i].Spread
		}
		p := profile.At(x)
		f.Set(p, true)
		if err := track.Run(c, f, p, out); err != nil {
			t.Fatal(err)
		}
		at := func(step float64, u int) []profile.Seen {
			y := x
			y[u] += step
			q := profile.At(y)
			f.Set(q, false)
			if err := track.Run(plain, f, q, seen); err != nil {
				t.Fatal(err)
			}
			return append([]profile.Seen(nil), seen.Seen...)
		}
		const step = 1e-5
		for u := range wrt {
			low, high := at(-step, u), at(step, u)
			for i := range out.Seen {
				want := (math.Log(high[i].OM()) - math.Log(low[i].OM())) / (2 * step)
				if got := out.DLogOM[i*len(wrt)+u]; math.Abs(got-want) > 1e-6*(1+math.Abs(want)) {
					t.Errorf("sight %d, %s: derivative of ln OM %.9f, by differences %.9f", i, profile.Table[u].Name, got, want)
				}
				want = (math.Log(high[i].Mass()) - math.Log(low[i].Mass())) / (2 * step)
				if got := out.DLogMass[i*len(wrt)+u]; math.Abs(got-want) > 1e-6*(1+math.Abs(want)) {
					t.Errorf("sight %d, %s: derivative of ln mass %.9f, by differences %.9f", i, profile.Table[u].Name, got, want)
				}
			}
		}
		f.Set(p, false)
		if err := track.Run(plain, f, p, seen); err != nil {
			t.Fatal(err)
		}
		for i := range seen.Seen {
			if d := math.Abs(seen.Seen[i].OM()/out.Seen[i].OM() - 1); d > 1e-12 {
				t.Errorf("sight %d reads differently with derivatives carried along: by %g", i, d)
			}
		}
	}
}

func TestStepHalvingConverges(t *testing.T) {
	read := func(step int) []profile.Seen {
		s := profile.Usual()
		s.Step = step
		f, track, c, out := built(t, 6, s, nil)
		f.Set(profile.Default(), false)
		if err := track.Run(c, f, profile.Default(), out); err != nil {
			t.Fatal(err)
		}
		return out.Seen
	}
	day, week, month := read(1), read(7), read(28)
	for i := range day {
		a, b := 100*math.Abs(week[i].OM()-day[i].OM()), 100*math.Abs(month[i].OM()-day[i].OM())
		if i >= 15 {
			t.Logf("sight %d: %.4f %%; weekly off by %.5f, monthly by %.5f points", i, 100*day[i].OM(), a, b)
		}
		if a > 0.02 || b > 0.06 {
			t.Errorf("sight %d: weekly looks off by %.4f points, monthly by %.4f", i, a, b)
		}
	}
}

// BenchmarkCourse runs nine greens through six years for what is seen; "kept" runs keep the whole column.
func BenchmarkCourse(b *testing.B) {
	for _, c := range []struct {
		name string
		step int
		wrt  []profile.Unknown
		kept bool
	}{
		{"daily", 1, nil, false},
		{"daily, kept", 1, nil, true},
		{"weekly", 7, nil, false},
		{"weekly, kept", 7, nil, true},
		{"monthly", 28, nil, false},
		{"weekly with derivatives", 7, all(), false},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := profile.Usual()
			s.Step = c.step
			f, track, col, out := built(b, 6, s, c.wrt)
			run := track.Read
			if c.kept {
				run = track.Run
			}
			b.ReportAllocs()
			for b.Loop() {
				f.Set(profile.Default(), c.wrt != nil)
				for range 9 {
					if err := run(col, f, profile.Default(), out); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}

func TestRunsAllocateNothing(t *testing.T) {
	for _, wrt := range [][]profile.Unknown{nil, all()} {
		f, track, column, out := built(t, 2, profile.Usual(), wrt)
		p := profile.Default()
		if n := testing.AllocsPerRun(5, func() {
			f.Set(p, wrt != nil)
			if err := track.Run(column, f, p, out); err != nil {
				t.Fatal(err)
			}
			if err := track.Read(column, f, p, out); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("a run with %d derivatives allocates %g times", len(wrt), n)
		}
	}
}
