package figure

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestSpread(t *testing.T) {
	for _, c := range []struct {
		name             string
		centres, heights []float64
		lo, hi           float64
		want             []float64
	}{
		{"far apart stay", []float64{20, 80}, []float64{16, 16}, 0, 100, []float64{20, 80}},
		{"equal wishes share the middle", []float64{50, 50}, []float64{16, 16}, 0, 100, []float64{42, 58}},
		{"order is kept", []float64{52, 50}, []float64{16, 16}, 0, 100, []float64{59, 43}},
		{"pushed in from the edge", []float64{2, 98}, []float64{16, 16}, 0, 100, []float64{8, 92}},
		{"a pile meets a third", []float64{50, 50, 60}, []float64{16, 16, 16}, 0, 100, []float64{37.333, 53.333, 69.333}},
		{"nothing", nil, nil, 0, 100, []float64{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := spread(c.centres, c.heights, c.lo, c.hi)
			if d := cmp.Diff(c.want, got, cmp.Comparer(func(a, b float64) bool { return a-b < .001 && b-a < .001 })); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
}

func TestSpreadNeverOverlaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 8).Draw(t, "n")
		var centres, heights []float64
		for range n {
			centres = append(centres, rapid.Float64Range(-50, 250).Draw(t, "centre"))
			heights = append(heights, rapid.Float64Range(8, 33).Draw(t, "height"))
		}
		got := spread(centres, heights, 0, 300)
		for i := range got {
			if got[i]-heights[i]/2 < -1e-9 || got[i]+heights[i]/2 > 300+1e-9 {
				t.Fatalf("label %d left the column: %v", i, got)
			}
			for j := range i {
				gap := max(got[i], got[j]) - min(got[i], got[j])
				if gap < (heights[i]+heights[j])/2-1e-6 {
					t.Fatalf("labels %d and %d overlap: %v", i, j, got)
				}
			}
		}
	})
}

func TestLevelCentresThePanel(t *testing.T) {
	for _, c := range []struct {
		name     string
		rounds   []Round
		lo, wide float64
	}{
		{"rising", sampleRounds(.6, 5.1, 5.5, 6.2, 6.5, 7.2), 4, 1},
		{"next layer", sampleRounds(.51, 3.6, 4.1, 4.1, 4.6, 4.4), 2, 1},
		{"near nothing", sampleRounds(.27, 1.8, 1.9, 1.7, 1.7, 1.5), 0, 1},
		{"identical values", sampleRounds(0, 5, 5, 5), 3, 1},
		{"dots further apart than the span", sampleRounds(.8, 3.1, 5.5, 8.2, 9.0), 2, 2},
		{"ash that gained mass", sampleRounds(.1, -.3, .2), -2, 1},
		{"nothing but a held round", []Round{{At: on(2025, 10, 14), Kind: Held}}, 0, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			if lo, wide := level(c.rounds); lo != c.lo || wide != c.wide {
				t.Errorf("starts at %v, %v times the span; want %v, %v", lo, wide, c.lo, c.wide)
			}
		})
	}
}

// All dots of a trend lie inside its panel, whatever the rounds are.
func TestTrendKeepsItsDots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mids := rapid.SliceOfN(rapid.Float64Range(-1, 60), 1, 9).Draw(t, "mids")
		lo, wide := level(sampleRounds(rapid.Float64Range(0, 5).Draw(t, "half"), mids...))
		for _, m := range mids {
			if m < lo || m > lo+wide*panelSpan {
				t.Fatalf("%v lies outside %v to %v", m, lo, lo+wide*panelSpan)
			}
		}
	})
}

func TestStep(t *testing.T) {
	for _, c := range []struct {
		span float64
		n    int
		want float64
	}{{11.8, 4, 4}, {7, 4, 2}, {60, 12, 5}, {.09, 3, .04}, {0, 3, 1}, {5, 6, 1}} {
		if got := step(c.span, c.n); got < c.want-1e-12 || got > c.want+1e-12 {
			t.Errorf("step(%v, %d) = %v, want %v", c.span, c.n, got, c.want)
		}
	}
}

func TestMonthTicks(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to time.Time
		n        int
		want     []string
	}{
		{"a season", on(2025, 4, 14), on(2025, 10, 3), 3, []string{"Apr", "Jul", "Oct"}},
		{"a month", on(2025, 4, 14), on(2025, 5, 3), 3, []string{"14 Apr", "3 May"}},
		{"a day", on(2025, 4, 14), on(2025, 4, 14), 3, []string{"14 Apr"}},
		{"years", on(2019, 1, 1), on(2025, 12, 1), 3, []string{"2019", "2020", "2021", "2022", "2023", "2024", "2025"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, k := range monthTicks(c.from, c.to, scale{seconds(c.from), seconds(c.to), 0, 600}, c.n) {
				got = append(got, k.word)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
}

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    int
		want string
	}{{-.08, 2, "−0.08"}, {-.004, 2, "0.00"}, {7.25, 1, "7.2"}, {0, 0, "0"}, {-3, 0, "−3"}} {
		if got := number(c.v, c.d); got != c.want {
			t.Errorf("number(%v, %d) = %s, want %s", c.v, c.d, got, c.want)
		}
	}
	if got := (Interval{-.19, .03}).terse(2); got != "−0.19 to 0.03" {
		t.Errorf("an interval across zero is %q", got)
	}
	if got := (Interval{4.5, 6.5}).terse(1); got != "4.5–6.5" {
		t.Errorf("an interval is %q", got)
	}
}

func TestHalfDots(t *testing.T) {
	for _, c := range []struct {
		chance float64
		want   int
	}{{0, 0}, {.02, 0}, {.56, 11}, {.8, 16}, {.95, 19}, {.99, 20}, {1.2, 20}, {-1, 0}} {
		if got := HalfDots(c.chance); got != c.want {
			t.Errorf("HalfDots(%v) = %d, want %d", c.chance, got, c.want)
		}
	}
}
