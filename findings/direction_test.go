package findings

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func date(s string) time.Time {
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return d
}

// season makes readings on two greens, ten days apart from a date on, about the values given.
func season(kind Kind, from string, values ...float64) []Reading {
	var out []Reading
	for i, v := range values {
		d := date(from).AddDate(0, 0, 10*i)
		out = append(out, Reading{"1", d, kind, v - 1}, Reading{"2", d, kind, v + 1})
	}
	return out
}

func join(parts ...[]Reading) []Reading {
	var out []Reading
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

var (
	wantFirm  = Target{FirmnessGmax, 95, 115, 4, 10}
	wantDepth = Target{FirmnessMM, 9, 11, 4, 10}
	wantWater = Target{Moisture, 15, 25, 4, 10}

	soft   = season(FirmnessGmax, "2025-05-01", 88, 90, 87, 89, 86, 88)
	firm   = season(FirmnessGmax, "2025-05-01", 121, 123, 120, 122, 124, 122)
	right  = season(FirmnessGmax, "2025-05-01", 104, 106, 103, 105, 107, 105)
	wet    = season(Moisture, "2025-05-01", 29, 31, 28, 30, 29, 31)
	dry    = season(Moisture, "2025-05-01", 10, 11, 9, 10, 12, 10)
	moist  = season(Moisture, "2025-05-01", 20, 21, 19, 20, 22, 20)
	unsure = season(FirmnessGmax, "2025-05-01", 94, 96, 95, 93, 97, 95)
)

func TestJudge(t *testing.T) {
	both := []Target{wantFirm, wantWater}
	cases := []struct {
		name     string
		readings []Reading
		targets  []Target
		asOf     string
		verdict  Verdict
		by       string
		low, top float64 // probability lies between
	}{
		{"soft and wet", join(soft, wet), both, "2025-11-13", Lower, "both", 0.95, 1},
		{"soft, water right", join(soft, moist), both, "2025-11-13", Lower, "firmness", 0.95, 1},
		{"firmness right, wet", join(right, wet), both, "2025-11-13", Lower, "water", 0.95, 1},
		{"both right", join(right, moist), both, "2025-11-13", Hold, "both", 0.95, 1},
		{"firm and dry", join(firm, dry), both, "2025-11-13", Raise, "both", 0.95, 1},
		{"firmness right, dry", join(right, dry), both, "2025-11-13", Raise, "water", 0.95, 1},
		{"soft though dry: firmness decides, less surely", join(soft, dry), both, "2025-11-13", Lower, "firmness", 0.69, 0.71},
		{"firm though wet: firmness decides, less surely", join(firm, wet), both, "2025-11-13", Raise, "firmness", 0.69, 0.71},
		{"firmness undecided, wet decides", join(unsure, wet), both, "2025-11-13", Lower, "water", 0.95, 1},
		{"firmness on the edge, no water", unsure, both, "2025-11-13", Unknown, "", 0, 0},
		{"firmness only", soft, both, "2025-11-13", Lower, "firmness", 0.95, 1},
		{"water only", wet, both, "2025-11-13", Lower, "water", 0.95, 1},
		{"penetration depth: deeper is softer", season(FirmnessMM, "2025-05-01", 13, 13.4, 12.8, 13.1), []Target{wantDepth}, "2025-11-13", Lower, "firmness", 0.95, 1},
		{"penetration depth: shallower is firmer", season(FirmnessMM, "2025-05-01", 7, 7.4, 6.8, 7.1), []Target{wantDepth}, "2025-11-13", Raise, "firmness", 0.95, 1},
		{"no readings", nil, both, "2025-11-13", Unknown, "", 0, 0},
		{"no targets", join(soft, wet), nil, "2025-11-13", Unknown, "", 0, 0},
		{"too old", join(soft, wet), both, "2027-03-01", Unknown, "", 0, 0},
		{"just young enough", join(soft, wet), both, "2026-12-19", Lower, "both", 0.95, 1},
		{"out of season", soft, []Target{{FirmnessGmax, 95, 115, 11, 3}}, "2025-11-13", Unknown, "", 0, 0},
		{"one day", soft[:2], both, "2025-11-13", Unknown, "", 0, 0},
		{"readings after the date asked for", soft, both, "2025-04-01", Unknown, "", 0, 0},
		{"new season just begun gives way", join(soft, season(FirmnessGmax, "2026-04-01", 121)), both, "2026-04-20", Lower, "firmness", 0.95, 1},
		{"speed alone does not decide", season(SpeedM, "2025-05-01", 2, 2.1, 2), []Target{{SpeedM, 2.5, 3, 4, 10}}, "2025-11-13", Unknown, "", 0, 0},
		{"over the new year", season(FirmnessGmax, "2025-11-20", 88, 90, 87, 89, 86, 88), []Target{{FirmnessGmax, 95, 115, 10, 3}}, "2026-04-20", Lower, "firmness", 0.95, 1},
		{"open above", firm, []Target{{FirmnessGmax, 95, math.Inf(1), 4, 10}}, "2025-11-13", Hold, "firmness", 0.95, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d, err := Judge(c.readings, c.targets, nil, date(c.asOf))
			if err != nil {
				t.Fatal(err)
			}
			if d.Verdict != c.verdict || d.DecidedBy != c.by {
				t.Errorf("verdict %s by %q, want %s by %q\n%s", d.Verdict, d.DecidedBy, c.verdict, c.by, strings.Join(d.Because, "\n"))
			}
			if d.Probability < c.low || d.Probability > c.top {
				t.Errorf("probability %.3f, want %.2f to %.2f", d.Probability, c.low, c.top)
			}
			if len(d.Because) == 0 {
				t.Error("no reason given")
			}
		})
	}
}

