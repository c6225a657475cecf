package app

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"underfoot"
	"underfoot/internal/store"
)

// custodyRecords is a round of four composites: a was weighed and burnt, b was received, c and d were sent.
func custodyRecords() *underfoot.Records {
	rs := &underfoot.Records{Course: underfoot.Course{ID: "dale", Name: "Dale Park", TimeZone: "UTC"}}
	cut := underfoot.MakeDate(2026, time.October, 1)
	for i, id := range []string{"a", "b", "c", "d"} {
		green := fmt.Sprintf("g%d", i+1)
		rs.Greens = append(rs.Greens, underfoot.Green{Course: "dale", ID: green, Kind: "green"})
		rs.Samples = append(rs.Samples, underfoot.Sample{ID: id, Course: "dale", Green: green, Round: "autumn", Date: cut, TopMM: 0, BottomMM: 20})
		rs.Custodies = append(rs.Custodies,
			underfoot.Custody{Course: "dale", Sample: id, Step: "bagged", Date: cut, By: "Crew one"},
			underfoot.Custody{Course: "dale", Sample: id, Step: "sent", Date: cut.Add(1), By: "Crew one"})
	}
	rs.Custodies = append(rs.Custodies, underfoot.Custody{Course: "dale", Sample: "b", Step: "received", Date: cut.Add(3), By: "Laboratory"})
	rs.Runs = []underfoot.FurnaceRun{{Course: "dale", ID: "r1", Date: underfoot.Some(cut.Add(6))}}
	rs.Weighings = []underfoot.Weighing{{
		Course: "dale", Sample: "a", Crucible: "1", FurnaceRun: "r1", TareG: underfoot.Some(20.0), DryG: underfoot.Some(50.0), AshG: underfoot.Some(48.0), Kind: "sample",
	}}
	return rs
}

// drawn writes a row as one letter a step: Recorded, Implied, Gap, Behind, or a dot for open.
func drawn(r CustodyRow) string {
	var b strings.Builder
	for _, c := range r.Cells {
		b.WriteString(map[CustodyState]string{CustodyRecorded: "R", CustodyImplied: "I", CustodyGap: "G", CustodyBehind: "B", CustodyOpen: "."}[c.State])
	}
	return b.String()
}

func TestCustody(t *testing.T) {
	today := underfoot.MakeDate(2026, time.October, 8)
	cases := []struct {
		name                 string
		change               func(*underfoot.Records)
		today                underfoot.Date
		rows                 string
		behind, gaps, faults []string
	}{
		{
			"as it is", nil, today, "IRRGIII IRRRBBB IRRBBBB IRRBBBB",
			[]string{"Not received, though 2 others are: c, d", "Not weighed, though 1 other is: b"},
			[]string{"Received was not written down for 1 composite: a"},
			nil,
		},
		{
			"lost in the post", func(rs *underfoot.Records) { rs.Weighings = nil; rs.Custodies = rs.Custodies[:8] }, today.Add(5), "IRR.... IRR.... IRR.... IRR....",
			[]string{"Sent more than 10 days ago and not received: a, b, c, d"},
			nil, nil,
		},
		{"nothing written down", func(rs *underfoot.Records) { rs.Custodies = nil }, today, "I...III I...... I...... I......", nil, nil, nil},
		{
			"a result from elsewhere", func(rs *underfoot.Records) {
				rs.Custodies, rs.Weighings = nil, nil
				rs.Results = []underfoot.Result{{Course: "dale", Sample: "c", OMPercent: 4}}
			}, today, "I...... I...... I.....I I......", nil, nil, nil,
		},
		{
			"backwards and ahead", func(rs *underfoot.Records) {
				rs.Weighings = nil
				rs.Samples, rs.Custodies = rs.Samples[1:2], rs.Custodies[len(rs.Custodies)-1:]
				rs.Custodies = append(rs.Custodies,
					underfoot.Custody{Course: "dale", Sample: "b", Step: "bagged", Date: today.Add(-30), By: "x"},
					underfoot.Custody{Course: "dale", Sample: "b", Step: "weighed", Date: today.Add(1), By: "x"})
			}, today, "IRGRR..", nil,
			[]string{"Sent was not written down for 1 composite: b"},
			[]string{"b: bagged on 2026-09-08, before it was cut on 2026-10-01", "b: weighed on 2026-10-09, which is still to come"},
		},
		{
			"blanks and controls show nothing", func(rs *underfoot.Records) { rs.Custodies = nil; rs.Weighings[0].Kind = "control" }, today, "I...... I...... I...... I......", nil, nil, nil,
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rs := custodyRecords()
			if c.change != nil {
				c.change(rs)
			}
			rounds := Custody(rs, c.today)
			if len(rounds) != 1 {
				t.Fatalf("%d rounds", len(rounds))
			}
			var rows []string
			for _, r := range rounds[0].Rows {
				rows = append(rows, drawn(r))
			}
			if got := strings.Join(rows, " "); got != c.rows {
				t.Errorf("rows %s, want %s", got, c.rows)
			}
			if d := cmp.Diff(c.behind, rounds[0].Behind); d != "" {
				t.Errorf("behind (-want +got):\n%s", d)
			}
			if d := cmp.Diff(c.gaps, rounds[0].Gaps); d != "" {
				t.Errorf("gaps (-want +got):\n%s", d)
			}
			if d := cmp.Diff(c.faults, rounds[0].Faults); d != "" {
				t.Errorf("faults (-want +got):\n%s", d)
			}
		})
	}
}

