package profile_test

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"underfoot/profile"
)

func TestAccountClosesWhateverIsDone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		f, track, column, out := c.build(t, nil)
		if err := track.Run(column, f, c.p, out); err != nil {
			t.Fatal(err)
		}
		a, err := column.Account()
		if err != nil {
			t.Fatal(err)
		}
		if !(a.Gap() < 1e-11) {
			t.Errorf("%.3g of the mass is missing", a.Gap())
		}
		// What the account says is there is what is seen from top to bottom.
		seen := column.Between(0, 1e6)
		if d := math.Abs(seen.Organic-a.OrganicEnd) + math.Abs(seen.Mineral-a.SandEnd); d > 1e-12 {
			t.Errorf("the account ends %g kg/m² off what lies in the column", d)
		}
	})
}

func TestNoWorkAndNoGrowthLeaveDecayAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		c.work = nil
		c.set.OnePool = true
		clear(c.daily.Index)
		f, track, column, out := c.build(t, nil)
		if err := column.Start(c.p, []float64{0, 10, 30, 80}); err != nil {
			t.Fatal(err)
		}
		before := column.Between(0, 1e6)
		if err := track.Run(column, f, c.p, out); err != nil {
			t.Fatal(err)
		}
		var thermal float64
		for _, celsius := range c.daily.Temp {
			thermal += c.set.DecayFactor(celsius) / 365.25
		}
		a, _ := column.Account()
		if want := a.OrganicStart * math.Exp(-c.p[profile.SlowRate]*thermal); math.Abs(a.OrganicEnd/want-1) > 1e-11 {
			t.Errorf("%g kg/m² are left, by decay alone %g", a.OrganicEnd, want)
		}
		if a.SandEnd != a.SandStart || a.Made != 0 || a.TakenOut != 0 || a.SandIn != 0 || a.SandOut != 0 {
			t.Errorf("more than decay happened:\n%v", a)
		}
		if before.Mineral <= 0 {
			t.Errorf("a column without sand: %v", before)
		}
	})
}

// same fails when two scenes do not see the same.
func same(t *rapid.T, what string, a, b scene, allowed float64) {
	if d := apart(a.see(t), b.see(t)); !(d <= allowed) {
		t.Errorf("%s: %.3g apart", what, d)
	}
}

func TestOrderAndSplitOfDressingsOnADayDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		day := rapid.IntRange(c.daily.First, c.daily.Until()).Draw(t, "day")
		a, b := rapid.Float64Range(0.1, 5).Draw(t, "one"), rapid.Float64Range(0.1, 5).Draw(t, "other")
		c.work = slices.DeleteFunc(c.work, func(e profile.Event) bool { return e.Day == day })
		with := func(sand ...float64) scene {
			with := c
			at, _ := slices.BinarySearchFunc(c.work, day, func(e profile.Event, day int) int { return e.Day - day })
			var added []profile.Event
			for _, s := range sand {
				added = append(added, profile.Event{Day: day, Sand: s})
			}
			with.work = slices.Insert(slices.Clone(c.work), at, added...)
			with.look()
			return with
		}
		same(t, "order", with(a, b), with(b, a), 0)
		same(t, "split", with(a, b), with(a+b), 1e-13)
	})
}

