package findings

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestChance(t *testing.T) {
	cases := []struct {
		p     float64
		words string
		half  int
	}{
		{0, "less than 1 in 20", 0},
		{0.02, "less than 1 in 20", 0},
		{0.049, "less than 1 in 20", 1},
		{0.05, "1 in 20", 1},
		{0.08, "1 in 10", 2},
		{0.13, "1 in 10", 3},
		{0.5, "5 in 10", 10},
		{0.62, "6 in 10", 12},
		{0.78, "8 in 10", 16},
		{0.83, "8 in 10", 17},
		{0.86, "8 in 10", 17},
		{0.93, "9 in 10", 19},
		{0.949, "9 in 10", 19},
		{0.95, "19 in 20 or better", 19},
		{0.99, "19 in 20 or better", 20},
		{1, "19 in 20 or better", 20},
		{1.0000001, "19 in 20 or better", 20},
	}
	for _, c := range cases {
		words, half := Chance(c.p)
		if words != c.words || half != c.half {
			t.Errorf("Chance(%g) = %q, %d; want %q, %d", c.p, words, half, c.words, c.half)
		}
	}
}

// Words never say more than the dots.
func TestChanceWordsNeverExceedDots(t *testing.T) {
	for i := range 10001 {
		p := float64(i) / 10000
		words, half := Chance(p)
		var said, of int
		if _, err := fmt.Sscanf(words, "%d in %d", &said, &of); err != nil {
			continue // "less than 1 in 20"
		}
		if float64(said)/float64(of) > float64(half)/20 {
			t.Fatalf("%g: words %q say more than %d half dots", p, words, half)
		}
	}
}

func TestTrendWords(t *testing.T) {
	cases := []struct {
		name string
		f    Trend
		want []string // sentence, figures, chance of change, chance it matters
	}{
		{"rising, maybe matters", Trend{Estimated: true, SlopePerYear: 0.52, SE: 0.11, DF: 16, Matters: 0.5}, []string{
			"Rising, and more likely than not fast enough to matter.", "+0.52 points a year (0.33 to 0.71)",
			"19 in 20 or better that it rises", "5 in 10 that it beats 0.5 a year",
		}},
		{"rising, surely matters", Trend{Estimated: true, SlopePerYear: 1, SE: 0.1, DF: 16, Matters: 0.5}, []string{
			"Rising, and by more than the 0.5 points a year that matter.", "+1.00 points a year (0.83 to 1.17)",
			"19 in 20 or better that it rises", "19 in 20 or better that it beats 0.5 a year",
		}},
		{"rising, too slow to matter", Trend{Estimated: true, SlopePerYear: 0.2, SE: 0.1, DF: 16, Matters: 0.5}, []string{
			"Rising, but by less than the 0.5 points a year that matter.", "+0.20 points a year (0.03 to 0.37)",
			"19 in 20 or better that it rises", "less than 1 in 20 that it beats 0.5 a year",
		}},
		{"falling, likely too slow", Trend{Estimated: true, SlopePerYear: -0.4, SE: 0.15, DF: 16, Matters: 0.5}, []string{
			"Falling, but more likely than not by less than the 0.5 points a year that matter.", "−0.40 points a year (−0.66 to −0.14)",
			"19 in 20 or better that it falls", "2 in 10 that it beats 0.5 a year",
		}},
		{"no change", Trend{Estimated: true, SlopePerYear: -0.08, SE: 0.4, DF: 16, Matters: 0.5}, []string{
			"No change that this sampling could see.", "−0.08 points a year (−0.78 to +0.62)",
			"6 in 10 that it falls", "1 in 10 that it beats 0.5 a year",
		}},
		{"steady", Trend{Estimated: true, SlopePerYear: -0.08, SE: 0.06, DF: 16, Matters: 0.5}, []string{
			"Steady: any change is within 0.5 points a year.", "−0.08 points a year (−0.18 to +0.02)",
			"9 in 10 that it falls", "less than 1 in 20 that it beats 0.5 a year",
		}},
		{"two rounds never call a change", Trend{Estimated: true, SlopePerYear: 3, SE: 0.5, DF: 0, Matters: 0.5}, []string{
			"No change that this sampling could see.", "+3.00 points a year (2.18 to 3.82)",
			"19 in 20 or better that it rises", "19 in 20 or better that it beats 0.5 a year",
		}},
		{"none", Trend{Matters: 0.5, Verdict: NoChange}, []string{"No trend yet.", "", "less than 1 in 20 that it rises", "less than 1 in 20 that it beats 0.5 a year"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if c.f.Estimated {
				c.f.Verdict = NoChange
				c.f.conclude()
			}
			chance, _ := c.f.ChanceOfChange()
			matters, _ := c.f.ChanceItMatters()
			if d := cmp.Diff(c.want, []string{c.f.Sentence(), c.f.Figures(), chance, matters}); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
		})
	}
}

func TestVisibleRoundsUp(t *testing.T) {
	f := Trend{Estimated: true, SmallestVisiblePerYear: 0.601}
	if got, want := f.Visible(), "A change of 0.61 points a year would be seen 8 times in 10."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestGreensSentence(t *testing.T) {
	cases := []struct {
		name string
		c    Consistency
		want string
	}{
		{"none", Consistency{}, "Nothing to compare: one green or none was sampled."},
		{"even", Consistency{Known: true, Greens: []Green{{Green: "1", FromMiddle: 0.2}}}, "No green stands out from the rest."},
		{"one", Consistency{Known: true, Greens: []Green{{Green: "9", FromMiddle: 0.7, StandsOut: true}}}, "Green 9 lies above the rest; the others cannot be told apart."},
		{"two", Consistency{Known: true, Greens: []Green{{Green: "4", FromMiddle: -0.7, StandsOut: true}, {Green: "9", FromMiddle: -0.7, StandsOut: true}}}, "Greens 4 and 9 lie below the rest; the others cannot be told apart."},
		{"named", Consistency{Known: true, Greens: []Green{{Green: "Putting green", FromMiddle: 0.7, StandsOut: true}, {Green: "9", FromMiddle: -0.7, StandsOut: true}}}, "Putting green lies above the rest and Green 9 lies below; the others cannot be told apart."},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := c.c.Sentence(); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{number(-0.004, 2), "0.00"},
		{number(-1.25, 1), "−1.2"},
		{signed(0.52, 2), "+0.52"},
		{span(-0.19, 0.03, 2), "−0.19 to +0.03"},
		{span(0.32, 0.72, 2), "0.32 to 0.72"},
		{bare(10.5), "10.5"},
		{count(1, "round"), "1 round"},
		{day(time.Date(2025, 11, 7, 0, 0, 0, 0, time.UTC)), "7 Nov 2025"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
