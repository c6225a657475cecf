package sieve_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/sieve"
	"underfoot/unit"
)

func g(v float64) *unit.Grams { m := unit.Grams(v); return &m }

func TestSheetsThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name, want string
		sheet      sieve.Sheet
	}{
		{"nothing", "sieving: no sieve: give at least one with what stayed on it", sheet()},
		{"pan only", "sieving: no sieve: give at least one with what stayed on it", sheet([2]float64{0, 5})},
		{"all zero", "sieving: every fraction is 0 g: nothing was sieved", sheet([2]float64{1, 0}, [2]float64{0, 0})},
		{"negative mass", "sieving: -3 g on the sieve of 0.5 mm: give 0 to 1e+06 g", sheet([2]float64{.5, -3})},
		{"no number", "sieving: NaN g on the sieve of 0.5 mm: give 0 to 1e+06 g", sheet([2]float64{.5, math.NaN()})},
		{"a size in micrometres", "sieving: a sieve of 500 mm: give openings from 0.001 to 200 mm, and 0 for the pan", sheet([2]float64{500, 3})},
		{"twice", "sieving: the sieve of 0.5 mm is there twice: sum its masses, or give one of them", sheet([2]float64{.5, 3}, [2]float64{.5, 4})},
		{"start", "sieving: start mass 0 g: give 1e-06 to 1e+06 g", sieve.Sheet{Retained: sheet([2]float64{.5, 3}).Retained, Start: g(0)}},
		{"washed", "sieving: washed out -1 g: give 0 to 1e+06 g", sieve.Sheet{Retained: sheet([2]float64{.5, 3}).Retained, Washed: g(-1)}},
		{"repeatability", "repeatability: half width 2 of a class: give a share from 0 to 1", sieve.Sheet{Retained: sheet([2]float64{.5, 3}).Retained, Repeat: &sieve.Repeatability{Large: 2}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			curve, err := c.sheet.Curve()
			if curve != nil || err == nil || err.Error() != c.want {
				t.Errorf("error %v\nwant  %s", err, c.want)
			}
		})
	}
}

// The start mass: up to 1 % nothing is said, up to 2 % a note, beyond a warning; washing goes to the fines.
func TestStartMass(t *testing.T) {
	rows := sheet([2]float64{1, 10}, [2]float64{.25, 80}, [2]float64{0, 4}).Retained
	for _, c := range []struct {
		name          string
		sheet         sieve.Sheet
		loss          float64
		fines         float64
		notes, warned []string
	}{
		{"0.5 %", sieve.Sheet{Retained: rows, Start: g(100), Washed: g(5.5)}, .005, 100 * 9.5 / 99.5, nil, nil},
		{"1.5 %", sieve.Sheet{Retained: rows, Start: g(100), Washed: g(4.5)}, .015, 100 * 8.5 / 98.5, []string{"the fractions sum to 98.50 g of 100.00 g at the start, 1.5 % lost: between 1 and 2 %, usable"}, nil},
		{"6 %", sieve.Sheet{Retained: rows, Start: g(100)}, .06, 100 * 4. / 94, nil, []string{"the fractions sum to 94.00 g of 100.00 g at the start, 6.0 % lost: more than 2 %; weigh or sieve again"}},
		{"too much", sieve.Sheet{Retained: rows, Start: g(90)}, -4. / 90, 100 * 4. / 94, nil, []string{"the fractions sum to 94.00 g of 90.00 g at the start, 4.4 % too much: more than 2 %; weigh or sieve again"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			curve, err := c.sheet.Curve()
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(*curve.Loss)-c.loss) > 1e-12 {
				t.Errorf("loss %g, want %g", *curve.Loss, c.loss)
			}
			if p, _ := curve.Passing(.25); math.Abs(float64(p)-c.fines) > 1e-9 {
				t.Errorf("%g %% pass 0.25 mm, want %g", p, c.fines)
			}
			if d := cmp.Diff([][]string{c.notes, c.warned}, [][]string{curve.Notes, curve.Warnings}); d != "" {
				t.Errorf("notes and warnings (-want +got):\n%s", d)
			}
		})
	}
}

func TestNoPan(t *testing.T) {
	rows := sheet([2]float64{1, 10}, [2]float64{.25, 80}).Retained
	c, err := sieve.Sheet{Retained: rows, Start: g(100)}.Curve()
	if err != nil {
		t.Fatal(err)
	}
	if p, _ := c.Passing(.25); math.Abs(float64(p)-10) > 1e-9 || c.Loss != nil || len(c.Warnings) != 1 {
		t.Errorf("%g %% pass, loss %v, warnings %q", p, c.Loss, c.Warnings)
	}
	if c, err = (sieve.Sheet{Retained: rows}).Curve(); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"no pan was weighed: nothing is taken to have passed the finest sieve"}, c.Warnings); d != "" {
		t.Error(d)
	}
}

func TestPercentPassingThatCannotBe(t *testing.T) {
	for want, points := range map[string][]sieve.Point{
		"percent passing: no size: give at least one":                 nil,
		"percent passing: a size of 0 mm: give 0.001 to 200 mm":       {{0, 3}},
		"percent passing: the size 1 mm is there twice: give it once": {{1, 3}, {1, 4}},
		"percent passing: 101 % passing 1 mm: give 0 to 100 %":        {{1, 101}},
		"percent passing: 10 % passing 1 mm but 40 % passing the finer 0.5 mm: what passes cannot fall as the sieve opens; are these percent retained?": {{1, 10}, {.5, 40}},
	} {
		if c, err := sieve.FromPassing(points); c != nil || err == nil || err.Error() != want {
			t.Errorf("error %v\nwant  %s", err, want)
		}
	}
}
