package web

import (
	"testing"

	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

func TestChangeSays(t *testing.T) {
	layer := func(top, bottom float64, v findings.TrendVerdict) app.Layer {
		return app.Layer{TopMM: top, BottomMM: bottom, Trend: findings.Trend{Estimated: v != "", Verdict: v}}
	}
	tests := []struct {
		name   string
		layers []app.Layer
		want   string
	}{
		{"nothing", nil, "Nothing has been measured here yet."},
		{"one round", []app.Layer{layer(0, 20, "")}, "In 0–20 mm, one round so far: a level, not a trend."},
		{"one rises", []app.Layer{layer(0, 20, findings.Rising), layer(20, 40, findings.NoChange)}, "0–20 mm is gaining organic matter. In 20–40 mm, no change that this sampling could see."},
		{
			"two rise, one falls",
			[]app.Layer{layer(0, 20, findings.Rising), layer(20, 40, findings.Rising), layer(40, 60, findings.Falling)},
			"0–20 and 20–40 mm are gaining organic matter. 40–60 mm is losing organic matter.",
		},
		{
			"all the same",
			[]app.Layer{layer(0, 20, findings.NoChange), layer(20, 40, findings.NoChange), layer(40, 60, findings.NoChange)},
			"In 0–20, 20–40 and 40–60 mm, no change that this sampling could see.",
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := changeSays(tt.layers); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestListSays(t *testing.T) {
	row := func(states ...page.State) []*listedCourse {
		var out []*listedCourse
		for _, s := range states {
			out = append(out, &listedCourse{Listed: app.Listed{Summary: &app.Summary{}}, needs: []page.CourseNeed{{State: s}}})
		}
		return out
	}
	tests := []struct {
		rows []*listedCourse
		want string
	}{
		{row(page.Finished, page.Open), "Nothing waits for you."},
		{row(page.YourMove), "One course waits for you."},
		{row(page.YourMove, page.YourMove, page.Open), "Two courses wait for you."},
		{row(page.Stopped), "One course is stopped."},
		{row(page.Stopped, page.YourMove), "One course is stopped; one waits for you."},
		{row(page.Stopped, page.Stopped, page.YourMove, page.YourMove), "Two courses are stopped; two wait for you."},
	}
	for _, tt := range tests {
		if got := listSays(tt.rows); got != tt.want {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}

func TestDayWords(t *testing.T) {
	tests := []struct {
		kind         findings.Kind
		below, above int
		want         string
	}{
		{findings.FirmnessGmax, 6, 0, "Softer than wanted on 6 of 9 reading days in 2026."},
		{findings.FirmnessMM, 0, 2, "Softer than wanted on 2 of 9 reading days in 2026."},
		{findings.Moisture, 0, 5, "Wetter than wanted on 5 of 9 reading days in 2026."},
		{findings.Moisture, 4, 1, "Drier than wanted on 4 of 9 reading days in 2026."},
		{findings.FirmnessGmax, 0, 0, ""},
	}
	for _, tt := range tests {
		k := findings.KindVerdict{Kind: tt.kind, Season: "2026", Days: 9, DaysBelow: tt.below, DaysAbove: tt.above}
		if got := dayWords(&k); got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.kind, got, tt.want)
		}
	}
}

func TestDaysInWords(t *testing.T) {
	got := daysInWords("no sand is recorded from 2022-10-11 to 2023-04-04, nor on 2023-02-30")
	if want := "no sand is recorded from 11 October 2022 to 4 April 2023, nor on 2023-02-30"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
