package app

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/label"
)

func fieldRecords() *underfoot.Records {
	rs := &underfoot.Records{
		Course: underfoot.Course{ID: "dale", Name: "Dale Park", TimeZone: "UTC"},
		Greens: []underfoot.Green{
			{Course: "dale", ID: "g1", Name: "Green 1"}, {Course: "dale", ID: "g10", Name: "Green 10"}, {Course: "dale", ID: "g2", Name: "Green 2"},
		},
		RoundPlans: []underfoot.RoundPlan{{
			Course: "dale", Round: "autumn", Date: underfoot.MakeDate(2026, time.October, 14), Layers: "20-40 0-20", FullGreens: "g10 g2", TopGreens: "g1 gone",
			Cores: underfoot.Some(3), CoreDiameterMM: underfoot.Some(20.0), Verdure: "kept", Seed: underfoot.Some(7),
		}},
		Positions: []underfoot.Position{
			{Course: "dale", Green: "g2", Round: "autumn", Core: 2, Longitude: 0, Latitude: 54.0001},
			{Course: "dale", Green: "g2", Round: "autumn", Core: 1, Longitude: 0, Latitude: 54},
			{Course: "dale", Green: "g2", Round: "autumn", Core: 3, Longitude: 0.0001, Latitude: 54.0001},
			{Course: "dale", Green: "g2", Round: "spring", Core: 1, Longitude: 1, Latitude: 54},
			{Course: "dale", Green: "g1", Round: "autumn", Core: 1, Longitude: 0.01, Latitude: 54},
		},
		FixedPoints: []underfoot.FixedPoint{
			{Course: "dale", Green: "g2", Point: "A", Longitude: 0, Latitude: 53.9999, About: "sprinkler head by the bunker"},
			{Course: "dale", Green: "g2", Point: "B", Longitude: 0.0002, Latitude: 54},
		},
		Outlines: []underfoot.Outline{{Course: "dale", Green: "g2", Feature: `{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[0,53.9999],[0.0002,53.9999],[0.0002,54.0002],[0,53.9999]]]}}`}},
	}
	rs.Sort()
	return rs
}

func TestPlannedRoundOnPaper(t *testing.T) {
	r, err := FieldRoundOf(fieldRecords(), "")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, b := range r.Bags() {
		got = append(got, strings.Join(b.Lines(), " | "))
	}
	want := []string{
		"dale-autumn-g1-0-20 | Green 1 | 0–20 mm | Dale Park | autumn | 2026-10-14 | 3 cores",
		"dale-autumn-g2-0-20 | Green 2 | 0–20 mm | Dale Park | autumn | 2026-10-14 | 3 cores",
		"dale-autumn-g2-20-40 | Green 2 | 20–40 mm | Dale Park | autumn | 2026-10-14 | 3 cores",
		"dale-autumn-g10-0-20 | Green 10 | 0–20 mm | Dale Park | autumn | 2026-10-14 | 3 cores",
		"dale-autumn-g10-20-40 | Green 10 | 20–40 mm | Dale Park | autumn | 2026-10-14 | 3 cores",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("labels (-want +got):\n%s", d)
	}
	if !r.Planned {
		t.Error("nothing was taken yet")
	}
}

// A composite on record stands for the planned one of its green and layer, under its own name.
func TestTakenCompositesStandForPlannedOnes(t *testing.T) {
	rs := fieldRecords()
	rs.Samples = []underfoot.Sample{{ID: "bag-17", Course: "dale", Green: "g2", Round: "autumn", Date: underfoot.MakeDate(2026, time.October, 15), TopMM: 0, BottomMM: 20}}
	r, err := FieldRoundOf(rs, "autumn")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, c := range r.Composites {
		got = append(got, c.ID)
	}
	want := []string{"dale-autumn-g1-0-20", "bag-17", "dale-autumn-g2-20-40", "dale-autumn-g10-0-20", "dale-autumn-g10-20-40"}
	if d := cmp.Diff(want, got); d != "" || r.Planned {
		t.Errorf("planned %v (-want +got):\n%s", r.Planned, d)
	}
	if r.Date != underfoot.MakeDate(2026, time.October, 15) {
		t.Errorf("the round is dated %s, want the day it was taken", r.Date)
	}
}