// A course drawn at another scale, all depths and masses times as large, reads the same.
func TestUnitsAreNoPartOfTheModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		const by = 1.2
		c.set.Depth = 50 // times by is 60, where parcels become thicker
		for i := range c.work {
			e := &c.work[i]
			e.Opening.Depth = min(e.Opening.Depth, 50)
			e.Top, e.Bottom = e.Top/2, min(e.Bottom/2, 50)
		}
		for i := range c.sights {
			c.sights[i].Top /= 2
			c.sights[i].Bottom = min(c.sights[i].Bottom/2, 50)
		}
		d := c
		d.work, d.sights = slices.Clone(c.work), slices.Clone(c.sights)
		for _, v := range []*float64{
			&d.set.Depth, &d.set.Cell, &d.set.Mix, &d.set.Join,
			&d.p[profile.RootDepth], &d.p[profile.Fade], &d.p[profile.Growth],
		} {
			*v *= by
		}
		for i := range d.work {
			e := &d.work[i]
			e.Sand, e.Top, e.Bottom, e.Opening.Depth = e.Sand*by, e.Top*by, e.Bottom*by, e.Opening.Depth*by
		}
		for i := range d.sights {
			d.sights[i].Top, d.sights[i].Bottom = d.sights[i].Top*by, d.sights[i].Bottom*by
		}
		small, large := c.see(t), d.see(t)
		for i := range small {
			small[i].Organic *= by
			small[i].Mineral *= by
		}
		if d := apart(small, large); !(d < 1e-10) {
			t.Errorf("drawn %g times as large a course reads %.3g off", by, d)
		}
	})
}

func TestWorkOutsideTheTimeIsLeftOut(t *testing.T) {
	c := busy(profile.Usual())
	c.look()
	more := c
	early := profile.Event{Day: c.daily.First - 1, Sand: 20}
	late := profile.Event{Day: c.daily.Until() + 1, Opening: profile.Opening{Touched: 0.5, Depth: 70}}
	more.work = append(append([]profile.Event{early}, c.work...), late)
	if d := apart(more.see(t), c.see(t)); d != 0 {
		t.Errorf("work before the start and after the end moves the sights by %g", d)
	}
}

func TestEmptyScheduleAndSingleParcel(t *testing.T) {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.daily, _ = season(1)
	c.set.Depth, c.set.Cell = 40, 20 // two parcels
	c.sights = []profile.Sight{{Day: c.daily.Until(), Bottom: 40}}
	c.look()
	m := plain{set: c.set, p: c.p}
	want := m.run(c.daily, c.looks, nil, c.sights)
	if d := apart(c.see(t), want); !(d < 1e-12) {
		t.Errorf("two parcels are %g off the plain way", d)
	}

	f, track, column, out := c.build(t, nil)
	if err := column.Start(c.p, []float64{0, 40}); err != nil {
		t.Fatal(err)
	}
	start := column.Between(0, 40)
	track.Go(column, f, 0, len(c.looks)-1, out)
	a, err := column.Account()
	if err != nil {
		t.Fatal(err)
	}
	if a.Made <= 0 || out.Seen[0].Mineral > start.Mineral {
		t.Errorf("one parcel: started with %v, saw %v, account\n%v", start, out.Seen[0], a)
	}
}

// A run in two parts, carried over into another column, is the run in one, to the last bit.
func TestTakenOnFromACopy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		wrt := []profile.Unknown{profile.Growth, profile.Filling}
		f, track, one, whole := c.build(t, wrt)
		if err := track.Run(one, f, c.p, whole); err != nil {
			t.Fatal(err)
		}
		part := rapid.IntRange(1, len(c.looks)-1).Draw(t, "part at look") // from look 0 on is the whole
		out := profile.NewReadout(len(c.sights), len(wrt))
		first := track.NewColumn(c.set, wrt)
		start := []float64{0}
		for z := 0.0; z < c.set.Depth-1e-9; {
			h := c.set.Cell
			if z >= 60-1e-9 {
				h *= 3
			}
			z = min(z+h, c.set.Depth)
			start = append(start, z)
		}
		if err := first.Start(c.p, start); err != nil {
			t.Fatal(err)
		}
		track.Go(first, f, 0, part, out)
		second := track.NewColumn(c.set, wrt)
		second.Copy(first)
		track.Go(second, f, part, len(c.looks)-1, out)
		if d := cmp.Diff(whole, out, cmpopts.EquateNaNs()); d != "" {
			t.Errorf("in two parts (-one +two):\n%s", d)
		}
		a, _ := one.Account()
		b, err := second.Account()
		if err != nil || a != b {
			t.Errorf("accounts differ, %v:\n%v%v", err, a, b)
		}
	})
}

