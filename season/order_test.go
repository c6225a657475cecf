package season_test

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/coring"
	"underfoot/internal/reference"
	"underfoot/season"
	"underfoot/unit"
)

func day(year int, month time.Month, d int) int {
	return int(time.Date(year, month, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func text(d int) string { return time.Unix(int64(d)*86400, 0).UTC().Format("Mon 2006-01-02") }

var light = season.Operation{ID: "light", Kind: season.Topdress, SandHigh: 2, Spacing: 7}

func dressings(mm float64, days ...int) *season.Plan {
	p := &season.Plan{}
	for _, d := range days {
		p.Entries = append(p.Entries, season.Entry{Day: d, Operation: &light, SandMM: mm})
	}
	return p
}

// Published and defined conversions, and the sand that fills holes, through what an order is made with.
func TestPublishedAmounts(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/order.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				MM, Area, Density, Moisture, Losses  float64
				Diameter, Along, Across, Depth, Fill float64
				Surface                              float64
			}
			if err := json.Unmarshal(c.Input, &in); err != nil {
				t.Fatal(err)
			}
			var want map[string]float64
			if err := json.Unmarshal(c.Want, &want); err != nil {
				t.Fatal(err)
			}
			o := light
			if in.Diameter > 0 {
				o = season.Operation{
					ID: "core", Kind: season.HollowCore, Depth: in.Depth, Fill: in.Fill, SandHigh: 2, Spacing: 60,
					Tines: coring.Tines{Diameter: unit.Millimetres(in.Diameter), Along: unit.Millimetres(in.Along), Across: unit.Millimetres(in.Across)},
				}
			}
			p := &season.Plan{Entries: []season.Entry{{Day: day(2027, time.May, 3), Operation: &o, SandMM: in.MM}}}
			order, err := p.Order(&season.Prices{Density: in.Density, AreaM2: in.Area, Moisture: in.Moisture, Losses: in.Losses}, season.Terms{})
			if err != nil {
				t.Fatal(err)
			}
			got := map[string]float64{
				"sand_mm": order.SandMM, "dry_t": order.DryTonnes, "dry_kg_m2": order.DryTonnes * 1000 / in.Area, "t": order.Tonnes,
				"m3": order.SandMM / 1000 * in.Area, "lb_1000ft2": order.DryTonnes * 1000 / 0.45359237 / in.Area * 92.90304,
			}
			for name, v := range want {
				c.Near(t, name, got[name], v)
			}
		})
	}
}

// Sand comes ahead of its use, on weekdays, month by month where no storage is known.
func TestDeliveries(t *testing.T) {
	// 1 mm on 5000 m² at 1600 kg/m³, 5 % of water: 8.4 t a dressing.
	prices := &season.Prices{SandPerTonne: 40, Density: 1600, AreaM2: 5000, Moisture: 0.05}
	plan := dressings(1, day(2027, time.May, 3), day(2027, time.May, 17), day(2027, time.June, 14), day(2027, time.September, 6))
	cases := []struct {
		name  string
		terms season.Terms
		want  string
	}{
		{"to the tonne, month by month", season.Terms{}, "Mon 2027-04-26 16.8 t (0), Mon 2027-06-07 8.4 t (0), Mon 2027-08-30 8.4 t (0); left 0.0"},
		{"whole loads", season.Terms{LoadT: 20}, "Mon 2027-04-26 20.0 t (1), Mon 2027-06-07 20.0 t (1); left 6.4"},
		{"what can be stored", season.Terms{LoadT: 10, StorageT: 20}, "Mon 2027-04-26 20.0 t (2), Mon 2027-06-07 10.0 t (1), Mon 2027-08-30 10.0 t (1); left 6.4"},
		{"much storage", season.Terms{LoadT: 10, StorageT: 100}, "Mon 2027-04-26 30.0 t (3), Mon 2027-08-30 10.0 t (1); left 6.4"},
		{"weekend and closed days", season.Terms{Lead: 1, Closed: []season.Closed{{From: day(2027, time.April, 29), Until: day(2027, time.April, 30)}}}, "Wed 2027-04-28 16.8 t (0), Fri 2027-06-11 8.4 t (0), Fri 2027-09-03 8.4 t (0); left 0.0"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			o, err := plan.Order(prices, c.terms)
			if err != nil {
				t.Fatal(err)
			}
			var got string
			for i, d := range o.Deliveries {
				if i > 0 {
					got += ", "
				}
				got += fmt.Sprintf("%s %.1f t (%d)", text(d.Day), d.Tonnes, d.Loads)
			}
			got += fmt.Sprintf("; left %.1f", o.Left)
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
		})
	}
}

func TestWorkThatCannotBeStored(t *testing.T) {
	prices := &season.Prices{Density: 1600, AreaM2: 10000}
	o, err := dressings(2, day(2027, time.May, 3)).Order(prices, season.Terms{LoadT: 8, StorageT: 20})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"the work of 3 May 2027 takes more sand than can be stored: 12.0 t of the delivery go straight onto the greens, or come in parts"}
	if d := cmp.Diff(want, o.Notes); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

func TestTermsRefused(t *testing.T) {
	cases := []struct {
		terms season.Terms
		want  string
	}{
		{season.Terms{LoadT: 20, StorageT: 10}, "sand order: one load is 20 t, more than the 10 t that can be stored: give a smaller load or more storage"},
		{season.Terms{LoadT: -1}, "sand order: a term is -1: give load and storage in t and lead in days, 0 or more"},
		{season.Terms{StorageT: math.NaN()}, "sand order: a term is NaN: give load and storage in t and lead in days, 0 or more"},
	}
	for _, c := range cases {
		if _, err := dressings(1, 20000).Order(&season.Prices{}, c.terms); fmt.Sprint(err) != c.want {
			t.Errorf("%+v: got %v, want %s", c.terms, err, c.want)
		}
	}
}

