package app_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/app"
)

// A round that nobody asked anything of is the last one again; it can be kept, changed, deleted and undone with its positions.
func TestRoundPlanThroughItsLife(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	s, err := a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	plan, err := s.DesignRound(app.RoundAsked{})
	fatalIf(t, err)
	found, err := s.Round(plan)
	fatalIf(t, err)
	for _, l := range found.Layers {
		if !l.Paired || !l.Own || l.Visible == nil || !(*l.Visible > 0) {
			t.Errorf("layer %s: %+v, want the same greens as last time and the course’s own scatter", l.Name(), l)
		}
	}
	if _, err := a.SaveRound(ctx, "tester", plan, ""); err != nil {
		t.Fatal(err)
	}
	_, err = a.SaveRound(ctx, "tester", plan, "")
	wantField(t, err, "round", `"`+plan.Round+`" is planned already: give another name, or change that one`)

	rs, err := a.Store.Records(ctx, "varrowmere")
	fatalIf(t, err)
	want := plan.Cores.Value * len(found.Greens)
	if len(rs.RoundPlans) != 1 || len(rs.Positions) != want {
		t.Fatalf("%d plans and %d positions, want 1 and %d", len(rs.RoundPlans), len(rs.Positions), want)
	}
	if d := cmp.Diff(app.PlannedComposites(rs, plan)[0].Round, plan.Round); d != "" {
		t.Error(d)
	}

	// More cores keep the places there were, fewer take the last ones away; another name takes the positions with it.
	before := placesOf(rs)
	more, renamed := plan, plan
	more.Cores = underfoot.Some(plan.Cores.Value + 3)
	if _, err := a.SaveRound(ctx, "tester", more, plan.Round); err != nil {
		t.Fatal(err)
	}
	rs, err = a.Store.Records(ctx, "varrowmere")
	fatalIf(t, err)
	after := placesOf(rs)
	for at := range before {
		if !after[at] {
			t.Errorf("a place of the first %d is not among those of %d", plan.Cores.Value, more.Cores.Value)
		}
	}
	renamed.Round = "spring"
	change, err := a.SaveRound(ctx, "tester", renamed, plan.Round)
	fatalIf(t, err)
	rs, err = a.Store.Records(ctx, "varrowmere")
	fatalIf(t, err)
	if len(rs.RoundPlans) != 1 || len(rs.Positions) != want || rs.Positions[0].Round != "spring" {
		t.Errorf("after renaming: %d plans, %d positions", len(rs.RoundPlans), len(rs.Positions))
	}
	if _, err := a.Store.Undo(ctx, "tester", change.ID); err != nil {
		t.Fatal(err)
	}
	change, err = a.DeleteRound(ctx, "tester", "varrowmere", plan.Round)
	fatalIf(t, err)
	rs, _ = a.Store.Records(ctx, "varrowmere")
	if len(rs.RoundPlans) != 0 || len(rs.Positions) != 0 {
		t.Errorf("after deleting: %d plans, %d positions", len(rs.RoundPlans), len(rs.Positions))
	}
	if _, err := a.Store.Undo(ctx, "tester", change.ID); err != nil {
		t.Fatal(err)
	}
	rs, _ = a.Store.Records(ctx, "varrowmere")
	if d := cmp.Diff(after, placesOf(rs)); d != "" {
		t.Errorf("positions after undo (-before +after)\n%s", d)
	}
}

func placesOf(rs *underfoot.Records) map[[2]float64]bool {
	out := map[[2]float64]bool{}
	for _, p := range rs.Positions {
		out[[2]float64{p.Longitude, p.Latitude}] = true
	}
	return out
}

