package figure

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"underfoot/internal/golden"
)

// sampleSeasonYear is invented: two seasons with dressings, two openings, a closed week and a tournament.
func sampleSeasonYear() SeasonYear {
	f := SeasonYear{From: on(2026, 11, 26), Until: on(2028, 10, 15), Closed: []YearSpan{{on(2027, 7, 1), on(2027, 7, 14)}}, Tournaments: []time.Time{on(2028, 6, 10)}}
	for i := range 99 {
		week := (47 + i) % 52
		f.Growth = append(f.Growth, max(0, 1-float64((week-28)*(week-28))/260))
	}
	for _, m := range []time.Month{4, 5, 6, 8, 9} {
		f.Work = append(f.Work, YearWork{on(2027, m, 20), 0.5, false, "light topdressing"}, YearWork{on(2028, m, 17), 1, m == 8, "topdressing"})
	}
	f.Work = append(f.Work, YearWork{on(2027, 8, 9), 0, true, "solid tines"})
	return f
}

func TestSeasonYear(t *testing.T) {
	phone := sampleSeasonYear()
	phone.Width = PhoneWidth
	for name, s := range map[string]*Scene{"seasonyear": sampleSeasonYear().Scene(), "seasonyear-narrow": phone.Scene(), "seasonyear-none": SeasonYear{}.Scene()} {
		golden.Equal(t, "testdata/"+name+".svg", []byte(broken(s.SVG(Standalone()))))
		if err := lettering(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if want := "9 Aug 2027: solid tines, 0.00 mm of sand"; !strings.Contains(sampleSeasonYear().Scene().Label, want) {
		t.Errorf("the label does not say %q", want)
	}
}

// Whatever the days and numbers, every bar is drawn inside the picture.
func TestSeasonYearStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := SeasonYear{From: anyTime(t, "from"), Until: anyTime(t, "until"), Growth: anyNumbers(t, "growth"), Tournaments: anyTimes(t, "tournaments"), Width: anyNumber(t, "w"), Height: anyNumber(t, "h")}
		if rapid.Bool().Draw(t, "ordered") {
			f.From, f.Until = on(2026, 11, 26), on(2028, 10, 15)
		}
		f.Work = several(t, "work", func(t *rapid.T) YearWork {
			return YearWork{anyTime(t, "at"), anyNumber(t, "sand"), rapid.Bool().Draw(t, "opens"), rapid.String().Draw(t, "name")}
		})
		s := f.Scene()
		for _, p := range s.Parts {
			if r, ok := p.(Rect); ok && (r.X < -0.01 || r.X+r.W > s.Width+0.01 || r.Y+r.H > s.Height+0.01) {
				t.Fatalf("a bar at %g, %g of %g by %g in a picture of %g by %g", r.X, r.Y, r.W, r.H, s.Width, s.Height)
			}
		}
	})
}