// Whatever the plan and the terms: the stock never runs short, loads are whole, sand comes ahead of its use, what is
// ordered less what is needed is left, and costs by month sum up to the whole.
func TestOrderHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prices := &season.Prices{
			SandPerTonne: 40, Hour: 30, Density: rapid.Float64Range(1300, 1800).Draw(t, "density"), AreaM2: rapid.Float64Range(100, 20000).Draw(t, "area"),
			Moisture: rapid.Float64Range(0, 0.2).Draw(t, "moisture"), Losses: rapid.Float64Range(0, 0.2).Draw(t, "losses"),
		}
		terms := season.Terms{LoadT: rapid.SampledFrom([]float64{0, 1, 18, 20}).Draw(t, "load"), StorageT: rapid.SampledFrom([]float64{0, 20, 60, 500}).Draw(t, "storage"), Lead: rapid.IntRange(0, 30).Draw(t, "lead")}
		var days []int
		n := rapid.IntRange(0, 20).Draw(t, "n")
		for d := 20800; len(days) < n; {
			d += rapid.IntRange(1, 60).Draw(t, "gap")
			days = append(days, d)
		}
		plan := dressings(rapid.Float64Range(0, 2).Draw(t, "mm"), days...)
		o, err := plan.Order(prices, terms)
		if err != nil {
			t.Fatal(err)
		}
		var in, used float64
		next := 0
		for _, u := range o.Uses {
			for ; next < len(o.Deliveries) && o.Deliveries[next].Before <= u.Day; next++ {
				d := o.Deliveries[next]
				in += d.Tonnes
				if d.Day > u.Day-max(terms.Lead, 1) {
					t.Fatalf("delivery on %d for work on %d", d.Day, u.Day)
				}
				if terms.LoadT > 0 && math.Abs(d.Tonnes-float64(d.Loads)*terms.LoadT) > 1e-9 {
					t.Fatalf("%g t is not %d loads", d.Tonnes, d.Loads)
				}
				if terms.StorageT > 0 && d.Stored-d.Over > terms.StorageT+1e-5 {
					t.Fatalf("%g t are stored", d.Stored)
				}
			}
			used += u.Tonnes
			if used > in+1e-4 {
				t.Fatalf("on %s %g t are used of %g t", text(u.Day), used, in)
			}
		}
		if math.Abs(used-o.Tonnes) > 1e-6 || math.Abs(o.Ordered-o.Tonnes-o.Left) > 1e-5 || o.Left < -1e-4 {
			t.Fatalf("needed %g, used %g, ordered %g, left %g", o.Tonnes, used, o.Ordered, o.Left)
		}
		always := &season.Calendar{From: 20000, Until: 23000, Index: func(int) float64 { return 1 }}
		var money float64
		for _, m := range plan.CostByMonth(prices, always) {
			money += m.Money()
		}
		if whole := plan.Cost(prices, always).Money(); math.Abs(money-whole) > 1e-6*(1+whole) {
			t.Fatalf("by month %g, in all %g", money, whole)
		}
	})
}

// On days of delivery that are given, each brings what is used up to the next; work before the first is supplied as usual,
// and what is more than can be stored is said.
func TestOrderOnGivenDays(t *testing.T) {
	p := dressings(1, day(2027, time.April, 5), day(2027, time.May, 3), day(2027, time.June, 7), day(2027, time.August, 2))
	prices := &season.Prices{Density: 1600, AreaM2: 10000}
	o, err := p.Order(prices, season.Terms{LoadT: 10, StorageT: 30, On: []int{day(2027, time.July, 1), day(2027, time.April, 20)}})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, d := range o.Deliveries {
		got = append(got, fmt.Sprintf("%s %d loads for %s", text(d.Day), d.Loads, text(d.Before)))
	}
	want := []string{"Mon 2027-03-29 2 loads for Mon 2027-04-05", "Tue 2027-04-20 3 loads for Mon 2027-05-03", "Thu 2027-07-01 2 loads for Mon 2027-08-02"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("deliveries (-want +got)\n%s", diff)
	}
	notes := []string{
		"no day of delivery lies before the work of 5 April 2027: its sand is put down for 29 March 2027",
		"the delivery of 20 April 2027 brings the sand on the course to 34.0 t, 4.0 t more than can be stored: give a day of delivery in between",
	}
	if diff := cmp.Diff(notes, o.Notes); diff != "" {
		t.Errorf("notes (-want +got)\n%s", diff)
	}
}

// Whatever the days of delivery, sand lies on the course before it is used, and what is delivered reaches for it.
func TestOrderOnGivenDaysReaches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		some := rapid.SliceOfNDistinct(rapid.IntRange(20600, 21300), 1, 12, rapid.ID[int])
		terms := season.Terms{LoadT: rapid.SampledFrom([]float64{0, 8, 20}).Draw(t, "load"), StorageT: rapid.SampledFrom([]float64{0, 20, 60}).Draw(t, "storage"), On: some.Draw(t, "on")}
		p := dressings(rapid.Float64Range(0.1, 2).Draw(t, "mm"), some.Draw(t, "days")...)
		o, err := p.Order(&season.Prices{Density: 1600, AreaM2: 5000}, terms)
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range o.Uses {
			here := 0.0
			for _, d := range o.Deliveries {
				if d.Day < u.Day {
					here += d.Tonnes
				}
			}
			for _, before := range o.Uses {
				if before.Day <= u.Day {
					here -= before.Tonnes
				}
			}
			if here < -1e-6 {
				t.Fatalf("%.3f t are missing for the work of %s", -here, text(u.Day))
			}
		}
	})
}
