package app_test

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"underfoot/internal/app"
)

// The example course reads firmness and water content beside its rounds: what the standing, its JSON and the reasons of the
// direction say of them is one and the same.
func TestReadingsAreHeldAgainstTheTopLayer(t *testing.T) {
	now := time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := app.Stand(list[0], list[0].Course.Today(now), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Responses()) != 1 || !s.Responses()[0].Known {
		t.Fatalf("responses: %+v", s.Responses())
	}
	r, f := s.Responses()[0], s.Findings().Readings
	if r.TopMM != 0 || r.BottomMM != 20 {
		t.Errorf("held against %v–%v mm, want the layer at the surface", r.TopMM, r.BottomMM)
	}
	if len(f) != 1 || f[0].Why != "" || *f[0].Direct.Value != r.Direct.Value || f[0].N != r.N || f[0].Kind != "firmness_gmax" {
		t.Errorf("JSON says %+v", f)
	}
	if r.Because() == "" || !slices.Contains(s.Reasons(), r.Because()) {
		t.Errorf("reasons %q do not hold %q", s.Reasons(), r.Because())
	}
	if strings.Contains(strings.ToLower(r.Because()), "target") {
		t.Errorf("a level is no target: %q", r.Because())
	}

	// the cores are taken away: nothing to hold readings against, and no sentence among the reasons
	list[0].Samples, list[0].Weighings, list[0].Results = nil, nil, nil
	if s, err = app.Stand(list[0], list[0].Course.Today(now), app.Wishes{}); err != nil {
		t.Fatal(err)
	}
	if f = s.Findings().Readings; len(f) != 1 || f[0].Direct != nil || f[0].Why != "No organic matter of the layer at the surface is known yet to hold firmness against." {
		t.Errorf("without cores: %+v", f)
	}
}
