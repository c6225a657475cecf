package sampling

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

var springs = Components{Green: 0.25, GreenTime: 0.04, Round: 0.03, GreenSlope: 0.0025, Core: 2.8, Laboratory: 0.01}

func greens(names ...int) []string {
	var out []string
	for _, n := range names {
		out = append(out, fmt.Sprint("green ", n))
	}
	return out
}

// A balanced record and a next round of the same design must give the balanced formula before and after.
func TestNextRoundOfABalancedRecord(t *testing.T) {
	d := Design{Greens: 6, Cores: 5, Determinations: 1}
	times := []float64{0, 1, 2, 3}
	w, err := springs.NextRound(balanced(d, times), Planned{4, greens(0, 1, 2, 3, 4, 5), 5, 1}, GreensLikeThese, UsualTest())
	fatal(t, err)
	for _, c := range []struct {
		name string
		k    Knowledge
		at   []float64
	}{{"before", w.Before, times}, {"after", w.After, append(times, 4)}} {
		e, err := springs.Slope(d, c.at, GreensLikeThese)
		fatal(t, err)
		visible, err := e.SmallestVisible(UsualTest())
		fatal(t, err)
		if c.k.Rounds != len(c.at) || !c.k.Slope.OK || !c.k.Visible.OK || !c.k.Level.OK {
			t.Errorf("%s: %+v", c.name, c.k)
		}
		if math.Abs(c.k.Slope.Value-e.SE()) > 1e-10 || math.Abs(c.k.Visible.Value-visible) > 1e-9 {
			t.Errorf("%s: slope ± %g and %g visible, by formula ± %g and %g", c.name, c.k.Slope.Value, c.k.Visible.Value, e.SE(), visible)
		}
	}
}

func TestNextRoundOfAShortRecord(t *testing.T) {
	d := Design{Greens: 3, Cores: 5, Determinations: 1}
	next := Planned{Year: 2, Greens: greens(0, 1, 2), Cores: 5, Determinations: 1}
	for _, c := range []struct {
		name  string
		times []float64
		words string
	}{
		{"none", nil, "A round of 3 greens of 5 cores would give a level, known to a standard error of 0.57 percentage points; a trend needs rounds at other dates."},
		{"one", []float64{0}, "A round of 3 greens of 5 cores would give a first slope; a third round is needed to tell a trend from chance."},
		{"one the same day", []float64{2}, "A round of 3 greens of 5 cores would give a level, known to a standard error of 0.46 percentage points; a trend needs rounds at other dates."},
		{"two", []float64{0, 1}, "A round of 3 greens of 5 cores would make it possible to tell a trend from chance: the smallest change that is seen in 8 of 10 cases would be 5.6 percentage points a year."},
		{"three", []float64{0, 1, 1.5}, "A round of 3 greens of 5 cores would bring the smallest change that is seen in 8 of 10 cases from 7.32 to 1.86 percentage points a year."},
	} {
		w, err := springs.NextRound(balanced(d, c.times), next, GreensLikeThese, UsualTest())
		fatal(t, err)
		if w.Before.Rounds != len(c.times) || w.After.Rounds != len(c.times)+1 {
			t.Errorf("%s: rounds %d, then %d", c.name, w.Before.Rounds, w.After.Rounds)
		}
		if got := w.Sentence(); got != c.words {
			t.Errorf("%s: %q, want %q", c.name, got, c.words)
		}
	}
}

// The next round never takes knowledge away, whatever the record; what is known of a level stays so.
func TestNextRoundNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, panel := anyComponents(t), anyPanel(t)
		next := Planned{rapid.Float64Range(0, 9).Draw(t, "year"), []string{"g0", "g3", "new"}, rapid.IntRange(1, 9).Draw(t, "cores"), 1}
		w, err := c.NextRound(panel, next, GreensLikeThese, UsualTest())
		if err != nil {
			t.Fatal(err)
		}
		for name, pair := range map[string][2]Known{"slope": {w.Before.Slope, w.After.Slope}, "visible": {w.Before.Visible, w.After.Visible}, "level": {w.Before.Level, w.After.Level}} {
			if b, a := pair[0], pair[1]; b.OK && (!a.OK || a.Value > b.Value*(1+1e-9)) {
				t.Fatalf("%s: %+v, then %+v", name, b, a)
			}
		}
	})
}