func TestMarkCustody(t *testing.T) {
	now := func() time.Time { return time.Date(2026, 10, 16, 8, 0, 0, 0, time.UTC) }
	st, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "s.db"), store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	rs := custodyRecords()
	rs.RoundPlans = []underfoot.RoundPlan{{Course: "dale", Round: "next", Date: underfoot.MakeDate(2026, time.October, 20), Layers: "0-20", FullGreens: "g1 g2"}}
	if _, err := st.Change(t.Context(), "test", "set up", func(tx underfoot.Tx) error {
		var err error
		rs.Each(func(r underfoot.Record) {
			if err == nil {
				_, err = tx.Put(r)
			}
		})
		return err
	}); err != nil {
		t.Fatal(err)
	}
	a := New(st, now, "test")
	mark := func(step string, day int, by string, samples ...string) (underfoot.Change, error) {
		return a.MarkCustody(t.Context(), "Sam", Marking{Course: "dale", Samples: samples, Step: step, Date: underfoot.MakeDate(2026, time.October, day), By: by})
	}
	refused := []struct {
		name, want string
		err        error
	}{
		{"no step", `step: "eaten" is no step: cut, bagged, sent, received, weighed, burnt, reported are`, second(mark("eaten", 4, "x", "a"))},
		{"none ticked", "sample: no composite is ticked: tick those that were received", second(mark("received", 4, "x"))},
		{"nobody", "by: who had them in hand? A name is needed", second(mark("received", 4, " ", "a"))},
		{"ahead", "date: 2026-10-17 is still to come: a day up to today, 2026-10-16, is allowed", second(mark("received", 17, "x", "a"))},
		{"before it was cut", "date: 2026-09-30 is before 2026-10-01, the day c was cut: a day from then on is allowed", second(mark("received", 0, "x", "c"))},
		{"unknown", `sample: course "dale" has no composite "z", neither taken nor planned`, second(mark("received", 4, "x", "a", "z"))},
		{"not cut", "sample: dale-next-g1-0-20 is planned and not cut yet: mark it as cut first", second(mark("sent", 4, "x", "dale-next-g1-0-20"))},
	}
	for _, c := range refused {
		var bad *FieldError
		if c.err == nil || c.err.Error() != c.want || !errors.As(c.err, &bad) || underfoot.KindOf(c.err) != underfoot.Invalid {
			t.Errorf("%s: got %v, want %s", c.name, c.err, c.want)
		}
	}

	change, err := mark("received", 4, "Laboratory", "c", "d", "c")
	if err != nil {
		t.Fatal(err)
	}
	if change.What != "marked 2 composites as received on 2026-10-04" || change.Added != 2 {
		t.Errorf("change %+v", change)
	}
	states := func() string {
		rs, err := st.Records(t.Context(), "dale")
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, round := range Custody(rs, rs.Course.Today(now())) {
			for _, r := range round.Rows {
				out = append(out, r.Sample.ID+" "+drawn(r))
			}
		}
		return strings.Join(out, ", ")
	}
	const planned = "dale-next-g1-0-20 ......., dale-next-g2-0-20 ......., "
	if got, want := states(), planned+"a IRRGIII, b IRRRBBB, c IRRRBBB, d IRRRBBB"; got != want {
		t.Errorf("after marking: %s\nwant %s", got, want)
	}
	if _, err := st.Undo(t.Context(), "Sam", change.ID); err != nil {
		t.Fatal(err)
	}
	if got, want := states(), planned+"a IRRGIII, b IRRRBBB, c IRRBBBB, d IRRBBBB"; got != want {
		t.Errorf("after undoing: %s\nwant %s", got, want)
	}

	// Cutting a planned composite puts it on record, dated the day it was cut; undoing takes it off again.
	change, err = mark("cut", 16, "Crew", "dale-next-g2-0-20")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := states(), "dale-next-g1-0-20 B......, dale-next-g2-0-20 R......, a IRRGIII, b IRRRBBB, c IRRBBBB, d IRRBBBB"; got != want {
		t.Errorf("after cutting: %s\nwant %s", got, want)
	}
	r, err := st.Get(t.Context(), underfoot.Samples, underfoot.Key{"dale", "dale-next-g2-0-20"})
	if err != nil || r.(*underfoot.Sample).Date != underfoot.MakeDate(2026, time.October, 16) {
		t.Errorf("on record: %+v, %v", r, err)
	}
	if _, err := st.Undo(t.Context(), "Sam", change.ID); err != nil {
		t.Fatal(err)
	}
	if got, want := states(), planned+"a IRRGIII, b IRRRBBB, c IRRBBBB, d IRRBBBB"; got != want {
		t.Errorf("after undoing the cut: %s\nwant %s", got, want)
	}
}

func second[A any](_ A, err error) error { return err }
