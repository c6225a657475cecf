package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"underfoot/internal/reference"
	"underfoot/unit"
)

func TestFiellerAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/fieller.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct{ At, A, B, Value, T2Vaa, T2Vab, T2Vbb float64 }
			var want struct {
				X, Low, High float64
				Unbounded    bool
			}
			c.Decode(t, &in, &want)
			const df = 7
			t2 := quantile(0.975, df) * quantile(0.975, df)
			l := lineAt{at: in.At, a: in.A, b: in.B, vaa: in.T2Vaa / t2, vab: in.T2Vab / t2, vbb: in.T2Vbb / t2, df: df}
			x, low, high, ok := l.fieller(in.Value)
			if ok == want.Unbounded {
				t.Fatalf("bounded %v, want %v", ok, !want.Unbounded)
			}
			if want.Unbounded {
				return
			}
			c.Near(t, "x", x, want.X)
			c.Near(t, "low", low, want.Low)
			c.Near(t, "high", high, want.High)
		})
	}
}

// surface is a course made up for the tests: greens with organic matter of their own that falls by a line, water that follows it,
// firmness that follows both.
type surface struct {
	greens, years, days int // days: reading days a year
	direct, water, wet  float64
	noise               float64
	rng                 *rand.Rand
}

// make gives composites of the top layer, readings, and the true organic matter of the mean of the greens in the middle.
func (s surface) make() (obs []Observation, readings []Reading) {
	base := time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	own := make([]float64, s.greens)
	for g := range own {
		own[g] = s.rng.NormFloat64()
	}
	om := func(g int, t float64) float64 { return 6 + own[g] - 0.6*t }
	for y := range s.years {
		date := base.AddDate(y, 6, 0)
		for g := range s.greens {
			v := om(g, float64(y)+0.5) * (1 + 0.13*s.rng.NormFloat64())
			obs = append(obs, Observation{Green: fmt.Sprint(g), Round: fmt.Sprint(y), Date: date, BottomMM: 20, OM: unit.Percent(v), Cores: 5})
		}
		for d := range s.days {
			date := base.AddDate(y, 3, d*180/s.days)
			weather := 2 * s.rng.NormFloat64()
			for g := range s.greens {
				x := om(g, float64(y)+0.25+float64(d)/float64(2*s.days))
				w := 8 + s.wet*x + weather + s.noise*s.rng.NormFloat64()
				f := 125 + s.direct*x + s.water*(w-18) + 3*s.noise*s.rng.NormFloat64()
				readings = append(readings,
					Reading{Green: fmt.Sprint(g), Date: date, Kind: Moisture, Value: w}, Reading{Green: fmt.Sprint(g), Date: date, Kind: FirmnessGmax, Value: f})
			}
		}
	}
	return obs, readings
}