// All that is said, word for word.
func TestBecause(t *testing.T) {
	both := []Target{wantFirm, wantWater}
	judged := &Judgement{Lower, "Soft from August on", date("2025-11-07")}
	cases := []struct {
		name      string
		readings  []Reading
		targets   []Target
		judgement *Judgement
		asOf      string
		want      []string
	}{
		{"soft, water right", join(soft, moist), both, nil, "2025-11-13", []string{
			"Firmness averaged 88 g over 6 reading days in 2025 (87 to 89), below the 95 to 115 g wanted. Softer than wanted on 6 of 6 days.",
			"Soil water averaged 20.3 % by volume over 6 reading days in 2025 (19.5 to 21.2), within the 15 to 25 % wanted.",
			"Firmness decides: the surface asks for less organic matter (19 in 20 or better).",
		}},
		{"soft though dry", join(soft, dry), both, nil, "2025-11-13", []string{
			"Firmness averaged 88 g over 6 reading days in 2025 (87 to 89), below the 95 to 115 g wanted. Softer than wanted on 6 of 6 days.",
			"Soil water averaged 10.3 % by volume over 6 reading days in 2025 (9.5 to 11.2), below the 15 to 25 % wanted. Drier than wanted on 6 of 6 days.",
			"Soft though dry: water is not the cause. Firmness decides, less surely; look at what else makes the surface soft, such as a puffy top or a recent disturbance.",
			"Firmness decides: the surface asks for less organic matter (7 in 10).",
		}},
		{"one kind", season(FirmnessMM, "2025-05-01", 13, 13.4, 12.8, 13.1), []Target{wantDepth}, nil, "2025-11-13", []string{
			"Penetration depth averaged 13.1 mm over 4 reading days in 2025 (12.8 to 13.4), above the 9 to 11 mm wanted. Softer than wanted on 4 of 4 days.",
			"Soil water says nothing here: no readings.",
			"Firmness decides: the surface asks for less organic matter (19 in 20 or better).",
		}},
		{"undecided", unsure, both, nil, "2025-11-13", []string{
			"Firmness averaged 95 g over 6 reading days in 2025 (94 to 96), within the 95 to 115 g wanted. Softer than wanted on 2 of 6 days.",
			"Soil water says nothing here: no readings.",
			"No direction: the readings do not settle it (lower 5 in 10, hold 5 in 10, raise less than 1 in 20).",
		}},
		{"a constant reading", season(FirmnessGmax, "2025-05-01", 90, 90, 90, 90), both, nil, "2025-11-13", []string{
			"Firmness averaged 90 g over 4 reading days in 2025, below the 95 to 115 g wanted. Softer than wanted on 4 of 4 days. Every day reads the same, which is a stuck instrument or a copied number: without scatter a season cannot be judged.",
			"Firmness says nothing here: too few recent readings in its season.",
			"Soil water says nothing here: no readings.",
			"No direction: readings that never change cannot be judged, and speed and infiltration alone do not decide.",
		}},
		{"no readings", nil, both, nil, "2025-11-13", []string{"No direction: there are no readings of firmness or soil water."}},
		{"nothing at all", nil, nil, nil, "2025-11-13", []string{"No direction: there are no readings of firmness or soil water, and no targets for them."}},
		{"no targets", soft, nil, nil, "2025-11-13", []string{"No direction: there are readings, but no targets for firmness or soil water to hold them against."}},
		{"too old", soft, both, nil, "2027-03-01", []string{"No direction: the last readings are from 20 Jun 2025, more than 18 months ago."}},
		{"one day", soft[:2], both, nil, "2025-11-13", []string{
			"Firmness averaged 88 g over 1 reading day in 2025, below the 95 to 115 g wanted. Softer than wanted on 1 of 1 day. One day is too few to judge a season by.",
			"Firmness says nothing here: too few recent readings in its season.",
			"Soil water says nothing here: no readings.",
			"No direction: one reading day is too few to judge a season by, and speed and infiltration alone do not decide.",
		}},
		{"judged without readings", nil, both, judged, "2025-11-13", []string{
			"The manager’s judgement of 7 Nov 2025: lower. Reason: Soft from August on.",
			"No direction from the readings: there are no readings of firmness or soil water.",
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			d, err := Judge(c.readings, c.targets, c.judgement, date(c.asOf))
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, d.Because); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A stated judgement overrides and the readings are still told.
func TestJudgementOverrides(t *testing.T) {
	d, err := Judge(join(firm, dry), []Target{wantFirm, wantWater}, &Judgement{Hold, "A dry year; last year was soft.", date("2025-11-07")}, date("2025-11-13"))
	if err != nil {
		t.Fatal(err)
	}
	if d.Verdict != Hold || d.DecidedBy != "judgement" || d.FromReadings != Raise || d.Probability > 0.05 || d.PRaise < 0.95 {
		t.Errorf("got %s by %s, readings %s, probability %.2f, raise %.2f", d.Verdict, d.DecidedBy, d.FromReadings, d.Probability, d.PRaise)
	}
	want := "The manager’s judgement of 7 Nov 2025: hold. Reason: A dry year; last year was soft."
	if d.Because[0] != want {
		t.Errorf("first sentence %q, want %q", d.Because[0], want)
	}
	if last := d.Because[len(d.Because)-1]; last != "The readings alone: the surface asks for more organic matter (19 in 20 or better)." {
		t.Errorf("last sentence %q", last)
	}
}

func TestJudgeRefuses(t *testing.T) {
	cases := []struct {
		name      string
		readings  []Reading
		targets   []Target
		judgement *Judgement
		want      string
	}{
		{"band upside down", nil, []Target{{FirmnessGmax, 115, 95, 4, 10}}, nil, "direction: target firmness_gmax: low 115 is not below high 95: swap or correct them"},
		{"twice", nil, []Target{wantFirm, wantFirm}, nil, "direction: target firmness_gmax: given twice: keep one"},
		{"open on both sides", nil, []Target{{Kind: FirmnessGmax, Low: math.Inf(-1), High: math.Inf(1)}}, nil, "direction: target firmness_gmax: neither low nor high: give at least one of them"},
		{"month", nil, []Target{{FirmnessGmax, 95, 115, 4, 13}}, nil, "direction: target firmness_gmax: months 4 to 13: allowed are 1 to 12, or both 0 for the whole year"},
		{"kind", []Reading{{"1", date("2025-05-01"), "bounce", 1}}, nil, nil, `direction: reading of "bounce" on green "1": no such kind: allowed are firmness_gmax, firmness_mm, moisture_vwc_percent, speed_m, speed_ft, infiltration_mm_h`},
		{"value", []Reading{{"1", date("2025-05-01"), Moisture, math.NaN()}}, nil, nil, `direction: reading of moisture_vwc_percent on green "1" of 1 May 2025: NaN is not a number to reckon with: correct or drop it`},
		{"reason", nil, nil, &Judgement{Lower, " ", date("2025-05-01")}, `direction: stated judgement "lower": no reason: say why, in your own words`},
		{"verdict", nil, nil, &Judgement{"up", "x", date("2025-05-01")}, `direction: stated judgement "up": allowed are lower, hold and raise`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Judge(c.readings, c.targets, c.judgement, date("2025-11-13"))
			if err == nil || err.Error() != c.want {
				t.Errorf("error %v, want %s", err, c.want)
			}
		})
	}
}

// Chances of the combined table always sum to one, and swapping every side turns lower into raise.
func TestCombineIsFair(t *testing.T) {
	for _, f := range []odds{{1, 0, 0}, {0.2, 0.5, 0.3}, {0.7, 0.2, 0.1}} {
		for _, w := range []odds{{0, 1, 0}, {0.6, 0.3, 0.1}, {0, 0, 1}} {
			a := combine(f, w)
			b := combine(odds{f[2], f[1], f[0]}, odds{w[2], w[1], w[0]})
			if math.Abs(a[0]+a[1]+a[2]-1) > 1e-12 {
				t.Errorf("%v and %v: chances sum to %v", f, w, a[0]+a[1]+a[2])
			}
			if math.Abs(a[0]-b[2]) > 1e-12 || math.Abs(a[1]-b[1]) > 1e-12 {
				t.Errorf("%v and %v: %v, mirrored %v", f, w, a, b)
			}
		}
	}
}

func ExampleJudge() {
	d, err := Judge(join(soft, moist), []Target{wantFirm, wantWater}, nil, date("2025-11-13"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(d.Verdict, d.DecidedBy)
	for _, s := range d.Because {
		fmt.Println(s)
	}
	// Output:
	// lower firmness
	// Firmness averaged 88 g over 6 reading days in 2025 (87 to 89), below the 95 to 115 g wanted. Softer than wanted on 6 of 6 days.
	// Soil water averaged 20.3 % by volume over 6 reading days in 2025 (19.5 to 21.2), within the 15 to 25 % wanted.
	// Firmness decides: the surface asks for less organic matter (19 in 20 or better).
}
