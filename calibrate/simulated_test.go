package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"underfoot/profile"
)

// plan of a simulated course.
type plan struct {
	greens, years int
	seed          uint64
	truth         func(rng *rand.Rand) profile.Params // of the course
	scatter       float64                             // of composites, ln; 0 for those of the prior
	ahead         int                                 // further years of weather and work
	uncored       bool                                // sand only
}

// simulated is a course made by the profile model itself: a mild climate, dressings every 16 days of the season, coring
// each autumn, a round each autumn with every green's top 20 mm and three greens' 20–40 and 40–60 mm.
type simulated struct {
	course Course
	daily  profile.Daily // with the years ahead
	work   []profile.Event
	truth  profile.Params
	om     func(green, day int, l Layer) float64 // true mass fraction
}

const firstDay = 18262 // 2020-01-01

func weather(years int) profile.Daily {
	d := profile.Daily{First: firstDay}
	for i := range years * 365 {
		temp := 11 + 9*math.Sin(2*math.Pi*float64(i-110)/365.25)
		d.Temp = append(d.Temp, temp)
		d.Index = append(d.Index, math.Exp(-0.5*math.Pow((temp-20)/5.5, 2)))
	}
	return d
}

func drawPrior(rng *rand.Rand) profile.Params {
	x := profile.Default().Coordinates()
	for i, e := range profile.Table {
		x[i] += e.Spread * rng.NormFloat64()
	}
	return profile.At(x)
}

func simulate(t testing.TB, p plan) *simulated {
	t.Helper()
	rng := rand.New(rand.NewPCG(p.seed, 1))
	s := &simulated{daily: weather(p.years + p.ahead), truth: profile.Default()}
	if p.truth != nil {
		s.truth = p.truth(rng)
	}
	set := profile.Usual()
	past := s.daily
	past.Temp, past.Index = past.Temp[:p.years*365], past.Index[:p.years*365]
	s.course = Course{Settings: set, Daily: past, Start: firstDay}
	var days []int
	for y := range p.years + p.ahead {
		for k := range 12 {
			s.work = append(s.work, profile.Event{Day: firstDay + y*365 + 95 + 16*k, Sand: 0.9})
			if k == 9 && !p.uncored {
				s.work = append(s.work, profile.Event{Day: firstDay + y*365 + 95 + 16*k, Opening: profile.Opening{Touched: 0.06, Depth: 75, Fill: 0.85}})
			}
		}
		days = append(days, firstDay+y*365+280)
	}
	prior := Usual()
	known := map[string]float64{}
	layers := []Layer{{0, 20}, {20, 40}, {40, 60}}
	for g := range p.greens {
		q := s.truth
		q[profile.Growth] *= math.Exp(prior.GreenGrowth.SD * rng.NormFloat64())
		q[profile.Surface] *= math.Exp(prior.GreenSurface.SD * rng.NormFloat64())
		out := runOf(t, set, s.daily, s.work, q, days, layers)
		var done []profile.Event
		for _, e := range s.work {
			if e.Day < past.Until() {
				done = append(done, e)
			}
		}
		s.course.Greens = append(s.course.Greens, Green{fmt.Sprint(g + 1), done})
		for d, day := range days {
			for l, layer := range layers {
				om := out[d*len(layers)+l]
				known[fmt.Sprint(g, day, layer)] = om.OM()
				if day >= past.Until() || l > 0 && g >= 3 {
					continue
				}
				sd := p.scatter
				if sd == 0 {
					sd = prior.Composite(layer.Top).SD
				}
				s.course.Measured = append(s.course.Measured, Measured{
					Green: g, Round: fmt.Sprint(2020 + d), Day: day, Top: layer.Top, Bottom: layer.Bottom, Cores: 5,
					OM:   om.OM() * math.Exp(sd*rng.NormFloat64()-sd*sd/2),
					Mass: om.Mass() * math.Exp(prior.Mass.SD*rng.NormFloat64()),
				})
			}
		}
	}
	s.om = func(green, day int, l Layer) float64 {
		if green >= 0 {
			return known[fmt.Sprint(green, day, l)]
		}
		var sum float64
		for g := range p.greens {
			sum += known[fmt.Sprint(g, day, l)] / float64(p.greens)
		}
		return sum
	}
	return s
}

func runOf(t testing.TB, set profile.Settings, d profile.Daily, work []profile.Event, q profile.Params, days []int, layers []Layer) []profile.Seen {
	t.Helper()
	named := slices.Clone(days)
	for _, e := range work {
		named = append(named, e.Day)
	}
	looks := set.Looks(d.First, d.Until(), named...)
	f, err := profile.NewForcing(d, looks, set)
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
	c, out := track.NewColumn(set, nil), profile.NewReadout(len(sights), 0)
	f.Set(q, false)
	if err := track.Run(c, f, q, out); err != nil {
		t.Fatal(err)
	}
	return out.Seen
}

func (s *simulated) fit(t testing.TB) *Fit {
	t.Helper()
	f, err := NewFit(&s.course, Usual())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func BenchmarkFit(b *testing.B) {
	s := simulate(b, plan{greens: 9, years: 6, seed: 4})
	for b.Loop() {
		f, err := NewFit(&s.course, Usual())
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(f.Iterations), "iterations")
	}
}

func BenchmarkEnsemble(b *testing.B) {
	s := simulate(b, plan{greens: 9, years: 6, seed: 4})
	f := s.fit(b)
	for b.Loop() {
		e, err := f.Ensemble(0, s.course.Daily.Until()-1, 1, 1)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(e.Effective, "effective")
	}
}

func BenchmarkForecast(b *testing.B) {
	s := simulate(b, plan{greens: 9, years: 6, seed: 4, ahead: 2})
	e, err := s.fit(b).Ensemble(1000, s.course.Daily.Until()-1, 1, 1)
	if err != nil {
		b.Fatal(err)
	}
	ask := Ask{Days: []int{s.course.Daily.Until() + 280, s.course.Daily.Until() + 645}, Futures: []profile.Daily{s.daily}}
	for range s.course.Greens {
		ask.Work = append(ask.Work, s.work)
	}
	for b.Loop() {
		if _, err := e.Forecast(ask); err != nil {
			b.Fatal(err)
		}
	}
}
