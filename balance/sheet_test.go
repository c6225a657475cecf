package balance_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/balance"
	"underfoot/unit"
)

func autumn(year int) time.Time { return time.Date(year, time.October, 15, 0, 0, 0, 0, time.UTC) }

// sharp is a record of work without doubt: what is left is arithmetic.
var sharp = balance.Uncertainty{SandEvent: 1e-12}

// steady is a profile of one organic share all through, that new mat of the same share is built on.
func steady(year int, om, density float64) balance.Round {
	r := balance.Round{Label: fmt.Sprint(year), At: autumn(year)}
	for _, top := range []unit.Millimetres{0, 20, 40} {
		r.Layers = append(r.Layers, balance.Layer{Top: top, Bottom: top + 20, OM: unit.Fraction(om), Density: unit.KgPerM3(density)})
	}
	return r
}

// On a profile of one share, sand S with organic matter S·r formed on it keeps every layer as it is: the account
// must find A = S·r in the top layer, none below, and S as the sand that holds.
func TestSteadyProfileIsFoundExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		om := rapid.Float64Range(0.01, 0.12).Draw(t, "organic share")
		density := rapid.Float64Range(900, 1600).Draw(t, "density")
		s := rapid.Float64Range(0.5, 15).Draw(t, "sand")
		rounds := rapid.IntRange(2, 6).Draw(t, "rounds")
		h := balance.History{Uncertainty: sharp, Draws: 100}
		for y := range rounds {
			h.Rounds = append(h.Rounds, steady(2020+y, om, density))
			if y > 0 {
				// A year's sand for a year between rounds, leap years told apart.
				years := autumn(2020+y).Sub(autumn(2019+y)).Hours() / (24 * 365.25)
				for month := range 6 {
					h.Sand = append(h.Sand, balance.Sand{At: time.Date(2020+y, time.Month(4+month), 1, 0, 0, 0, 0, time.UTC), Amount: unit.KgPerM2(s * years / 6)})
				}
			}
		}
		sheet, err := balance.Of(h)
		if err != nil {
			t.Fatal(err)
		}
		want := []float64{s * om / (1 - om), 0, 0}
		sand := []float64{s, 0, 0}
		for k, l := range sheet.Layers {
			if !l.Answered() {
				t.Fatal(l.Reason)
			}
			if math.Abs(l.Formed.Value-want[k]) > 1e-9 || math.Abs(l.Hold.Value-sand[k]) > 1e-8 || math.Abs(l.Applied.Value-sand[k]) > 1e-9 {
				t.Fatalf("%s: formed %.12g, want %.12g; hold %.12g, applied %.12g, want %.12g", l.Name(), l.Formed.Value, want[k], l.Hold.Value, l.Applied.Value, sand[k])
			}
			for _, a := range l.Accounts {
				if err := a.Audit(); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}

// Cores taken out of a steady profile and the holes filled so that every layer stays as it is: mineral taken out
// is replaced in the holes, organic matter taken out must have formed there.
func TestCoringIsAccountedExactly(t *testing.T) {
	const om, density, f, depth = 0.05, 1250.0, 0.06, 40.0
	r := om / (1 - om)
	mineral := func(h float64) float64 { return h / 1000 * density * (1 - om) }
	h := balance.History{
		Rounds:      []balance.Round{steady(2021, om, density), steady(2022, om, density)},
		Uncertainty: sharp, Draws: 100,
		Coring: []balance.Coring{{At: autumn(2021).AddDate(0, 6, 0), Touched: f, Depth: depth, Removed: true, Backfill: unit.KgPerM2(f * mineral(depth))}},
	}
	sheet, err := balance.Of(h)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{f * mineral(20) * r, f * mineral(20) * r, 0} {
		a := sheet.Layers[k].Accounts[0]
		if got := a.Formed.Value; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: formed %.12g, want %.12g", sheet.Layers[k].Name(), got, want)
		}
		if math.Abs(a.LeftMineral.Value) > 1e-12 {
			t.Errorf("%s: %.12g kg/m² crossed the bottom, want none", sheet.Layers[k].Name(), a.LeftMineral.Value)
		}
		if math.Abs(a.RemovedOrganic.Value-want) > 1e-12 {
			t.Errorf("%s: %.12g kg/m² removed, want %.12g", sheet.Layers[k].Name(), a.RemovedOrganic.Value, want)
		}
	}
}

