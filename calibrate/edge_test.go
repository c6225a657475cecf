package calibrate

import (
	"math"
	"slices"
	"strings"
	"testing"

	"underfoot/profile"
)

// keep leaves only some composites.
func (s *simulated) keep(which func(Measured) bool) *simulated {
	var kept []Measured
	for _, m := range s.course.Measured {
		if which(m) {
			kept = append(kept, m)
		}
	}
	s.course.Measured = kept
	return s
}

// Records that are thin or odd get an answer with a width, in numbers that are numbers.
func TestOddRecordsGetAnAnswer(t *testing.T) {
	const beyond = "less organic matter than the limits of the unknowns allow" // where the slopes do not lead
	for _, c := range []struct {
		name string
		plan plan
		bend func(*simulated)
	}{
		{"one composite", plan{greens: 1, years: 1}, func(s *simulated) { s.course.Measured = s.course.Measured[:1] }},
		{"one round", plan{greens: 3, years: 2}, func(s *simulated) { s.keep(func(m Measured) bool { return m.Round == "2021" }) }},
		{"one green", plan{greens: 1, years: 3}, nil},
		{"a layer sampled once", plan{greens: 3, years: 3}, func(s *simulated) { s.keep(func(m Measured) bool { return m.Top < 40 || m.Round == "2020" }) }},
		{"only a deep layer", plan{greens: 3, years: 3}, func(s *simulated) { s.keep(func(m Measured) bool { return m.Top == 40 }) }},
		{"no masses", plan{greens: 3, years: 3}, func(s *simulated) { each(s, func(m *Measured) { m.Mass = 0 }) }},
		{"a mass on one", plan{greens: 3, years: 3}, func(s *simulated) {
			each(s, func(m *Measured) { m.Mass = 0 })
			s.course.Measured[4].Mass = 25
		}},
		{"no work", plan{greens: 3, years: 3}, func(s *simulated) {
			for g := range s.course.Greens {
				s.course.Greens[g].Work = nil
			}
		}},
		{"work before the first profile", plan{greens: 2, years: 2}, func(s *simulated) {
			s.course.Greens[0].Work = slices.Insert(s.course.Greens[0].Work, 0, profile.Event{Day: firstDay - 200, Sand: 3})
		}},
		{"a round on the first day", plan{greens: 3, years: 2}, func(s *simulated) { each(s, func(m *Measured) { m.Day -= 280 }) }},
		{"the same reading everywhere", plan{greens: 3, years: 3}, func(s *simulated) { each(s, func(m *Measured) { m.OM, m.Mass = 0.04, 28 }) }},
		{"little organic matter", plan{greens: 2, years: 3}, func(s *simulated) { each(s, func(m *Measured) { m.OM /= 5 }) }},
		{beyond, plan{greens: 2, years: 3}, func(s *simulated) { each(s, func(m *Measured) { m.OM = 1e-4 }) }},
		{"more than half organic matter", plan{greens: 2, years: 3}, func(s *simulated) { each(s, func(m *Measured) { m.OM = 0.62 }) }},
		{"one reading a hundred times too high", plan{greens: 3, years: 3}, func(s *simulated) { s.course.Measured[2].OM = 0.97 }},
		{"single cores and big composites", plan{greens: 3, years: 2}, func(s *simulated) {
			s.course.Measured[0].Cores, s.course.Measured[1].Cores, s.course.Measured[2].BenchSD = 1, 400, 0.5
		}},
		{"layers that overlap", plan{greens: 2, years: 2}, func(s *simulated) {
			for _, m := range slices.Clone(s.course.Measured) {
				if m.Top == 0 {
					m.Bottom = 60
					s.course.Measured = append(s.course.Measured, m)
				}
			}
		}},
		{"forty greens", plan{greens: 40, years: 3}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.plan.seed, c.plan.ahead = 81, 1
			s := simulate(t, c.plan)
			if c.bend != nil {
				c.bend(s)
			}
			f := s.fit(t)
			e, err := f.Ensemble(60, s.course.Daily.Until()-1, 1, 2)
			if err != nil {
				t.Fatal(err)
			}
			fc, err := e.Forecast(Ask{Days: []int{s.course.Daily.Until() + 200}, Futures: []profile.Daily{s.daily}})
			if err != nil {
				t.Fatal(err)
			}
			for g := -1; g < fc.Greens; g++ {
				for l := range fc.Layers {
					est := fc.Estimate(g, 0, l)
					if !(est.Q05 > 0 && est.Q05 < est.Q50 && est.Q50 < est.Q95 && est.Q95 <= 1) {
						t.Errorf("green %d, layer %v: %+v", g, fc.Layers[l], est)
					}
				}
			}
			misfits, err := f.Misfits()
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range misfits {
				if math.IsNaN(m.Z) || math.IsNaN(m.Expected) {
					t.Errorf("%+v", m)
				}
			}
			for _, l := range f.Learnt() {
				if !(l.After.Q05 <= l.After.Q50 && l.After.Q50 <= l.After.Q95 && l.Decided >= 0 && l.Decided <= 1) {
					t.Errorf("%+v", l)
				}
			}
			if f.Iterations >= maxIterations && c.name != beyond {
				t.Errorf("the fit did not end in %d steps", maxIterations)
			}
		})
	}
}