func topOf(t testing.TB, obs []Observation) Layer {
	t.Helper()
	found, err := Layers(obs, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(found) == 0 {
		return Layer{}
	}
	return found[0]
}

func firmBand(low, high float64) []Target {
	return []Target{{Kind: FirmnessGmax, Low: low, High: high}}
}

func usual(seed uint64) surface {
	return surface{greens: 6, years: 4, days: 8, direct: -4, water: -0.8, wet: 1.5, noise: 1, rng: rand.New(rand.NewPCG(seed, 1))}
}

func TestResponseSaysWhyItCannot(t *testing.T) {
	obs, readings := usual(3).make()
	keep := func(which func(Reading) bool) []Reading {
		var out []Reading
		for _, r := range readings {
			if which(r) {
				out = append(out, r)
			}
		}
		return out
	}
	change := func(how func(*Reading)) []Reading {
		out := append([]Reading(nil), readings...)
		for i := range out {
			how(&out[i])
		}
		return out
	}
	first := readings[0].Date
	same := append([]Observation(nil), obs...)
	for i := range same {
		same[i].OM = 5
	}
	for _, c := range []struct {
		name     string
		readings []Reading
		obs      []Observation
		want     string
	}{
		{"no composites", readings, nil, "No organic matter of the layer at the surface is known yet to hold firmness against."},
		{"no water", keep(func(r Reading) bool { return r.Kind != Moisture }), obs, "No water content was read beside firmness: what organic matter does by itself and what it does through water cannot be told apart."},
		{"other greens", change(func(r *Reading) { r.Green = "x" + r.Green }), obs, "None of the greens with readings of firmness and water content was sampled in 0–20 mm."},
		{"too early", change(func(r *Reading) { r.Date = r.Date.AddDate(-9, 0, 0) }), obs, "No reading of firmness lies between rounds of 0–20 mm or within three months of one."},
		{"one green", keep(func(r Reading) bool { return r.Green == "0" }), obs, "All readings of firmness with water content are from one green: two greens at least are needed to hold them against organic matter."},
		{"one date", keep(func(r Reading) bool { return r.Date.Equal(first) }), obs, "All readings of firmness with water content are from one day: two days at least are needed to hold them against organic matter."},
		{"few", readings[:20], obs, "Only 10 readings of firmness with water content and organic matter beside it: at least 12 are needed."},
		{"constant firmness", change(func(r *Reading) {
			if r.Kind == FirmnessGmax {
				r.Value = 100
			}
		}), obs, "Every reading of firmness is the same, which is a stuck instrument or a copied number: nothing can be held against it."},
		{"constant water", change(func(r *Reading) {
			if r.Kind == Moisture {
				r.Value = 20
			}
		}), obs, "Every reading of water content beside firmness is the same, which is a stuck instrument or a copied number: what water does cannot be told."},
		{"constant organic matter", readings, same, "Organic matter in 0–20 mm is the same on every green and day as far as the composites know: what it does to firmness cannot be told."},
		{"exact", change(func(r *Reading) {
			r.Value = float64(r.Date.YearDay()%7) + float64(r.Green[0])
			if r.Kind == Moisture {
				r.Value = float64(r.Date.YearDay()%5*(1+int(r.Green[0])%3)) + float64(r.Green[0])
			}
		}), obs, "Organic matter and firmness cannot be held together: greens, days and slopes leave no scatter to judge by, which readings never do."},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Respond(c.readings, firmBand(95, 115), topOf(t, c.obs))
			if err != nil || len(got) != 1 {
				t.Fatalf("%d answers, %v", len(got), err)
			}
			if got[0].Known || got[0].Why != c.want || got[0].Sentence() != c.want {
				t.Errorf("got  %v %q\nwant %q", got[0].Known, got[0].Why, c.want)
			}
			if s := got[0].Because(); s != "" {
				t.Errorf("reason for the direction: %q, want none", s)
			}
		})
	}
	_, err := Respond([]Reading{{Green: "1", Date: first, Kind: FirmnessGmax, Value: math.NaN()}}, nil, topOf(t, obs))
	if want := `readings and organic matter: reading of firmness_gmax on green "1" of 1 Apr 2020: NaN is not a number to reckon with: correct or drop it`; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if got, err := Respond(nil, nil, Layer{}); err != nil || got != nil {
		t.Errorf("no readings: %v, %v", got, err)
	}
}

// A course made by the model itself: slopes and band level must hold the truth about as often as they say.
func TestResponseHoldsTheTruth(t *testing.T) {
	const courses = 60
	var direct, water, levels, told, tells int
	for i := range courses {
		obs, readings := usual(uint64(100 + i)).make()
		got, err := Respond(readings, firmBand(96, 110), topOf(t, obs))
		if err != nil {
			t.Fatal(err)
		}
		r := got[0]
		if !r.Known {
			t.Fatalf("course %d: %s", i, r.Why)
		}
		if r.Direct.Lower95 <= -4 && -4 <= r.Direct.Upper95 {
			direct++
		}
		if r.Water.Lower95 <= -0.8 && -0.8 <= r.Water.Upper95 {
			water++
		}
		if r.Tells {
			tells++
		}
		for _, l := range []OMLevel{r.Low, r.Middle, r.High} {
			if !l.Told {
				continue
			}
			told++
			truth := (125 - 0.8*(r.TypicalWater-18) - l.Reading) / 4
			if (l.LowOpen || l.Lower95 <= truth) && (l.UpperOpen || truth <= l.Upper95) {
				levels++
			}
		}
	}
	t.Logf("of %d courses: direct %d, water %d, tells %d; levels %d of %d", courses, direct, water, tells, levels, told)
	// 95 in 100 of 60 are 57 ± 1.7: fewer than 52 once in 500
	if direct < 52 || water < 52 || tells < 50 || told < 120 || float64(levels) < 0.9*float64(told) {
		t.Errorf("of %d courses: direct %d, water %d, tells %d; levels %d of %d", courses, direct, water, tells, levels, told)
	}
}