func TestSheetOfPlannedRound(t *testing.T) {
	r, err := FieldRoundOf(fieldRecords(), "autumn")
	if err != nil {
		t.Fatal(err)
	}
	s := r.Sheet(label.A4)
	if len(s.Stops) != 3 || s.Stops[0].Green != "Green 1" || s.Stops[1].Green != "Green 2" || s.Stops[2].Green != "Green 10" {
		t.Fatalf("stops %+v", s.Stops)
	}
	// 0.0001° of latitude is 11.13 m at 54° north (a meridian arc of 111.30 km a degree) and 0.0002° of longitude 13.11 m (65.58 km a
	// degree): NGA.STND.0036, WGS 84, rounded.
	two := s.Stops[1]
	if len(two.Places) != 3 || two.Places[0].Core != "1" || len(two.Places[0].Tapes) != 2 {
		t.Fatalf("places %+v", two.Places)
	}
	for i, want := range [][2]float64{{11.13, 13.11}, {22.26, 17.20}} {
		for k, tape := range two.Places[i].Tapes {
			if d := tape.Metres - want[k]; d > 0.01 || d < -0.01 {
				t.Errorf("core %d: %.3f m from %s, want %.2f m", i+1, tape.Metres, tape.From, want[k])
			}
		}
	}
	if two.Places[0].Note != "to the left" {
		t.Errorf("seen from A, in the south-west, towards B, in the north-east, the core lies to the left; the sheet says %q", two.Places[0].Note)
	}
	if want := "Left and right as seen from the first point towards the second. A: sprinkler head by the bunker."; two.Walk != want {
		t.Errorf("says %q, want %q", two.Walk, want)
	}
	if two.Plan == nil || len(two.Plan.Cores) != 3 || len(two.Plan.Fixed) != 2 || len(two.Plan.Outline) != 1 || len(two.Plan.Outline[0]) != 4 {
		t.Errorf("plan %+v", two.Plan)
	}
	if got, want := s.Stops[0].Places[0].Note, "latitude 54.000000°, longitude 0.010000°"; got != want {
		t.Errorf("without fixed points: %q, want %q", got, want)
	}
	ten := s.Stops[2]
	if len(ten.Places) != 3 || !strings.Contains(ten.Places[0].Note, "of the way from front to back") {
		t.Errorf("without positions: %+v", ten.Places)
	}
	if d := cmp.Diff(r.Sheet(label.A4), s); d != "" {
		t.Errorf("a second sheet differs:\n%s", d)
	}
	if err := label.WriteSheet(new(bytes.Buffer), s); err != nil {
		t.Error(err)
	}
}

func TestNoSuchRound(t *testing.T) {
	_, err := FieldRoundOf(fieldRecords(), "spring")
	if want := `course "dale" has no round "spring": there are autumn`; err == nil || err.Error() != want || underfoot.KindOf(err) != underfoot.NotFound {
		t.Errorf("got %v, want %s", err, want)
	}
	_, err = FieldRoundOf(&underfoot.Records{Course: underfoot.Course{ID: "dale"}}, "")
	if want := `course "dale" has no round yet, neither taken nor planned: plan one in rounds.csv or on the page of the rounds`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestByNumber(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"Green 2", "Green 10", -1}, {"g02", "g2", 0}, {"g2", "g2b", -1}, {"a", "b", -1}, {"10", "9", 1}, {"", "a", -1}, {"g99999999999999999999", "g100000000000000000000", -1}} {
		if got := byNumber(c.a, c.b); got != c.want {
			t.Errorf("byNumber(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