// A green whose outline is drawn anew has its cores placed on the new shape, with tapes once there are fixed points; without
// an outline they are said in words.
func TestOutlineAndFixedPoints(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	s, err := a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	plan, err := s.DesignRound(app.RoundAsked{Choice: app.GreensStratified, Cores: 5})
	fatalIf(t, err)
	if _, err := a.SaveRound(ctx, "tester", plan, ""); err != nil {
		t.Fatal(err)
	}
	green := strings.Fields(plan.FullGreens)[0]
	square := [][][][2]float64{{{{5, 52}, {5, 52.0002}, {5.0003, 52.0002}, {5.0003, 52}, {5, 52}}}}
	if _, err := a.SaveOutline(ctx, "tester", "varrowmere", green, square); err != nil {
		t.Fatal(err)
	}
	if _, err := a.SaveFixedPoints(ctx, "tester", "varrowmere", green, []underfoot.FixedPoint{
		{Point: "A", Longitude: 4.99999, Latitude: 52}, {Point: "B", Longitude: 5, Latitude: 52.00021},
	}); err != nil {
		t.Fatal(err)
	}
	s, err = a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	found, err := s.Round(plan)
	fatalIf(t, err)
	g := found.Greens[0]
	if g.Green != green || len(g.Places) != 5 || g.AreaM2 == nil || math.Abs(*g.AreaM2-458.5) > 1 {
		t.Fatalf("%s: %d places", g.Green, len(g.Places))
	}
	for _, p := range g.Places {
		if !g.Outline.Inside(p.Point) || p.Tapes == nil {
			t.Errorf("core %d: inside %v, tapes %v (%s)", p.Core, g.Outline.Inside(p.Point), p.Tapes, g.Why)
			continue
		}
		if at, err := p.Tapes.Place(); err != nil || at.Distance(p.Point) > 1e-6 {
			t.Errorf("core %d: its tapes lead %g m away", p.Core, at.Distance(p.Point))
		}
	}
	if g.Near != "" {
		t.Errorf("a green of 458 m² said to be small: %s", g.Near)
	}
	tiny := [][][][2]float64{{{{5, 52}, {5, 52.00002}, {5.00003, 52.00002}, {5.00003, 52}, {5, 52}}}} // 2.2 m by 2.1 m: 0.2 m wide in the middle 1 m from its edge
	if _, err := a.SaveOutline(ctx, "tester", "varrowmere", green, tiny); err != nil {
		t.Fatal(err)
	}
	s, err = a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	found, err = s.Round(plan)
	fatalIf(t, err)
	if g := found.Greens[0]; len(g.Places) != 5 || !strings.HasPrefix(g.Near, "the green is small for so many cores: they come as near as 0.") || !strings.Contains(g.Near, "from the edge, where 1 m is usual") {
		t.Errorf("on 4 m²: %d places, said %q", len(g.Places), g.Near)
	}
	_, err = a.SaveOutline(ctx, "tester", "varrowmere", green, [][][][2]float64{{{{5, 52}, {5.0003, 52.0002}, {5, 52.0002}, {5.0003, 52}, {5, 52}}}})
	if err == nil || !strings.Contains(err.Error(), "give the corners in the order of a walk around the green") {
		t.Errorf("a bow was taken for a green: %v", err)
	}
	if _, err := a.SaveOutline(ctx, "tester", "varrowmere", green, nil); err != nil {
		t.Fatal(err)
	}
	s, err = a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	found, err = s.Round(plan)
	fatalIf(t, err)
	if g := found.Greens[0]; len(g.Places) != 0 || len(g.Walk) != 5 || g.Why == "" {
		t.Errorf("without an outline: %d places, walk %q, why %q", len(g.Places), g.Walk, g.Why)
	}
}

// Where nothing was ever sampled, the round is that of common practice, and says that its scatter is default.
func TestFirstRoundIsCommonPractice(t *testing.T) {
	rs := &underfoot.Records{Course: underfoot.Course{ID: "new"}}
	for i := range 9 {
		rs.Greens = append(rs.Greens, underfoot.Green{Course: "new", ID: fmt.Sprint(i + 1), Kind: "green", Species: []string{"fescue", "bent"}[i%2]})
	}
	s, err := app.Stand(rs, underfoot.DateOf(noon()), app.Wishes{})
	fatalIf(t, err)
	plan, err := s.DesignRound(app.RoundAsked{})
	fatalIf(t, err)
	f, err := s.Round(plan)
	fatalIf(t, err)
	if len(f.Full) != 3 || len(f.TopOnly) != 3 || f.Cores != 5 || f.DiameterMM != 20 || plan.Layers != "0-20 20-40 40-60" || plan.Verdure != "kept" || f.Composites != 12 {
		t.Errorf("designed %+v", plan)
	}
	if len(f.Notes) == 0 || !strings.Contains(f.Notes[0], "default scatter (common practice, no source)") {
		t.Errorf("notes %q", f.Notes)
	}
	for _, g := range f.Greens {
		if len(g.Walk) != 5 || len(g.Places) != 0 {
			t.Errorf("green %s: walk %q", g.Green, g.Walk)
		}
	}
	_, err = s.DesignRound(app.RoundAsked{Choice: app.GreensSame})
	wantField(t, err, "choice", "there is no round yet to take the same greens as: let them be drawn")
}