// Penetration depth is firmer when smaller: the same course told in millimetres says the same the other way round.
func TestResponseOfPenetrationDepthIsTurnedRound(t *testing.T) {
	obs, readings := usual(7).make()
	turned := append([]Reading(nil), readings...)
	for i := range turned {
		if turned[i].Kind == FirmnessGmax {
			turned[i].Kind, turned[i].Value = FirmnessMM, 25-turned[i].Value/10
		}
	}
	top := topOf(t, obs)
	g, err := Respond(readings, firmBand(96, 110), top)
	if err != nil {
		t.Fatal(err)
	}
	mm, err := Respond(turned, []Target{{Kind: FirmnessMM, Low: 14, High: 15.4}}, top)
	if err != nil {
		t.Fatal(err)
	}
	if !g[0].Tells || !mm[0].Tells || mm[0].Against || g[0].Against {
		t.Fatalf("tells %v and %v, against %v and %v", g[0].Tells, mm[0].Tells, g[0].Against, mm[0].Against)
	}
	for _, v := range []struct {
		name      string
		got, want float64
	}{
		{"direct", mm[0].Direct.Value, -g[0].Direct.Value / 10},
		{"middle", mm[0].Middle.OM, g[0].Middle.OM},
		{"explained", mm[0].Beyond.Share, g[0].Beyond.Share},
	} {
		if math.Abs(v.got-v.want) > 1e-4*math.Abs(v.want) {
			t.Errorf("%s: %g, want %g", v.name, v.got, v.want)
		}
	}
	if s := mm[0].Sentence(); !strings.Contains(s, "softer greens: +") || !strings.Contains(s, " mm (") {
		t.Errorf("says %q", s)
	}
}

// Firmness that has nothing to do with organic matter: no level is told more often than the interval allows.
func TestResponseDoesNotTellWhereNothingIs(t *testing.T) {
	const courses = 40
	tells := 0
	for i := range courses {
		s := usual(uint64(500 + i))
		s.direct = 0
		obs, readings := s.make()
		got, err := Respond(readings, firmBand(110, 130), topOf(t, obs))
		if err != nil || !got[0].Known {
			t.Fatal(err, got[0].Why)
		}
		if got[0].Tells {
			tells++
		} else if got[0].Low.Told || got[0].Middle.Told || got[0].High.Told || !strings.Contains(got[0].Because(), "cannot tell") {
			t.Errorf("course %d: told though it cannot: %q", i, got[0].Because())
		}
	}
	t.Logf("%d of %d tell", tells, courses)
	if tells > 6 { // 5 in 100 of 40 are 2 ± 1.4; more than 6 once in 300
		t.Errorf("%d of %d courses without any effect tell one", tells, courses)
	}
}

// In a complete table of greens and days the slope on water is that of least squares on departures from green and day, in closed form: what mixed
// models with the means of both as columns come to (Mundlak, Econometrica 46:69–85, 1978; from memory).
func TestWaterSlopeIsThatWithinDays(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 2))
	const greens, days = 5, 9
	base := time.Date(2024, 7, 1, 0, 0, 0, 0, time.UTC)
	top := Layer{BottomMM: 20, Rounds: []RoundMean{{Date: base, Mean: 5, Same: 5, SameSE: 0.1}}, Consistency: Consistency{AsAt: base, Known: true}}
	var readings []Reading
	var w, f [greens][days]float64
	weather := [days]float64{}
	for d := range weather {
		weather[d] = rng.NormFloat64()
	}
	for g := range greens {
		dev := rng.NormFloat64()
		top.Consistency.Greens = append(top.Consistency.Greens, Green{Green: fmt.Sprint(g), Deviation: dev, FromSE: 0.1})
		for d := range days {
			w[g][d] = 18 + 2*weather[d] + dev + rng.NormFloat64()
			f[g][d] = 110 - 3*dev - 0.9*w[g][d] + weather[d] + 2*rng.NormFloat64()
			at := base.AddDate(0, 0, 7*d)
			readings = append(readings, Reading{Green: fmt.Sprint(g), Date: at, Kind: Moisture, Value: w[g][d]}, Reading{Green: fmt.Sprint(g), Date: at, Kind: FirmnessGmax, Value: f[g][d]})
		}
	}
	depart := func(x [greens][days]float64, g, d int) float64 {
		var row, column, all float64
		for i := range greens {
			column += x[i][d] / greens
			for j := range days {
				all += x[i][j] / greens / days
			}
		}
		for j := range days {
			row += x[g][j] / days
		}
		return x[g][d] - row - column + all
	}
	var both, own float64
	for g := range greens {
		for d := range days {
			both += depart(w, g, d) * depart(f, g, d)
			own += depart(w, g, d) * depart(w, g, d)
		}
	}
	got, err := Respond(readings, nil, top)
	if err != nil || !got[0].Known {
		t.Fatal(err, got)
	}
	if r := got[0]; math.Abs(r.Water.Value-both/own) > 1e-9 {
		t.Errorf("slope on water %.12f, within days %.12f", r.Water.Value, both/own)
	}
}