func TestResumeOnAnotherTrack(t *testing.T) {
	c := busy(profile.Usual())
	c.look()
	middle := c.daily.First + 365
	c.looks = append(c.looks, middle)
	slices.Sort(c.looks)
	c.looks = slices.Compact(c.looks)
	whole := c.see(t)

	before, after := c, c
	before.work, before.sights, after.work, after.sights = nil, nil, nil, nil
	for _, e := range c.work {
		if e.Day <= middle {
			before.work = append(before.work, e)
		} else {
			after.work = append(after.work, e)
		}
	}
	var kept []profile.Seen
	for i, v := range c.sights {
		if v.Day > middle {
			after.sights, kept = append(after.sights, v), append(kept, whole[i])
		}
	}
	at := slices.Index(c.looks, middle)
	before.looks, after.looks = c.looks[:at+1], c.looks[at:]
	f, track, state, out := before.build(t, nil)
	if err := track.Run(state, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	f, track, _, out = after.build(t, nil)
	column := profile.NewColumn(c.set, track.Room()+state.Parcels(), nil)
	for range 2 {
		if err := track.Resume(column, f, state, out); err != nil {
			t.Fatal(err)
		}
		if d := apart(out.Seen, kept); !(d < 1e-12) {
			t.Errorf("run on from %d a course reads %.3g off", middle, d)
		}
	}
}

// leaves runs a scene with a ledger.
func leaves(t fatal, c scene, depths []float64, days []int) ([][]profile.Flow, *profile.Column) {
	f, track, column, out := c.build(t, nil)
	l, err := track.Ledger(column, f, c.p, out, depths, days)
	if err != nil {
		t.Fatal(err)
	}
	return l, column
}

func TestLedgerIsTheAccount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		middle := c.looks[rapid.IntRange(0, len(c.looks)-1).Draw(t, "middle")]
		days := []int{c.daily.First, middle, c.daily.Until()}
		depths := []float64{20, rapid.Float64Range(1, 79).Draw(t, "depth"), 1e4}
		got, column := leaves(t, c, depths, days)
		var sum profile.Flow
		for _, leaf := range got {
			for _, f := range leaf {
				for name, v := range map[string]float64{"made": f.Made, "decayed": f.Decayed, "sand in": f.SandIn} {
					if v < 0 {
						t.Errorf("%s is %g", name, v)
					}
				}
			}
			f := leaf[2]
			organic, sand := f.Sunk()
			if math.Abs(organic) > 1e-11 || math.Abs(sand) > 1e-11 {
				t.Errorf("%g of organic matter and %g kg/m² of sand sank out of the column", organic, sand)
			}
			sum.Made += f.Made
			sum.Decayed += f.Decayed
			sum.TakenOut += f.TakenOut
			sum.SandIn += f.SandIn
			sum.SandOut += f.SandOut
			sum.OrganicEnd, sum.SandEnd = f.OrganicEnd, f.SandEnd
		}
		a, err := column.Account()
		if err != nil {
			t.Fatal(err)
		}
		near := func(name string, got, want float64) {
			if !(math.Abs(got-want) <= 1e-11*(1+math.Abs(want))) {
				t.Errorf("%s: by the ledger %g, by the account %g kg/m²", name, got, want)
			}
		}
		near("made", sum.Made, a.Made)
		near("decayed", sum.Decayed, a.Decayed)
		near("taken out", sum.TakenOut, a.TakenOut)
		near("sand in", sum.SandIn, a.SandIn)
		near("sand out", sum.SandOut, a.SandOut)
		near("organic at the end", sum.OrganicEnd, a.OrganicEnd)
		near("sand at the end", sum.SandEnd, a.SandEnd)
	})
}