// Another seed gives other places, before it is kept as well; positions that were brought in stay when only the date changes.
func TestPlacesFollowTheSeed(t *testing.T) {
	a, _ := club(t, noon)
	ctx := t.Context()
	s, err := a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	plan, err := s.DesignRound(app.RoundAsked{})
	fatalIf(t, err)
	if _, err := a.SaveRound(ctx, "tester", plan, ""); err != nil {
		t.Fatal(err)
	}
	green := strings.Fields(plan.FullGreens)[0]
	moved := underfoot.Position{Course: "varrowmere", Green: green, Round: plan.Round, Core: 1, Longitude: 1.1736, Latitude: 54.4231}
	if _, err := a.Store.Change(ctx, "tester", "moved a core", func(tx underfoot.Tx) error { _, err := tx.Put(&moved); return err }); err != nil {
		t.Fatal(err)
	}
	plan.Date = plan.Date.Add(7)
	if _, err := a.SaveRound(ctx, "tester", plan, plan.Round); err != nil {
		t.Fatal(err)
	}
	s, err = a.Standing(ctx, "varrowmere")
	fatalIf(t, err)
	first := func(p underfoot.RoundPlan) app.Place {
		f, err := s.Round(p)
		fatalIf(t, err)
		return f.Greens[0].Places[0]
	}
	if got := first(plan); got.LongitudeDeg != moved.Longitude || got.LatitudeDeg != moved.Latitude {
		t.Errorf("core 1 is at %g, %g, want where it was moved to", got.LatitudeDeg, got.LongitudeDeg)
	}
	other := plan
	other.Seed = underfoot.Some(plan.Seed.Value + 1)
	if got := first(other); got.LongitudeDeg == moved.Longitude {
		t.Error("another seed leaves core 1 where it was")
	}
}

func TestRoundRefusals(t *testing.T) {
	a, _ := club(t, noon)
	s, err := a.Standing(t.Context(), "varrowmere")
	fatalIf(t, err)
	for _, c := range []struct {
		asked        app.RoundAsked
		column, want string
	}{
		{app.RoundAsked{Choice: "best"}, "choice", `"best": allowed are same, random, stratified`},
		{app.RoundAsked{Layers: "0-20 10-30"}, "layers", `layer "10-30" overlaps layer 0–20 mm: layers of one round may touch, not overlap`},
		{app.RoundAsked{Cores: 500}, "cores", "round: 500 cores a green: allowed are 1 to 200"},
		{app.RoundAsked{Diameter: 300}, "core_diameter_mm", "round: corer of 300 mm: allowed is an inner diameter of 5 to 120 mm"},
	} {
		_, err := s.DesignRound(c.asked)
		wantField(t, err, c.column, c.want)
	}
	plan, err := s.DesignRound(app.RoundAsked{})
	fatalIf(t, err)
	plan.FullGreens = "nowhere"
	plan.TopGreens = ""
	_, err = s.Round(plan)
	wantField(t, err, "full_greens", `green "nowhere" is not on this course`)
}

func wantField(t *testing.T, err error, column, want string) {
	t.Helper()
	var bad *app.FieldError
	if !errors.As(err, &bad) {
		t.Errorf("%v: no field error, want %q", err, want)
		return
	}
	if d := cmp.Diff([2]string{column, want}, [2]string{bad.Column, bad.Text}); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

func fatalIf(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
