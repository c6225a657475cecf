package app_test

import (
	"context"
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/profile"
)

// exampleOutlook is that of the example course with everything on record.
func exampleOutlook(t *testing.T, bend func(*underfoot.Records)) (*app.Standing, *app.Outlook, error) {
	t.Helper()
	at := time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)
	list, err := app.ReadPackage(context.Background(), filepath.Join("..", "..", "examples", "varrowmere"), at, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	if bend != nil {
		bend(list[0])
	}
	s, err := app.Stand(list[0], list[0].Course.Today(at), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	if s.OutlookIfKnown() != nil {
		t.Error("the outlook was worked out before anyone asked for it")
	}
	o, err := s.Outlook()
	if err == nil && s.OutlookIfKnown() != o {
		t.Error("the outlook is worked out again")
	}
	return s, o, err
}

// What the page says of one and two years on is what the forecast says.
func TestOutlookIsTheForecast(t *testing.T) {
	_, o, err := exampleOutlook(t, func(rs *underfoot.Records) { // a plan for both years, so that nothing is filled in
		for _, w := range rs.Work {
			if w.Planned() {
				w.ID, w.Date = w.ID+"-b", w.Date.Add(365)
				rs.Work = append(rs.Work, w)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if o.Plan != "the work planned" {
		t.Fatalf("it goes by %s", o.Plan)
	}
	f, err := o.Model.Forecast(o.Horizons)
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]app.ForecastRow{}
	for _, r := range o.Model.ForecastRows(f) {
		rows[r.Green+" "+r.Date+" "+underfoot.LayerName(r.TopMM, r.BottomMM)] = r
	}
	for _, l := range o.Layers {
		for h, day := range o.Horizons {
			r := rows[" "+day.String()+" "+underfoot.LayerName(l.Top, l.Bottom)]
			if e := l.Ahead[h]; 100*e.Q50 != r.Q50 || 100*e.Q05 != r.Q05 || 100*e.Q95 != r.Q95 {
				t.Errorf("%v on %s: %v, the forecast says %v", l.Layer, day, e, r)
			}
			for _, q := range l.Future {
				if q.Day == day && q.Estimate != l.Ahead[h] {
					t.Errorf("%v on %s: the fan shows %v, the words say %v", l.Layer, day, q.Estimate, l.Ahead[h])
				}
			}
		}
	}
	flows, err := o.Model.SeasonFlows()
	if len(o.Layers) != 3 || len(o.Back) != 3 || len(flows) == 0 || err != nil || len(o.Learnt) == 0 {
		t.Errorf("%d layers, %d looked back on, %d in the account (%v), %d unknowns", len(o.Layers), len(o.Back), len(flows), err, len(o.Learnt))
	}
}

// The surfaces of the burial chart keep their order, begin at the surface, and the chart agrees with the layers.
func TestBurial(t *testing.T) {
	_, o, err := exampleOutlook(t, nil)
	if err != nil {
		t.Fatal(err)
	}
	b := o.Burial
	if got, want := b.Dates[len(b.Dates)-1], o.Horizons[1]; got != want {
		t.Errorf("it ends on %s, want %s", got, want)
	}
	for i := range b.Dates {
		deeper := math.Inf(1)
		for _, z := range b.Seasons {
			if math.IsNaN(z.Depth[i]) {
				if b.Dates[i] > underfoot.MakeDate(z.Year, 1, 2) {
					t.Errorf("%s: no surface of %d", b.Dates[i], z.Year)
				}
				continue
			}
			if z.Depth[i] > deeper {
				t.Errorf("%s: the surface of %d lies at %.2f mm, below an older one at %.2f mm", b.Dates[i], z.Year, z.Depth[i], deeper)
			}
			deeper = z.Depth[i]
		}
		for j, v := range b.OM[i] {
			if !(v > 0 && v < 30) {
				t.Errorf("%s, %g mm: %g %%", b.Dates[i], b.Depths[j], v)
			}
		}
	}
	for _, l := range o.Layers { // at the last day, rows by their mean against the ensemble's middle
		for i, d := range b.Dates {
			if d.Add(-31) > o.From || d < o.From.Add(-31) {
				continue
			}
			var sum, n float64
			for j := range b.OM[i] {
				if b.Depths[j] >= l.Top && b.Depths[j+1] <= l.Bottom {
					sum, n = sum+b.OM[i][j], n+1
				}
			}
			if got, want := sum/n, 100*l.Now.Q50; math.Abs(got-want) > 1 {
				t.Errorf("%s, %v: the chart shows %.2f %%, the layer holds %.2f %%", d, l.Layer, got, want)
			}
		}
	}
}

// Sand spread on top buries what lay there by no less than its own thickness.
func TestBurialBySandAlone(t *testing.T) {
	rs := plain()
	for d := underfoot.MakeDate(2021, 1, 1); d <= underfoot.MakeDate(2025, 12, 31); d++ {
		mean := 10 - 8*math.Cos(2*math.Pi*float64(d.Time().YearDay()-20)/365)
		rs.Weather = append(rs.Weather, underfoot.Weather{Course: "a", Date: d, TMinC: underfoot.Some(mean - 4), TMaxC: underfoot.Some(mean + 4)})
	}
	s, err := app.Stand(rs, underfoot.MakeDate(2025, 12, 1), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	o, err := s.Outlook()
	if err != nil {
		t.Fatal(err)
	}
	sanding := o.Model.Fit.Params(-1)[profile.Sanding]
	at := func(year int, day underfoot.Date) float64 {
		for i, d := range o.Burial.Dates {
			if d >= day { // nothing is planned in the weeks between
				for _, z := range o.Burial.Seasons {
					if z.Year == year {
						return z.Depth[i]
					}
				}
			}
		}
		t.Fatalf("no surface of %d on %s", year, day)
		return 0
	}
	for _, c := range []struct {
		year int
		sand float64
	}{{2023, 18}, {2024, 12}, {2025, 6}} {
		got := at(c.year, o.From)
		if least := c.sand * sanding; got < least*0.999 || got > 2*least {
			t.Errorf("the surface of %d lies at %.2f mm under %.2f mm of sand", c.year, got, least)
		}
	}
}

// Without something a sentence says what is missing, or the answer is wide and says so.
func TestOutlookOfThinRecords(t *testing.T) {
	type seen struct {
		Err, Plan, Back string
		Layers          int
	}
	for _, c := range []struct {
		name string
		bend func(*underfoot.Records)
		want seen
	}{
		{"nothing measured", func(rs *underfoot.Records) { rs.Samples, rs.Weighings, rs.Results = nil, nil, nil }, seen{Err: "calibrating a course: no composite has been measured: cut and weigh a round first"}},
		{"nothing planned", func(rs *underfoot.Records) {
			var done []underfoot.Work
			for _, w := range rs.Work {
				if !w.Planned() {
					done = append(done, w)
				}
			}
			rs.Work = done
		}, seen{Plan: "the work of the last twelve months over again, as nothing is planned", Layers: 3}},
		{"no log", func(rs *underfoot.Records) { rs.Work = nil }, seen{Plan: "no work at all, as none is planned and none was logged in the last twelve months", Layers: 3}},
		{"no weather", func(rs *underfoot.Records) { rs.Weather = nil }, seen{Err: "weather: there is none: bring in daily lowest and highest temperatures of a station near the course"}},
		{"one round", func(rs *underfoot.Records) {
			var kept []underfoot.Sample
			for _, s := range rs.Samples {
				if s.Round == "2026-autumn" {
					kept = append(kept, s)
				}
			}
			rs.Samples = kept
		}, seen{Plan: "the work planned, up to 2027-05-25, and after it the work of the last twelve months over again", Back: "The model can be put to the test when there are three rounds: the last is left out and foretold from the others.", Layers: 3}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, o, err := exampleOutlook(t, c.bend)
			var got seen
			if err != nil {
				got.Err = err.Error()
			} else {
				got.Plan, got.Back, got.Layers = o.Plan, o.BackWhy, len(o.Layers)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}