func TestLedgerSaysWhichWay(t *testing.T) {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.daily, _ = season(1)
	day := c.daily.First + 100
	ends := []int{c.daily.First, c.daily.Until()}
	with := func(e profile.Event) profile.Flow {
		e.Day = day
		c.work = []profile.Event{e}
		c.look()
		l, _ := leaves(t, c, []float64{20}, ends)
		return l[0][0]
	}
	dressed := with(profile.Event{Sand: 10})
	if organic, sand := dressed.Sunk(); dressed.SandIn != 10 || !(organic > 0.2) || !(sand > 5 && sand < 11) {
		t.Errorf("10 kg/m² of sand sink %g of organic matter and %g of sand past 20 mm: %+v", organic, sand, dressed)
	}
	cored := with(profile.Event{Opening: profile.Opening{Touched: 0.1, Depth: 75}})
	if organic, sand := cored.Sunk(); !(cored.TakenOut > 0.1 && cored.SandOut > 1) || cored.SandIn != 0 || organic > 0 || sand > 0 {
		t.Errorf("open holes let material rise past 20 mm, not sink %g and %g: %+v", organic, sand, cored)
	}
	below := with(profile.Event{Sand: 5, Top: 30, Bottom: 60})
	if organic, _ := below.Sunk(); below.SandIn != 0 || math.Abs(organic) > 0.2 {
		t.Errorf("sand from 30 to 60 mm is nothing to the top 20 mm: %+v", below)
	}
}

func TestFollowingChangesNothing(t *testing.T) {
	c := busy(profile.Usual())
	c.look()
	wrt := all()
	f, track, column, alone := c.build(t, wrt)
	if err := track.Run(column, f, c.p, alone); err != nil {
		t.Fatal(err)
	}
	out := profile.NewReadout(len(c.sights), len(wrt))
	if _, err := track.Ledger(column, f, c.p, out, []float64{3, 20, 44}, []int{c.daily.First, c.daily.Until()}); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(alone, out); d != "" {
		t.Errorf("with a ledger (-without +with):\n%s", d)
	}
}

// Halving the longest step halves what it is off: places are taken at the start of a step.
func TestStepIsOfFirstOrder(t *testing.T) {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.daily = profile.Daily{First: 0}
	for range 16 * 7 * 16 {
		c.daily.Temp = append(c.daily.Temp, 15)
		c.daily.Index = append(c.daily.Index, 0.8)
	}
	end := c.daily.Until()
	c.sights = []profile.Sight{{Day: end, Bottom: 20}, {Day: end, Top: 20, Bottom: 40}, {Day: end, Top: 40, Bottom: 60}}
	at := func(step int) []profile.Seen {
		c.set.Step = step
		c.look()
		return c.see(t)
	}
	month, fortnight, week := at(28), at(14), at(7)
	for i := range month {
		ratio := (month[i].Organic - fortnight[i].Organic) / (fortnight[i].Organic - week[i].Organic)
		t.Logf("sight %d: %.6f, %.6f, %.6f kg/m²: ratio of differences %.4f", i, month[i].Organic, fortnight[i].Organic, week[i].Organic, ratio)
		if !(math.Abs(ratio-2) < 0.05) {
			t.Errorf("sight %d: halving the step divides the difference by %.3f, 2 is first order", i, ratio)
		}
	}
}

// A column that rises into what was left to rest is run again in full.
func TestOpenHolesWakeWhatRests(t *testing.T) {
	c := scene{set: profile.Usual(), p: profile.Default()}
	c.daily, _ = season(2)
	c.p[profile.Filling] = 0.2 // far less in the holes than written down
	for i := range 20 {
		c.work = append(c.work, profile.Event{Day: c.daily.First + 20 + 30*i, Opening: profile.Opening{Touched: 0.1, Depth: 60, Fill: 1}})
	}
	c.sights = []profile.Sight{{Day: c.daily.Until(), Top: 20, Bottom: 56}}
	c.look()
	m := plain{set: c.set, p: c.p}
	want := m.run(c.daily, c.looks, c.work, c.sights)
	f, track, column, out := c.build(t, nil)
	if err := track.Read(column, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	if d := apart(out.Seen, want); !(d < 1e-11) {
		t.Errorf("%.3g off the plain way", d)
	}
}
