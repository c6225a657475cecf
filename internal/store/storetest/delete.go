package storetest

import "underfoot"

// deleting tries to delete one record in a change of its own.
func (b *bed) deleting(t *underfoot.Table, key ...string) error {
	_, err := b.Change(b.ctx, "ann", "deleted a record", func(x underfoot.Tx) error { return x.Delete(t, key) })
	return err
}

var deleteChecks = []check{
	{"a deleted record is hidden", func(b *bed) {
		b.importClub("a")
		c := b.remove(underfoot.Readings, "a", "r1")
		b.same("counts", []int{0, 0, 1}, []int{c.Added, c.Changed, c.Deleted})
		b.same("readings", club("a").Readings[1:], b.records("a").Readings)
		_, err := b.Get(b.ctx, underfoot.Readings, underfoot.Key{"a", "r1"})
		b.refused(err, underfoot.NotFound, "readings a/r1 is not in the store")
		b.refused(b.deleting(underfoot.Readings, "a", "r1"), underfoot.NotFound, "readings a/r1 is not in the store")
	}},
	{"what was never there", func(b *bed) {
		b.refused(b.deleting(underfoot.Greens, "a", "7"), underfoot.NotFound, "greens a/7 is not in the store")
		b.refused(b.deleting(underfoot.Greens, "a"), underfoot.Invalid, "greens a: a key of course, green is needed, found 1 parts")
		b.refused(b.deleting(underfoot.SieveMasses, "a", "sand:m", "x"), underfoot.Invalid, `sieve a/sand:m/x: sieve_mm: "x" is not a number`)
	}},
	{"what others refer to", func(b *bed) {
		b.importClub("a")
		b.refused(b.deleting(underfoot.Greens, "a", "1"), underfoot.Conflict,
			"greens a/1 cannot be deleted: 1 of outlines, 1 of samples, 1 of work, 1 of readings, 2 of positions, 1 of points refer to it: delete those first")
		b.refused(b.deleting(underfoot.Samples, "a", "s1"), underfoot.Conflict,
			"samples a/s1 cannot be deleted: 1 of weighings, 1 of sieve, 3 of repeats, 2 of custody, 1 of sievings refer to it: delete those first")
		b.refused(b.deleting(underfoot.Sands, "a", "m"), underfoot.Conflict,
			"sands a/m cannot be deleted: 2 of work, 2 of sieve, 1 of scenarios, 1 of sievings refer to it: delete those first")
		b.refused(b.deleting(underfoot.Courses, "a"), underfoot.Conflict,
			"courses a cannot be deleted: 2 of sands, 1 of controls, 2 of greens, 1 of outlines, 2 of samples, 3 of weighings, 1 of results, "+
				"2 of work, 2 of readings, 2 of weather, 3 of sieve, 1 of targets, 1 of judgements, 1 of scenarios, 2 of runs, 2 of tray, 1 of releases, "+
				"2 of crucibles, 4 of repeats, 2 of custody, 1 of rounds, 2 of positions, 1 of points, 1 of mappings, 2 of operations, 2 of closings, 1 of crew, 2 of sievings, 1 of documents refer to it: delete those first")
		b.same("course a", club("a"), b.records("a"))
	}},
	{"others first", func(b *bed) {
		b.importClub("a")
		b.change("deleted a sample with its result", func(x underfoot.Tx) {
			for _, d := range []struct {
				table *underfoot.Table
				key   underfoot.Key
			}{{underfoot.Results, underfoot.Key{"a", "s2"}}, {underfoot.Samples, underfoot.Key{"a", "s2"}}, {underfoot.Greens, underfoot.Key{"a", "2"}}} {
				if err := x.Delete(d.table, d.key); err != nil {
					b.Error(err)
				}
			}
		})
		b.same("samples", club("a").Samples[:1], b.records("a").Samples)
	}},
	{"records of another course do not stand in the way", func(b *bed) {
		b.importClub("b")
		b.put("put", &underfoot.Course{ID: "a"}, &underfoot.Green{Course: "a", ID: "1"})
		b.remove(underfoot.Greens, "a", "1")
		b.same("course b", club("b"), b.records("b"))
	}},
	{"a key number may be written otherwise", func(b *bed) {
		b.importClub("a")
		b.remove(underfoot.SieveMasses, "a", "sand:m", "0.250")
		b.same("live", false, b.live(underfoot.SieveMasses, "a", "sand:m", "0.25"))
		b.remove(underfoot.Repeats, "a", "s1", "c1", "ash", "02")
		b.same("live repeat", false, b.live(underfoot.Repeats, "a", "s1", "c1", "ash", "2"))
	}},
	{"put and deleted in one change leaves no trace", func(b *bed) {
		b.importClub("a")
		c := b.change("came and went", func(x underfoot.Tx) {
			b.into(x, &underfoot.Green{Course: "a", ID: "9"})
			if err := x.Delete(underfoot.Greens, underfoot.Key{"a", "9"}); err != nil {
				b.Fatal(err)
			}
		})
		b.same("change", int64(0), c.ID)
		_, err := b.History(b.ctx, underfoot.Greens, underfoot.Key{"a", "9"})
		b.refused(err, underfoot.NotFound, "greens a/9 is not in the store")
	}},
}
