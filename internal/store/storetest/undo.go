package storetest

import "underfoot"

var undoChecks = []check{
	{"an edit", func(b *bed) {
		b.importClub("a")
		w := entry("a", "w1", "1")
		w.SandMM = underfoot.Some(0.9)
		edit := b.put("changed an entry", &w)
		c := b.undo(edit.ID)
		b.same("undo", underfoot.Change{ID: edit.ID + 1, At: c.At, By: "bob", What: "undid: changed an entry", Courses: []string{"a"}, Changed: 1, Undoes: edit.ID}, c)
		b.same("course a", club("a"), b.records("a"))
		b.undone(edit.ID, c.ID)
	}},
	{"a deletion", func(b *bed) {
		b.importClub("a")
		gone := b.remove(underfoot.Weighings, "a", "s1", "c1")
		c := b.undo(gone.ID)
		b.same("counts", []int{1, 0, 0}, []int{c.Added, c.Changed, c.Deleted})
		b.same("course a", club("a"), b.records("a"))
	}},
	{"a record brought", func(b *bed) {
		b.importClub("a")
		g := b.put("added a green", &underfoot.Green{Course: "a", ID: "3"})
		c := b.undo(g.ID)
		b.same("counts", []int{0, 0, 1}, []int{c.Added, c.Changed, c.Deleted})
		b.same("course a", club("a"), b.records("a"))
		b.same("putting it again", underfoot.Restored, b.outcome(&underfoot.Green{Course: "a", ID: "3"}))
	}},
	{"a whole import, and back, and again", func(b *bed) {
		in := b.importClub("a")
		b.importClub("b")
		gone := b.undo(in.ID)
		b.same("deleted", in.Added, gone.Deleted)
		b.same("live", false, b.live(underfoot.Courses, "a"))
		b.same("course b", club("b"), b.records("b"))
		b.undone(in.ID, gone.ID)

		back := b.undo(gone.ID)
		b.same("what", "redid: imported a package", back.What)
		b.same("course a", club("a"), b.records("a"))
		b.undone(in.ID, 0)
		b.undone(gone.ID, back.ID)

		again := b.undo(in.ID)
		b.same("live", false, b.live(underfoot.Courses, "a"))
		b.undone(in.ID, again.ID)
	}},
	{"an undo of a redo", func(b *bed) {
		in := b.importClub("a")
		gone := b.undo(in.ID)
		back := b.undo(gone.ID)
		last := b.undo(back.ID)
		b.same("what", "undid: imported a package", last.What)
		b.same("live", false, b.live(underfoot.Courses, "a"))
		b.undone(back.ID, last.ID)
		b.undone(gone.ID, 0)
		b.undone(in.ID, gone.ID)
	}},
	{"a restoration", func(b *bed) {
		b.importClub("a")
		b.remove(underfoot.Readings, "a", "r1")
		again := b.put("put it again", &club("a").Readings[0])
		b.undo(again.ID)
		b.same("readings", club("a").Readings[1:], b.records("a").Readings)
	}},
	{"a change of many kinds", func(b *bed) {
		b.importClub("a")
		many := b.change("did much", func(x underfoot.Tx) {
			b.into(x, &underfoot.Green{Course: "a", ID: "3"}, &underfoot.Green{Course: "a", ID: "2", Name: "Second"}, &underfoot.Green{Course: "a", ID: "2", Name: "Other"})
			if err := x.Delete(underfoot.Readings, underfoot.Key{"a", "r1"}); err != nil {
				b.Fatal(err)
			}
		})
		b.undo(many.ID)
		b.same("course a", club("a"), b.records("a"))
		redo := many.ID + 1
		b.undo(redo)
		b.same("greens", "Other", b.records("a").Greens[1].Name)
		b.same("live", []bool{true, false}, []bool{b.live(underfoot.Greens, "a", "3"), b.live(underfoot.Readings, "a", "r1")})
	}},
	{"twice", func(b *bed) {
		b.importClub("a")
		g := b.put("added a green", &underfoot.Green{Course: "a", ID: "3"})
		b.undo(g.ID)
		_, err := b.Undo(b.ctx, "bob", g.ID)
		b.refused(err, underfoot.Conflict, "change 2 (added a green) is already undone, by change 3: undo change 3 to bring it back")
	}},
	{"a change that is not there", func(b *bed) {
		_, err := b.Undo(b.ctx, "bob", 77)
		b.refused(err, underfoot.NotFound, "change 77 is not in the store")
	}},
	{"changed since", func(b *bed) {
		b.importClub("a")
		one := b.put("added a green", &underfoot.Green{Course: "a", ID: "3"})
		two := b.put("named it", &underfoot.Green{Course: "a", ID: "3", Name: "Third"})
		b.put("named it again", &underfoot.Green{Course: "a", ID: "3", Name: "The third"})
		for _, id := range []int64{one.ID, two.ID} {
			_, err := b.Undo(b.ctx, "bob", id)
			what := map[int64]string{one.ID: "change 2 (added a green)", two.ID: "change 3 (named it)"}[id]
			b.refused(err, underfoot.Conflict, what+" cannot be undone: greens a/3 has been changed since, by change 4: undo that first")
		}
		b.put("named it back", &underfoot.Green{Course: "a", ID: "3", Name: "Third"})
		b.undo(two.ID)
		b.same("name", "", b.records("a").Greens[2].Name)
		b.undo(one.ID)
		b.same("course a", club("a"), b.records("a"))
	}},
	{"deleted since", func(b *bed) {
		b.importClub("a")
		g := b.put("added a green", &underfoot.Green{Course: "a", ID: "3"})
		b.remove(underfoot.Greens, "a", "3")
		_, err := b.Undo(b.ctx, "bob", g.ID)
		b.refused(err, underfoot.Conflict, "change 2 (added a green) cannot be undone: greens a/3 has been changed since, by change 3: undo that first")
	}},
	{"needed by others", func(b *bed) {
		b.importClub("a")
		g := b.put("added a green", &underfoot.Green{Course: "a", ID: "3"})
		s := sample("a", "s9", "3")
		b.put("added a sample", &s)
		want := b.records("a")
		_, err := b.Undo(b.ctx, "bob", g.ID)
		b.refused(err, underfoot.Conflict, "change 2 (added a green) cannot be undone: samples a/s9 refers to greens a/3, which would be gone: undo or delete that first")
		b.same("course a", want, b.records("a"))
	}},
	{"needing what is gone", func(b *bed) {
		b.importClub("a")
		s := sample("a", "s9", "3")
		b.put("added a green", &underfoot.Green{Course: "a", ID: "3"}, &s)
		gone := b.remove(underfoot.Samples, "a", "s9")
		b.remove(underfoot.Greens, "a", "3")
		_, err := b.Undo(b.ctx, "bob", gone.ID)
		b.refused(err, underfoot.Conflict, "change 3 (deleted a record) cannot be undone: samples a/s9 refers to greens a/3, which would be gone: undo or delete that first")
	}},
	{"many records", func(b *bed) {
		b.importClub("a")
		var all []underfoot.Record
		for i := range 2345 {
			all = append(all, &underfoot.Weather{Course: "a", Date: day.Add(i + 1), RainMM: underfoot.Some(float64(i % 40))})
		}
		in := b.put("imported weather", all...)
		back := b.undo(b.undo(in.ID).ID)
		b.same("brought back", len(all), back.Added)
		b.same("weather", len(all)+2, len(b.records("a").Weather))
	}},
}

func (b *bed) outcome(r underfoot.Record) (out underfoot.Outcome) {
	b.Helper()
	b.change("put", func(x underfoot.Tx) {
		var err error
		if out, err = x.Put(r); err != nil {
			b.Fatal(err)
		}
	})
	return out
}

// undone fails unless change id says it is undone by another, or not at all.
func (b *bed) undone(id, by int64) {
	b.Helper()
	list, err := b.Changes(b.ctx, "", 0)
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range list {
		if c.ID == id && c.Undone != by {
			b.Errorf("change %d is undone by %d, want %d", id, c.Undone, by)
		}
	}
}
