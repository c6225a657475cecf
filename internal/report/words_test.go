package report

import (
	"math"
	"strings"
	"testing"
	"time"

	"underfoot/findings"
	"underfoot/internal/app"
)

// layer is a layer with the trend of a test.
func layer(top, bottom float64, t findings.Trend, rounds int) app.Layer {
	l := app.Layer{TopMM: top, BottomMM: bottom, Trend: t}
	for i := range rounds {
		l.Rounds = append(l.Rounds, findings.RoundMean{
			Date: time.Date(2023+i, time.October, 10, 0, 0, 0, 0, time.UTC), Mean: 5, Low90: 4.5, High90: 5.5, N: 6, Cores: 30,
		})
	}
	return l
}

func TestTrendSays(t *testing.T) {
	none := findings.Trend{}
	rising := findings.Trend{Estimated: true, Verdict: findings.Rising, SlopePerYear: 0.52, Lower90: 0.32, Upper90: 0.72, Matters: 0.5}
	falling := findings.Trend{Estimated: true, Verdict: findings.Falling, SlopePerYear: -0.4, Lower90: -0.6, Upper90: -0.2, Matters: 0.5}
	unseen := findings.Trend{Estimated: true, Verdict: findings.NoChange, Matters: 0.5}
	steady := findings.Trend{Estimated: true, Verdict: findings.NoChange, Steady: true, Matters: 0.5}
	for _, c := range []struct {
		name    string
		trend   findings.Trend
		rounds  int
		verdict findings.Verdict
		want    string
	}{
		{"one round", none, 1, findings.Hold, "Organic matter at 0–20 mm is 5.0 % (4.5 to 5.5) in the one round so far, so there is no trend yet."},
		{"one round, no direction", none, 1, findings.Unknown, "There is one round so far, so there is a level and no trend."},
		{"rising", rising, 3, findings.Lower, "Organic matter at 0–20 mm is 5.0 % (4.5 to 5.5), rising by 0.52 points a year (0.32 to 0.72) since October 2023."},
		{"rising, no direction", rising, 3, findings.Unknown, "Organic matter at 0–20 mm is rising by 0.52 points a year (0.32 to 0.72) since October 2023."},
		{"falling", falling, 3, findings.Lower, "Organic matter at 0–20 mm is 5.0 % (4.5 to 5.5), falling by 0.40 points a year (0.20 to 0.60) since October 2023."},
		{"unseen", unseen, 3, findings.Hold, "Organic matter at 0–20 mm is 5.0 % (4.5 to 5.5): no change that this sampling could see in three rounds since October 2023."},
		{"unseen, no direction", unseen, 3, findings.Unknown, "At 0–20 mm there is no change that this sampling could see in three rounds since October 2023."},
		{"steady", steady, 3, findings.Hold, "Organic matter at 0–20 mm is 5.0 % (4.5 to 5.5) and steady since October 2023: any change is within 0.5 points a year."},
		{"steady, no direction", steady, 3, findings.Unknown, "Organic matter at 0–20 mm is steady since October 2023: any change is within 0.5 points a year."},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := builder{s: &app.Standing{Layers: []app.Layer{layer(0, 20, c.trend, c.rounds)}, Direction: findings.Direction{Verdict: c.verdict}}}
			if got := b.trendSays(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestLayersSay(t *testing.T) {
	trend := func(v findings.TrendVerdict) findings.Trend { return findings.Trend{Estimated: true, Verdict: v} }
	for _, c := range []struct {
		name   string
		trends []findings.Trend
		want   string
	}{
		{"none", []findings.Trend{{}, {}}, "What the cores hold now; no trend yet."},
		{"no change", []findings.Trend{trend(findings.NoChange), trend(findings.NoChange)}, "No change that this sampling could see."},
		{"all rising", []findings.Trend{trend(findings.Rising), trend(findings.Rising)}, "Organic matter is rising in both layers."},
		{"one layer", []findings.Trend{trend(findings.Falling)}, "Organic matter: 0–20 mm is falling."},
		{
			"mixed",
			[]findings.Trend{trend(findings.Rising), trend(findings.NoChange), trend(findings.NoChange), {}},
			"Organic matter: 0–20 mm is rising; 20–40 mm and 40–60 mm show no change that this sampling could see; 60–80 mm has no trend yet.",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := &app.Standing{}
			for i, tr := range c.trends {
				s.Layers = append(s.Layers, layer(float64(20*i), float64(20*i+20), tr, 3))
			}
			b := builder{s: s}
			if got := b.layersSay(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestSurfaceSays(t *testing.T) {
	kind := func(k findings.Kind, below, above int) findings.KindVerdict {
		return findings.KindVerdict{Kind: k, Season: "2026", Days: 9, DaysBelow: below, DaysAbove: above, Enough: true}
	}
	few := kind(findings.Moisture, 0, 1)
	few.Enough = false
	other := kind(findings.Moisture, 0, 3)
	other.Days = 5
	for _, c := range []struct {
		name  string
		kinds []findings.KindVerdict
		want  string
	}{
		{"soft and wet", []findings.KindVerdict{kind(findings.FirmnessGmax, 6, 0), kind(findings.Moisture, 0, 5)}, "Softer than wanted on 6 and wetter on 5 of 9 reading days in 2026."},
		{"other days", []findings.KindVerdict{kind(findings.FirmnessGmax, 6, 0), other}, "Softer than wanted on 6 of 9 reading days in 2026 and wetter on 3 of 5 reading days in 2026."},
		{"a deep print is soft", []findings.KindVerdict{kind(findings.FirmnessMM, 0, 6)}, "Softer than wanted on 6 of 9 reading days in 2026."},
		{"both sides", []findings.KindVerdict{kind(findings.FirmnessGmax, 2, 1)}, "Softer than wanted on 2 and firmer on 1 of 9 reading days in 2026."},
		{"as wanted", []findings.KindVerdict{kind(findings.FirmnessGmax, 0, 0)}, "Firmness as wanted on all 9 reading days in 2026."},
		{"soft, water as wanted", []findings.KindVerdict{kind(findings.Moisture, 0, 0), kind(findings.FirmnessGmax, 6, 0)}, "Softer than wanted on 6 of 9 reading days in 2026 and soil water as wanted on all 9 reading days in 2026."},
		{"too few days", []findings.KindVerdict{kind(findings.FirmnessGmax, 6, 0), few}, "Softer than wanted on 6 of 9 reading days in 2026."},
		{"speed does not decide", []findings.KindVerdict{kind(findings.SpeedM, 6, 0)}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := builder{s: &app.Standing{Direction: findings.Direction{Verdict: findings.Lower, Kinds: c.kinds}}}
			if got := b.surfaceSays(); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestNum(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{7.25, 1, "7.2"},
		{-0.04, 1, "0.0"},
		{-0.06, 1, "−0.1"},
		{1234567.8, 0, "1,234,568"},
		{999.96, 1, "1,000.0"},
		{math.NaN(), 1, "not known"},
		{math.Inf(1), 1, "not known"},
	} {
		if got := num(c.v, c.decimals); got != c.want {
			t.Errorf("num(%g, %d) = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}

func TestPiecesLoseNothing(t *testing.T) {
	for _, words := range []string{
		"", "no numbers", "7.5 % (6.4 to 8.5), rising by 0.55 points", "0–20 mm and 20–40 mm", "−0.19 to +0.03 a year; 8 in 10", "11.2 kg/m² (9.2 to 13.2 kg/m²)", "2022-10-11 to 2023-04-04",
	} {
		var all strings.Builder
		for _, p := range pieces(words) {
			all.WriteString(p.words)
		}
		if all.String() != words {
			t.Errorf("pieces of %q join to %q", words, all.String())
		}
	}
	held := []string{}
	for _, p := range pieces("at 0–20 mm it is 7.5 % (6.4 to 8.5), 8 in 10, −0.19 to +0.03 kg/m²") {
		if p.held {
			held = append(held, p.words)
		}
	}
	if got, want := strings.Join(held, "|"), "0–20 mm|7.5 %|(6.4 to 8.5)|8 in 10|−0.19 to +0.03 kg/m²"; got != want {
		t.Errorf("held together: %s, want %s", got, want)
	}
}
