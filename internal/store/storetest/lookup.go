package storetest

import "underfoot"

var lookupChecks = []check{
	{"courses by key", func(b *bed) {
		got, err := b.Courses(b.ctx)
		if err != nil || len(got) != 0 {
			b.Fatalf("an empty store has courses %v, error %v", got, err)
		}
		b.put("put", &underfoot.Course{ID: "b"}, &underfoot.Course{ID: "a"}, &underfoot.Course{ID: "é"}, &underfoot.Course{ID: "B"}, &underfoot.Course{ID: "gone"})
		b.remove(underfoot.Courses, "gone")
		got, err = b.Courses(b.ctx)
		if err != nil {
			b.Fatal(err)
		}
		b.same("courses", []underfoot.Course{{ID: "B"}, {ID: "a"}, {ID: "b"}, {ID: "é"}}, got)
	}},
	{"records by key", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"})
		for _, id := range []string{"10", "9", "1", "A", "a", "ä"} {
			b.put("put", &underfoot.Green{Course: "a", ID: id})
		}
		var got []string
		for _, g := range b.records("a").Greens {
			got = append(got, g.ID)
		}
		b.same("greens", []string{"1", "10", "9", "A", "a", "ä"}, got)
	}},
	{"a course that is not there", func(b *bed) {
		_, err := b.Records(b.ctx, "z")
		b.refused(err, underfoot.NotFound, "courses z is not in the store")
		b.put("put", &underfoot.Course{ID: "z"})
		b.remove(underfoot.Courses, "z")
		_, err = b.Records(b.ctx, "z")
		b.refused(err, underfoot.NotFound, "courses z is not in the store")
		_, err = b.Changes(b.ctx, "y", 5)
		b.refused(err, underfoot.NotFound, "courses y is not in the store")
		latest, err := b.Latest(b.ctx, "y")
		b.same("latest", []any{int64(0), nil}, []any{latest, err})
	}},
	{"one record of every table", func(b *bed) {
		b.importClub("a")
		for _, want := range list(club("a")) {
			t := want.Table()
			got, err := b.Get(b.ctx, t, t.Key(want))
			if err != nil {
				b.Error(err)
				continue
			}
			b.same(t.Name, want, got)
		}
		_, err := b.Get(b.ctx, underfoot.Samples, underfoot.Key{"a"})
		b.refused(err, underfoot.Invalid, "samples a: a key of course, sample is needed, found 1 parts")
	}},
	{"inside a change", func(b *bed) {
		b.importClub("a")
		b.remove(underfoot.Readings, "a", "r1")
		b.change("looked around", func(x underfoot.Tx) {
			g := underfoot.Green{Course: "a", ID: "5", Name: "Fifth"}
			b.into(x, &g)
			found, err := x.Find(underfoot.Greens, underfoot.Key{"a", "5"})
			b.same("what this change put", []any{underfoot.Record(&g), nil}, []any{found, err})
			none, err := x.Find(underfoot.Readings, underfoot.Key{"a", "r1"})
			if none != nil || err != nil {
				b.Errorf("a deleted record was found: %v, error %v", none, err)
			}
			for key, want := range map[string]bool{"5": true, "1": true, "77": false} {
				has, err := x.Has(underfoot.Greens, underfoot.Key{"a", key})
				b.same("has green "+key, []any{want, nil}, []any{has, err})
			}
			has, err := x.Has(underfoot.Readings, underfoot.Key{"a", "r1"})
			b.same("has the deleted", []any{false, nil}, []any{has, err})
			_, err = x.Has(underfoot.Readings, underfoot.Key{"a"})
			b.refused(err, underfoot.Invalid, "readings a: a key of course, reading is needed, found 1 parts")
		})
	}},
	{"newest", func(b *bed) {
		b.importClub("a")
		all, err := b.Records(b.ctx, "a")
		if err != nil {
			b.Fatal(err)
		}
		for i := range all.Weighings {
			all.Weighings[i].FurnaceRun = "r"
			b.put("put into a furnace run", &all.Weighings[i])
		}
		apart := underfoot.Weighing{Course: "a", Sample: "blank", Crucible: "c10", FurnaceRun: "old", TareG: underfoot.Some(20.0), Kind: "blank"}
		b.put("put a blank of another run", &apart)
		old := sample("a", "old", "1")
		old.Date -= 366
		b.put("put", &old, &underfoot.Result{Course: "a", Sample: "old", OMPercent: 4, Method: "whole"})
		gone := sample("a", "gone", "1")
		gone.Date += 400
		b.put("put", &gone)
		b.remove(underfoot.Samples, "a", "gone")
		got, err := b.Newest(b.ctx, "a")
		if err != nil {
			b.Fatal(err)
		}
		b.same("course and greens", []any{all.Course, all.Greens}, []any{got.Course, got.Greens})
		b.same("samples of the last year", all.Samples, got.Samples)
		b.same("their results", all.Results, got.Results)
		of := map[string]bool{}
		for _, x := range all.Samples {
			of[x.ID] = true
		}
		var weighings []underfoot.Weighing
		runs := map[string]bool{}
		for _, w := range all.Weighings {
			runs[w.FurnaceRun] = runs[w.FurnaceRun] || of[w.Sample]
		}
		for _, w := range all.Weighings {
			if of[w.Sample] || !w.OfSample() && runs[w.FurnaceRun] {
				weighings = append(weighings, w)
			}
		}
		b.same("their weighings, with blanks and controls burnt along", weighings, got.Weighings)
		b.same("control materials", all.Controls, got.Controls)
		_, err = b.Newest(b.ctx, "x")
		b.refused(err, underfoot.NotFound, "courses x is not in the store")
	}},
	{"kept", func(b *bed) {
		b.importClub("a")
		for _, k := range []underfoot.Kept{
			{Course: "b", Kind: "figures", Latest: 3, Data: []byte("1")},
			{Course: "a", Kind: "figures", Latest: 4, Data: []byte{0, 255}},
			{Course: "a", Kind: "other", Latest: 4, Data: []byte("x")},
			{Course: "b", Kind: "figures", Latest: 9, Data: []byte("2")},
		} {
			if err := b.Keep(b.ctx, k); err != nil {
				b.Fatal(err)
			}
		}
		both := []underfoot.Kept{{Course: "a", Kind: "pairs", Latest: 1, Data: []byte("x")}, {Course: "b", Kind: "pairs", Latest: 2, Data: []byte("y")}}
		if err := b.Keep(b.ctx, both...); err != nil {
			b.Fatal(err)
		}
		pairs, err := b.Kept(b.ctx, "pairs")
		b.same("kept in one go", []any{both, nil}, []any{pairs, err})
		b.refused(b.Keep(b.ctx, underfoot.Kept{Course: "a", Kind: "pairs", Latest: 3, Data: []byte("z")}, underfoot.Kept{Course: "b"}), underfoot.Invalid, "keeping a result: course \"b\" and kind \"\": both are needed")
		pairs, err = b.Kept(b.ctx, "pairs")
		b.same("all or none", []any{both, nil}, []any{pairs, err})
		got, err := b.Kept(b.ctx, "figures")
		if err != nil {
			b.Fatal(err)
		}
		b.same("kept figures", []underfoot.Kept{
			{Course: "a", Kind: "figures", Latest: 4, Data: []byte{0, 255}}, {Course: "b", Kind: "figures", Latest: 9, Data: []byte("2")},
		}, got)
		none, err := b.Kept(b.ctx, "nothing")
		if err != nil {
			b.Fatal(err)
		}
		b.same("kept of no kind", 0, len(none))
		b.refused(b.Keep(b.ctx, underfoot.Kept{Kind: "figures"}), underfoot.Invalid, "keeping a result: course \"\" and kind \"figures\": both are needed")
	}},
	{"courses of a sample", func(b *bed) {
		b.importClub("b")
		b.importClub("a")
		s := sample("a", "only", "1")
		b.put("put", &s)
		s.ID = "gone"
		b.put("put", &s)
		b.remove(underfoot.Samples, "a", "gone")
		b.change("looked around", func(x underfoot.Tx) {
			for name, want := range map[string][]string{"s1": {"a", "b"}, "only": {"a"}, "gone": nil, "none": nil} {
				got, err := x.CoursesOf(name)
				b.same("courses of "+name, []any{want, nil}, []any{got, err})
			}
		})
	}},
}