// Backfill deeper than a layer counts there only by its share; what holes cannot take stays on the surface.
func TestWhereSandGoes(t *testing.T) {
	when := autumn(2021).AddDate(0, 6, 0)
	for _, c := range []struct {
		name   string
		sand   []balance.Sand
		coring []balance.Coring
		want   []float64
	}{
		{"topdressing", []balance.Sand{{At: when, Amount: 4}}, nil, []float64{4, 0, 0}},
		{"injection across two layers", []balance.Sand{{At: when, Amount: 4, Top: 10, Bottom: 30}}, nil, []float64{2, 2, 0}},
		{"injection below what was measured", []balance.Sand{{At: when, Amount: 4, Top: 80, Bottom: 120}}, nil, []float64{0, 0, 0}},
		{"backfill to 100 mm", nil, []balance.Coring{{At: when, Touched: 0.05, Depth: 100, Backfill: 5}}, []float64{1, 1, 1}},
		// Holes of 5 L/m² take 7.75 kg/m² of sand at 1550 kg/m³; 2.25 stay on top.
		{"more than the holes take", nil, []balance.Coring{{At: when, Touched: 0.05, Depth: 100, Backfill: 10}}, []float64{2.25 + 7.75/5, 7.75 / 5, 7.75 / 5}},
		{"on the day of the second round", []balance.Sand{{At: autumn(2022), Amount: 4}}, nil, []float64{4, 0, 0}},
		{"on the day of the first round", []balance.Sand{{At: autumn(2021), Amount: 4}}, nil, []float64{0, 0, 0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet, err := balance.Of(balance.History{
				Rounds: []balance.Round{steady(2021, 0.05, 1250), steady(2022, 0.05, 1250)},
				Sand:   c.sand, Coring: c.coring, Uncertainty: sharp, Draws: 100,
			})
			if err != nil {
				t.Fatal(err)
			}
			for k, want := range c.want {
				if got := sheet.Layers[k].Accounts[0].Sand.Value; math.Abs(got-want) > 1e-12 {
					t.Errorf("%s: %.6g kg/m² of sand, want %.6g", sheet.Layers[k].Name(), got, want)
				}
			}
		})
	}
}

func TestLayersWithoutAnAccountSayWhy(t *testing.T) {
	only := func(r balance.Round, keep ...int) balance.Round {
		var l []balance.Layer
		for _, k := range keep {
			l = append(l, r.Layers[k])
		}
		r.Layers = l
		return r
	}
	sand := []balance.Sand{{At: autumn(2021).AddDate(0, 6, 0), Amount: 4}, {At: autumn(2022).AddDate(0, 6, 0), Amount: 4}}
	for _, c := range []struct {
		name     string
		rounds   []balance.Round
		reasons  []string
		warnings []string
	}{
		{
			"one round",
			[]balance.Round{only(steady(2021, 0.05, 1250), 0)},
			[]string{"0–20 mm needs two rounds that measured it and every layer above it; there is one"},
			nil,
		},
		{
			"rounds weeks apart",
			[]balance.Round{only(steady(2021, 0.05, 1250), 0), func() balance.Round {
				r := only(steady(2022, 0.05, 1250), 0)
				r.At = autumn(2021).AddDate(0, 0, 40)
				return r
			}()},
			[]string{"0–20 mm was measured from 15 Oct 2021 to 24 Nov 2021 only, which is too short to tell a year by; take the next round a year after the first"},
			[]string{
				"the time from 15 Oct 2021 to 24 Nov 2021 is only 0.1 years: growth in it shows the season more than the year",
				"no sand is recorded from 15 Oct 2021 to 24 Nov 2021: if some was put on, enter it, for the account takes it as none",
			},
		},
		{
			"upper layer missing once",
			[]balance.Round{steady(2021, 0.05, 1250), only(steady(2022, 0.05, 1250), 0, 2), only(steady(2023, 0.05, 1250), 0, 1)},
			[]string{"", "", "40–60 mm needs two rounds that measured it and every layer above it; there is one"},
			[]string{"round 2022: no account of 40–60 mm: 20–40 mm above it was not measured"},
		},
		{
			"top only",
			[]balance.Round{only(steady(2021, 0.05, 1250), 0), only(steady(2022, 0.05, 1250), 0)},
			[]string{""},
			[]string{"0–20 mm: only this layer was measured, so what sinks out of it is taken to be like it; a layer below would make this surer"},
		},
		{
			"top and deeper layer never together",
			[]balance.Round{only(steady(2021, 0.05, 1250), 0), only(steady(2022, 0.05, 1250), 0), only(steady(2023, 0.05, 1250), 1)},
			[]string{"", "20–40 mm needs two rounds that measured it and every layer above it; there is none"},
			[]string{
				"round 2023: no account of 20–40 mm: 0–20 mm above it was not measured",
				"0–20 mm: only this layer was measured, so what sinks out of it is taken to be like it; a layer below would make this surer",
			},
		},
		{
			"another cut",
			[]balance.Round{
				only(steady(2021, 0.05, 1250), 0), only(steady(2022, 0.05, 1250), 0),
				{Label: "2023", At: autumn(2023), Layers: []balance.Layer{{Bottom: 25, OM: 0.05, Density: 1250}}},
			},
			[]string{""},
			[]string{
				"round 2023: 0–25 mm is left out: the other rounds cut 0–20 mm",
				"0–20 mm: only this layer was measured, so what sinks out of it is taken to be like it; a layer below would make this surer",
			},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			sheet, err := balance.Of(balance.History{Rounds: c.rounds, Sand: sand, Uncertainty: sharp, Draws: 100})
			if err != nil {
				t.Fatal(err)
			}
			var reasons []string
			for _, l := range sheet.Layers {
				reasons = append(reasons, l.Reason)
			}
			if d := cmp.Diff(c.reasons, reasons); d != "" {
				t.Errorf("reasons (−want +got):\n%s", d)
			}
			if d := cmp.Diff(c.warnings, sheet.Warnings); d != "" {
				t.Errorf("warnings (−want +got):\n%s", d)
			}
		})
	}
}

