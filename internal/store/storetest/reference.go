package storetest

import "underfoot"

// putting tries to put records in a change of its own.
func (b *bed) putting(records ...underfoot.Record) error {
	_, err := b.Change(b.ctx, "ann", "put records", func(x underfoot.Tx) error {
		for _, r := range records {
			if _, err := x.Put(r); err != nil {
				return err
			}
		}
		return nil
	})
	return err
}

var referenceChecks = []check{
	{"what is named must be there", func(b *bed) {
		b.importClub("a")
		s := sample("a", "s9", "7")
		b.refused(b.putting(&s), underfoot.Invalid, `samples a/s9: green "7" is not in greens of course a: add it first`)
		w := entry("a", "w9", "7")
		b.refused(b.putting(&w), underfoot.Invalid, `work a/w9: green "7" is not in greens of course a: add it first`)
		w = entry("a", "w9", "")
		w.Sand = "x"
		b.refused(b.putting(&w), underfoot.Invalid, `work a/w9: sand "x" is not in sands of course a: add it first`)
		b.refused(b.putting(&underfoot.Result{Course: "a", Sample: "s9"}), underfoot.Invalid, `results a/s9: sample "s9" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Weighing{Course: "a", Sample: "s9", Crucible: "c1"}), underfoot.Invalid, `weighings a/s9/c1: sample "s9" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Weighing{Course: "a", Sample: "s9", Crucible: "c1", Kind: "duplicate"}), underfoot.Invalid, `weighings a/s9/c1: sample "s9" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Sieve{Course: "a", Source: "sand:x", SieveMM: 0.5}), underfoot.Invalid, `sieve a/sand:x/0.5: source "x" is not in sands of course a: add it first`)
		b.refused(b.putting(&underfoot.Sieving{Course: "a", Source: "sand:x"}), underfoot.Invalid, `sievings a/sand:x: source "x" is not in sands of course a: add it first`)
		b.refused(b.putting(&underfoot.Sieve{Course: "a", Source: "sample:x", SieveMM: 0.5}), underfoot.Invalid, `sieve a/sample:x/0.5: source "x" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Repeat{Course: "a", Sample: "s9", Crucible: "c1", Stage: "dry", N: 1}), underfoot.Invalid, `repeats a/s9/c1/dry/1: sample "s9" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Custody{Course: "a", Sample: "s9", Step: "cut", Date: day, By: "ann"}), underfoot.Invalid, `custody a/s9/cut: sample "s9" is not in samples of course a: add it first`)
		b.refused(b.putting(&underfoot.Position{Course: "a", Green: "7", Round: "spring", Core: 1}), underfoot.Invalid, `positions a/7/spring/1: green "7" is not in greens of course a: add it first`)
		b.refused(b.putting(&underfoot.Weather{Course: "z", Date: day}), underfoot.Invalid, `weather z/2026-10-08: course "z" is not in the store: add the course first`)
		b.refused(b.putting(&underfoot.Sand{Course: "z", ID: "m"}), underfoot.Invalid, `sands z/m: course "z" is not in the store: add the course first`)
		b.same("course a", club("a"), b.records("a"))
	}},
	{"another course's will not do", func(b *bed) {
		b.importClub("a")
		b.put("put", &underfoot.Course{ID: "b"})
		s := sample("b", "s1", "1")
		b.refused(b.putting(&s), underfoot.Invalid, `samples b/s1: green "1" is not in greens of course b: add it first`)
	}},
	{"what is deleted will not do", func(b *bed) {
		b.importClub("a")
		b.put("put", &underfoot.Green{Course: "a", ID: "3"})
		b.remove(underfoot.Greens, "a", "3")
		s := sample("a", "s9", "3")
		b.refused(b.putting(&s), underfoot.Invalid, `samples a/s9: green "3" is not in greens of course a: add it first`)
		b.same("putting both will", nil, b.putting(&underfoot.Green{Course: "a", ID: "3"}, &s))
	}},
	{"a change to a reference is looked at too", func(b *bed) {
		b.importClub("a")
		w := entry("a", "w2", "7")
		b.refused(b.putting(&w), underfoot.Invalid, `work a/w2: green "7" is not in greens of course a: add it first`)
	}},
	{"order within a change is free", func(b *bed) {
		all := list(club("a"))
		for i, j := 0, len(all)-1; i < j; i, j = i+1, j-1 {
			all[i], all[j] = all[j], all[i]
		}
		b.put("imported backwards", all...)
		b.same("course a", club("a"), b.records("a"))
	}},
	{"blanks and controls name no sample", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"}, &underfoot.Weighing{Course: "a", Sample: "any", Crucible: "c1", Kind: "blank"},
			&underfoot.Weighing{Course: "a", Sample: "k7", Crucible: "c1", Kind: "control"})
		b.same("weighings", 2, len(b.records("a").Weighings))
		b.put("put", &underfoot.Repeat{Course: "a", Sample: "k7", Crucible: "c1", Stage: "ash", N: 1, MassG: 30, Kind: "control"})
		b.same("repeats", 1, len(b.records("a").Repeats))
	}},
}