func TestEarliestRound(t *testing.T) {
	record := balanced(Design{Greens: 6, Cores: 5, Determinations: 1}, []float64{0, 1, 2})
	next := Planned{2, greens(0, 1, 2, 3, 4, 5), 5, 1}
	year, found, err := springs.EarliestRound(record, next, GreensLikeThese, 0.3, 8)
	fatal(t, err)
	if !found || year <= 2 || year >= 8 {
		t.Fatalf("year %g, found %t", year, found)
	}
	before, err := springs.Slope(Design{Greens: 6, Cores: 5, Determinations: 1}, []float64{0, 1, 2}, GreensLikeThese)
	fatal(t, err)
	for at, holds := range map[float64]bool{year - 0.001: false, year: true} {
		after, err := springs.Slope(Design{Greens: 6, Cores: 5, Determinations: 1}, []float64{0, 1, 2, at}, GreensLikeThese)
		fatal(t, err)
		if (after.SE() <= 0.7*before.SE()*(1+1e-9)) != holds {
			t.Errorf("a round at year %g: %g of the standard error", at, after.SE()/before.SE())
		}
	}
	// What greens' own slopes leave in doubt no date can mend.
	if _, found, err = springs.EarliestRound(record, next, GreensLikeThese, 0.99, 50); found || err != nil {
		t.Errorf("found %t, error %v", found, err)
	}
}

func TestNextRoundRefuses(t *testing.T) {
	record := balanced(Design{Greens: 6, Cores: 5, Determinations: 1}, []float64{0, 1, 2})
	for want, change := range map[string]func(*Planned){
		"planned round: no greens: name those to be sampled":        func(p *Planned) { p.Greens = nil },
		"planned round: green green 1 is named twice: name it once": func(p *Planned) { p.Greens = greens(1, 2, 1) },
		"planned round: a green without a name: name it":            func(p *Planned) { p.Greens = []string{""} },
		"planned round: year NaN: give its date":                    func(p *Planned) { p.Year = math.NaN() },
		"planned round: 0 cores a green: take at least 1":           func(p *Planned) { p.Cores = 0 },
		"planned round: -1 determinations a green: make at least 1": func(p *Planned) { p.Determinations = -1 },
	} {
		next := Planned{3, greens(1), 5, 1}
		change(&next)
		_, err := springs.NextRound(record, next, GreensLikeThese, UsualTest())
		wantError(t, err, want)
		_, _, err = springs.EarliestRound(record, next, GreensLikeThese, 0.3, 9)
		if !math.IsNaN(next.Year) {
			wantError(t, err, want)
		}
	}
	next := Planned{3, greens(1), 5, 1}
	_, _, err := springs.EarliestRound(record, next, GreensLikeThese, 0, 9)
	wantError(t, err, "earliest round: a standard error smaller by a share of 0: give one between 0 and 1, for example 0.3")
	_, _, err = springs.EarliestRound(record, next, GreensLikeThese, 0.3, 2)
	wantError(t, err, "earliest round: from year 3 to 2: give a last year that is not before the first")
	_, _, err = springs.EarliestRound(record[:6], next, GreensLikeThese, 0.3, 9)
	wantError(t, err, "earliest round: the record has rounds of one date only and knows no slope yet: a round at any other date gives the first")
	_, _, err = springs.EarliestRound(nil, next, GreensLikeThese, 0.3, 9)
	wantError(t, err, "trend: no rounds: give who was sampled when")
	_, err = springs.NextRound(record, Planned{3, greens(11, 12), 5, 1}, 7, UsualTest())
	wantError(t, err, "target: exactly 7 greens, of which 8 are sampled: name as many as the course has, or 0 for greens like these")
}