func each(s *simulated, do func(*Measured)) {
	for i := range s.course.Measured {
		do(&s.course.Measured[i])
	}
}

// A green nobody sampled is foretold like its neighbours, and less surely.
func TestAGreenNeverSampledIsForetoldMoreWidely(t *testing.T) {
	s := simulate(t, plan{greens: 6, years: 4, seed: 83, ahead: 1})
	s.keep(func(m Measured) bool { return m.Green != 5 })
	e, err := s.fit(t).Ensemble(400, s.course.Daily.Until()-1, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	fc, err := e.Forecast(Ask{Days: []int{s.course.Daily.Until() + 200}, Futures: []profile.Daily{s.daily}, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	var widest float64
	for g := range 5 {
		widest = math.Max(widest, fc.Estimate(g, 0, 0).SD)
	}
	if never := fc.Estimate(5, 0, 0); never.SD < 1.3*widest {
		t.Errorf("0–20 mm of the green never sampled is foretold to %.4f, of the others to %.4f at most: it should be wider", never.SD, widest)
	}
}

// Every sentence in full.
func TestWhatIsRefused(t *testing.T) {
	s := simulate(t, plan{greens: 2, years: 2, seed: 1, ahead: 1})
	f := s.fit(t)
	e, err := f.Ensemble(20, s.course.Daily.Until()-1, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	other := func(bend func(*Course)) error {
		c := s.course
		c.Measured, c.Greens = slices.Clone(c.Measured), slices.Clone(c.Greens)
		bend(&c)
		_, err := NewFit(&c, Usual())
		return err
	}
	ask := func(a Ask) error { _, err := e.Forecast(a); return err }
	flows := func(a AskFlows) error { _, err := e.Flows(a); return err }
	end := s.course.Daily.Until()
	for _, c := range []struct {
		name string
		err  error
		want string
	}{
		{"cores", other(func(c *Course) { c.Measured[0].Cores = -1 }), "calibrating a course: composite of 0–20 mm on day 18542 on green 1 is of -1 cores: give 1 or more, or 0 for 5"},
		{"mass", other(func(c *Course) { c.Measured[0].Mass = math.Inf(1) }), "calibrating a course: composite of 0–20 mm on day 18542 on green 1 weighs +Inf kg/m²: give a dry mass above 0 and below 10000 kg/m², or 0 where no volume is known"},
		{"bench", other(func(c *Course) { c.Measured[0].BenchSD = math.NaN() }), "calibrating a course: composite of 0–20 mm on day 18542 on green 1 has a relative uncertainty of the bench of NaN: allowed are 0 to 1"},
		{"green", other(func(c *Course) { c.Measured[0].Green = 7 }), "calibrating a course: composite of 0–20 mm on day 18542 names green 7 of 2"},
		{"depths", other(func(c *Course) { c.Measured[0].Top = 20 }), "calibrating a course: composite of 20–20 mm on day 18542 on green 1: the second depth has to be deeper than the first"},
		{"start", other(func(c *Course) { c.Start = 18000 }), "calibrating a course: the first profile of day 18000 lies outside days 18262 to 18992 that weather and growth are known for"},
		{"settings", other(func(c *Course) { c.Settings.Q10 = 9 }), "settings of the profile: Q10 is 9: give 1 to 5"},
		{"deep coring", other(func(c *Course) {
			c.Greens[1].Work = []profile.Event{{Day: 18400, Opening: profile.Opening{Touched: 0.05, Depth: 250, Fill: 1}}}
		}), "green 2: work 1 of a green: depth of tines or blades is 250 mm: allowed are 0 to 140 mm"},
		{"fill", other(func(c *Course) {
			c.Greens[1].Work = []profile.Event{{Day: 18400, Opening: profile.Opening{Touched: 0.05, Depth: 75, Fill: 1.2}}}
		}), "green 2: work 1 of a green: share of the holes filled is 1.2: allowed are 0 to 1"},
		{"out of order", other(func(c *Course) {
			c.Greens[0].Work = []profile.Event{{Day: 18500, Sand: 1}, {Day: 18400, Sand: 1}}
		}), "green 1: work 2 of a green is dated before the one above it: sort it by day"},
		{"clean sand", other(func(c *Course) {
			c.Greens[0].Work = []profile.Event{{Day: c.Measured[0].Day, Sand: 60}}
		}), "calibrating a course: by the log of green 1, 0–20 mm was clean sand on day 18542, on which 4.95 % of organic matter was measured there: look for sand that is dated or measured wrongly"},
		{"no day", ask(Ask{}), "forecasting a course: no day is asked for"},
		{"past", ask(Ask{Days: []int{18000}}), "forecasting a course: day 18000 lies before the first profile of day 18262"},
		{"no weather", ask(Ask{Days: []int{end + 1}}), "forecasting a course: day 18993 lies after the weather that was given, which ends on day 18992"},
		{"too deep", ask(Ask{Days: []int{end}, Layers: []Layer{{100, 130}}}), "forecasting a course: 100–130 mm is asked for: give depths from 0 to 120 mm, the second deeper, or set a column deeper than 140 mm"},
		{"work", ask(Ask{Days: []int{end}, Work: make([][]profile.Event, 1)}), "forecasting a course: work for 1 greens, the course has 2"},
		{"flows apart", flows(AskFlows{Layers: []Layer{{0, 20}, {40, 60}}, Edges: []int{18300, 18600}}), "accounting for layers: 40–60 mm does not begin at 20 mm, where the one above it ends: give layers that touch, from the surface down"},
		{"flows without days", flows(AskFlows{Edges: []int{18300}}), "accounting for layers: give two or more days in order"},
		{"few members", func() error { _, err := f.Ensemble(3, end-1, 1, 1); return err }(), "drawing from a calibration: 3 members: give 10 or more"},
		{"another time", func() error { _, err := f.Ensemble(20, end+9, 1, 1); return err }(), "drawing from a calibration: day 19001 lies outside days 18262 to 18992 of its weather"},
		{"few draws", func() error { _, err := f.Sample(3, 1, 1, nil); return err }(), "sampling a calibration: 3 draws, every 1: give 10 or more and every 1 or more"},
		{"looking back", func() error { _, err := LookBack(&s.course, Usual(), 1, 20, 1); return err }(), "looking back: rounds of two dates or more have to be left after leaving some out"},
		{"comparing", func() error {
			_, err := e.Compare(Ask{Days: []int{end}}, Ask{Days: []int{end - 1}})
			return err
		}(), "comparing forecasts: they are not of the same days, layers and members"},
		{"trying the past", func() error { _, err := e.Trial(AskTrial{Days: []int{end - 1}}); return err }(), "trying plans: day 18991 is not after the last day of the record, 18991"},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("%s: %v\nwanted %s", c.name, c.err, c.want)
		} else if strings.Contains(c.want, "failed") {
			t.Errorf("%s: %s", c.name, c.want)
		}
	}
}