func TestWarningsOfTiming(t *testing.T) {
	r := func(at time.Time) balance.Round {
		x := steady(2021, 0.05, 1250)
		x.Label, x.At = at.Format("2006-01"), at
		for i := range x.Layers { // doubt enough that nothing else is worth a warning
			x.Layers[i].OMSE, x.Layers[i].DensitySE = 0.01, 60
		}
		return x
	}
	sheet, err := balance.Of(balance.History{
		Rounds: []balance.Round{r(autumn(2021)), r(time.Date(2022, 4, 1, 0, 0, 0, 0, time.UTC)), r(time.Date(2023, 7, 1, 0, 0, 0, 0, time.UTC))},
		Sand:   []balance.Sand{{At: autumn(2021).AddDate(0, 1, 0), Amount: 2}},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"the time from 15 Oct 2021 to 1 Apr 2022 is only 0.5 years: growth in it shows the season more than the year",
		"the rounds of 1 Apr 2022 and 1 Jul 2023 fall 91 days apart in the year: part of the change is the season",
		"no sand is recorded from 1 Apr 2022 to 1 Jul 2023: if some was put on, enter it, for the account takes it as none",
	}
	if d := cmp.Diff(want, sheet.Warnings); d != "" {
		t.Errorf("warnings (−want +got):\n%s", d)
	}
}

func TestBadHistoriesAreRefused(t *testing.T) {
	good := func() balance.History {
		return balance.History{Rounds: []balance.Round{steady(2021, 0.05, 1250), steady(2022, 0.05, 1250)}, Draws: 100}
	}
	for _, c := range []struct {
		name   string
		change func(*balance.History)
		want   string
	}{
		{"no rounds", func(h *balance.History) { h.Rounds = nil }, "balance: no rounds: take cores, weigh and burn them first"},
		{"no date", func(h *balance.History) { h.Rounds[0].At = time.Time{} }, `balance: round "2021" has no date: give the date of its cores`},
		{"same day", func(h *balance.History) { h.Rounds[1].At = h.Rounds[0].At }, `balance: rounds "2021" and "2022" are both on 2021-10-15: join them into one`},
		{"no surface layer", func(h *balance.History) {
			for i := range h.Rounds {
				h.Rounds[i].Layers = h.Rounds[i].Layers[1:]
			}
		}, "balance: no round has a layer that starts at the surface: measure one, for example 0–20 mm"},
		{"overlap", func(h *balance.History) { h.Rounds[0].Layers[1].Top = 15 }, `balance: round "2021": layers 0–20 mm and 15–40 mm overlap: keep one of them`},
		{"upside down", func(h *balance.History) { h.Rounds[0].Layers[1].Bottom = 10 }, `balance: round "2021": layer 20–10 mm: the bottom must lie below the top, and the top at 0 mm or deeper`},
		{"all organic", func(h *balance.History) { h.Rounds[0].Layers[0].OM = 1 }, `balance: round "2021": layer 0–20 mm: organic matter is 100 %: the account needs more than 0 and less than 100 %`},
		{"organic not a number", func(h *balance.History) { h.Rounds[0].Layers[0].OM = unit.Fraction(math.NaN()) }, `balance: round "2021": layer 0–20 mm: organic matter is NaN %: the account needs more than 0 and less than 100 %`},
		{"no density", func(h *balance.History) { h.Rounds[0].Layers[0].Density = 0 }, `balance: round "2021": layer 0–20 mm: bulk density is 0 kg/m³: give a measured or estimated one above 0`},
		{"negative error", func(h *balance.History) { h.Rounds[0].Layers[0].OMSE = -0.01 }, `balance: round "2021": layer 0–20 mm: standard errors are -1 % and 0 kg/m³: give numbers of 0 or more`},
		{"negative sand", func(h *balance.History) { h.Sand = []balance.Sand{{At: autumn(2022), Amount: -1}} }, "balance: sand on 2022-10-15: amount is -1 kg/m²: give 0 or more"},
		{"sand upside down", func(h *balance.History) { h.Sand = []balance.Sand{{At: autumn(2022), Amount: 1, Top: 30, Bottom: 20}} }, "balance: sand on 2022-10-15: placed between 30 and 20 mm: the bottom must lie below the top"},
		{"whole surface cored", func(h *balance.History) { h.Coring = []balance.Coring{{At: autumn(2022), Touched: 1, Depth: 50}} }, "balance: coring on 2022-10-15: share of the surface is 1: give 0 or more and less than 1"},
		{"coring without depth", func(h *balance.History) { h.Coring = []balance.Coring{{At: autumn(2022), Touched: 0.05}} }, "balance: coring on 2022-10-15: depth is 0 mm: give a depth above 0 mm"},
		{"negative backfill", func(h *balance.History) {
			h.Coring = []balance.Coring{{At: autumn(2022), Touched: 0.05, Depth: 50, Backfill: -1}}
		}, "balance: coring on 2022-10-15: backfill is -1 kg/m²: give 0 or more"},
		{"odd draws", func(h *balance.History) { h.Draws = 101 }, "balance: 101 draws: give an even number from 100 to 1000000"},
		{"decay of a hundred a year", func(h *balance.History) { h.Decay = 100 }, "balance: 100 of the organic matter decays in a year: give 0 to 5, below 0 for none"},
		{"years that grow without bounds", func(h *balance.History) { h.Uncertainty = balance.Uncertainty{Drift: -1} }, "balance: uncertainty of a year's growth is -1 kg/m²: give a number from 0 to 10"},
		{"uncertainty of 200 %", func(h *balance.History) { h.Uncertainty.Area = 2 }, "balance: uncertainty of the record of work is 2: give relative standard uncertainties from 0 to 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := good()
			c.change(&h)
			_, err := balance.Of(h)
			if err == nil {
				t.Fatal("accepted")
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}

func TestSandByYear(t *testing.T) {
	h := balance.History{
		Sand:   []balance.Sand{{At: autumn(2022), Amount: 3}, {At: autumn(2021), Amount: 2}, {At: autumn(2021), Amount: 4, Top: 30, Bottom: 50}},
		Coring: []balance.Coring{{At: autumn(2021), Touched: 0.05, Depth: 100, Backfill: 5}, {At: autumn(2021), Touched: 0.05, Depth: 100}},
	}
	for _, c := range []struct {
		top, bottom unit.Millimetres
		want        []balance.YearAmount
	}{
		{0, 20, []balance.YearAmount{{2021, 3}, {2022, 3}}},
		{20, 40, []balance.YearAmount{{2021, 3}, {2022, 0}}},
	} {
		if d := cmp.Diff(c.want, h.SandByYear(c.top, c.bottom)); d != "" {
			t.Errorf("%g–%g mm (−want +got):\n%s", float64(c.top), float64(c.bottom), d)
		}
	}
}

func ExampleOf() {
	round := func(year int, top, mid float64) balance.Round {
		return balance.Round{Label: fmt.Sprint(year), At: autumn(year), Layers: []balance.Layer{
			{Top: 0, Bottom: 20, OM: unit.Fraction(top), OMSE: 0.003, Density: 1180, DensitySE: 25},
			{Top: 20, Bottom: 40, OM: unit.Fraction(mid), OMSE: 0.002, Density: 1300, DensitySE: 25},
		}}
	}
	h := balance.History{Rounds: []balance.Round{round(2022, 0.058, 0.041), round(2023, 0.061, 0.043), round(2024, 0.065, 0.044)}}
	for _, year := range []int{2023, 2024} {
		for week := range 10 {
			h.Sand = append(h.Sand, balance.Sand{At: time.Date(year, time.April, 1+14*week, 0, 0, 0, 0, time.UTC), Amount: 0.7})
		}
	}
	sheet, err := balance.Of(h)
	if err != nil {
		fmt.Println(err)
		return
	}
	top := sheet.Layers[0]
	fmt.Printf("%s makes %.2f kg/m² of organic matter a year (%.2f to %.2f)\n", top.Name(), top.Formed.Q50, top.Formed.Q05, top.Formed.Q95)
	fmt.Printf("it got %.1f kg/m² of sand a year; holding it takes %.1f (%.1f to %.1f)\n", top.Applied.Q50, top.Hold.Q50, top.Hold.Q05, top.Hold.Q95)
	// Output:
	// 0–20 mm makes 0.43 kg/m² of organic matter a year (0.26 to 0.62)
	// it got 7.0 kg/m² of sand a year; holding it takes 7.6 (5.6 to 9.9)
}
