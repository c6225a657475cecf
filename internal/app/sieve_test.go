package app_test

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/sieve"
)

func grainsOfExample(t *testing.T) (*underfoot.Records, *app.Grains) {
	t.Helper()
	now := time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)
	list, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	return list[0], app.GrainsOf(list[0])
}

// The example was made of sands of known curves with 2 % of scatter in each class: every point of their sieving lies within
// four of its own standard deviations of what it was made from.
func TestSandsOfTheExampleAreFound(t *testing.T) {
	truth := map[string]map[float64]float64{ // percent passing as the example is generated
		"vm-root":    {2: 99.2, 1: 91, .5: 62, .25: 22, .15: 6, .053: 1.8},
		"vm-dress-a": {2: 99.8, 1: 95, .5: 70, .25: 20, .15: 3.8, .053: .8},
		"vm-dress-b": {2: 100, 1: 98.6, .5: 84.5, .25: 34.5, .15: 7.6, .053: 1.2},
	}
	_, g := grainsOfExample(t)
	for id, want := range truth {
		c := g.SandCurve(id)
		if c == nil {
			t.Fatalf("no curve of %s", id)
		}
		for _, p := range c.Points() {
			w, ok := want[float64(p.Size)]
			if !ok {
				continue
			}
			_, sd, _ := c.Between(0, p.Size)
			if math.Abs(float64(p.Passing)-w) > 4*float64(sd)+0.01 {
				t.Errorf("%s: %.2f %% pass %g mm, made with %g (± %.2f)", id, p.Passing, float64(p.Size), w, sd)
			}
		}
	}
}

// Dressing went over from the medium to the finer sand: the ash at the surface follows and becomes finer; deeper, nothing
// moves. What was put on explains it.
func TestAshFollowsTheSand(t *testing.T) {
	_, g := grainsOfExample(t)
	if len(g.Layers) != 3 {
		t.Fatalf("%d layers", len(g.Layers))
	}
	for _, l := range g.Layers {
		if l.Drift == nil || len(l.Rounds) != 3 {
			t.Fatalf("%s: drift %v (%s), %d rounds", l.Name(), l.Drift, l.Why, len(l.Rounds))
		}
		if l.TopMM == 0 && l.Drift.Finer < 0.99 || l.TopMM > 0 && (l.Drift.Finer < 0.05 || l.Drift.Finer > 0.95) {
			t.Errorf("%s: chance of becoming finer %g", l.Name(), l.Drift.Finer)
		}
	}
	top := g.Layers[0]
	if d := cmp.Diff([]string{"g03", "g09"}, top.Last().Greens); d != "" {
		t.Error(d)
	}
	if len(top.Blends) != 4 || len(top.Newest()) != 2 {
		t.Fatalf("%d blends, %d of the newest round", len(top.Blends), len(top.Newest()))
	}
	for _, b := range top.Newest() {
		if b.Apart == nil || b.Apart.Differs || !strings.HasSuffix(b.Says, "The ash and the blend expected from it cannot be told apart by sieving.") {
			t.Errorf("%s", b.Says)
		}
		before, err := sieve.Apart(top.Rounds[1].Curve, b.Found)
		if err != nil || before.Apart < 2*b.Apart.Apart {
			t.Errorf("the round before lies %g octaves away, the blend %g: the blend says nothing (%v)", before.Apart, b.Apart.Apart, err)
		}
	}
}

// A sand without a table, a layer without a root zone, a green's log without a sand's name: each says what is missing.
func TestWhatIsMissingIsSaid(t *testing.T) {
	rs, _ := grainsOfExample(t)
	without := func(source string) *underfoot.Records {
		less := *rs
		less.Sieve = nil
		for _, s := range rs.Sieve {
			if s.Source != source {
				less.Sieve = append(less.Sieve, s)
			}
		}
		return &less
	}
	g := app.GrainsOf(without("sand:vm-dress-b"))
	if got := g.Layers[0].Newest()[0].Says; got != "Green 3: vm-dress-b put on since 8 October 2024 has no sieve table, so no blend can be expected." {
		t.Errorf("blend: %s", got)
	}
	if m := g.Suits("vm-dress-b"); m.Fit != sieve.NotKnown || m.Says[0] != "There is no sieve table of the sand: whether it goes with what lies below cannot be said. Ask the supplier for one." {
		t.Errorf("sand: %s %q", m.Fit, m.Says)
	}
	g = app.GrainsOf(without("sand:vm-root"))
	if l := g.Layers[0]; l.Drift != nil || l.Why != "No root zone was sieved: there is nothing to hold the ash of 0–20 mm against." || l.Water != nil {
		t.Errorf("no root zone: %+v %s", l.Drift, l.Why)
	}
	if got := strings.Join(g.Suits("vm-dress-b").Says, " "); !strings.Contains(got, "There is no sieve table of the root zone: the sand cannot be set beside it.") {
		t.Errorf("no root zone: %s", got)
	}
	none := *rs
	none.Sieve = nil
	if g := app.GrainsOf(&none); len(g.Says()) != 0 || len(g.Rows) != 0 || g.Choices()[0].Fit != sieve.NotKnown {
		t.Errorf("no table at all: %q", g.Says())
	}
}

func TestChoiceOfSandsOfTheExample(t *testing.T) {
	_, g := grainsOfExample(t)
	var got []string
	for _, r := range g.Choices() {
		got = append(got, r.Name+" "+string(r.Fit))
	}
	if d := cmp.Diff([]string{"vm-dress-a with care", "vm-dress-b with care"}, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// The order of the rows in sieve.csv changes nothing, and the JSON holds no number that is not one.
func TestSieveRows(t *testing.T) {
	rs, _ := grainsOfExample(t)
	turned := *rs
	turned.Sieve = nil
	for i := range rs.Sieve {
		turned.Sieve = append(turned.Sieve, rs.Sieve[len(rs.Sieve)-1-i])
	}
	a, err := json.Marshal(app.Sieve(rs))
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(app.Sieve(&turned))
	if err != nil {
		t.Fatal(err)
	}
	if string(a) != string(b) {
		t.Error("another order of rows gives other results")
	}
	if n := len(app.Sieve(rs)); n != 15 {
		t.Errorf("%d rows", n)
	}
}

func TestSieveCautionsNameTheDust(t *testing.T) {
	got := app.SieveCautions()
	if len(got) != 2 || !strings.Contains(got[0], "silica") || !strings.Contains(got[1], "qualified person") {
		t.Errorf("cautions %q", got)
	}
}
