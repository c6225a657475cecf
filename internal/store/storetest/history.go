package storetest

import "underfoot"

var historyChecks = []check{
	{"a record from first to last", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"})
		cells := func(name string) map[string]string {
			m := map[string]string{"course": "a", "green": "3", "built_year": "1998", "postcode": "x"}
			if name != "" {
				m["name"] = name
			}
			return m
		}
		green := func(name string) *underfoot.Green {
			return &underfoot.Green{Course: "a", ID: "3", Name: name, BuiltYear: underfoot.Some(1998), Extra: underfoot.Extra{"postcode": "x"}}
		}
		c1 := b.put("added a green", green(""))
		c2 := b.put("named it", green("Third"))
		c3 := b.remove(underfoot.Greens, "a", "3")
		c4 := b.put("put it again", green("Drei"))
		c5 := b.undo(c4.ID)
		c4.Undone = c5.ID
		b.history(underfoot.Key{"a", "3"}, []underfoot.Revision{
			{Change: c1, After: cells("")},
			{Change: c2, Before: cells(""), After: cells("Third")},
			{Change: c3, Before: cells("Third")},
			{Change: c4, After: cells("Drei")},
			{Change: c5, Before: cells("Drei")},
		})
	}},
	{"a record only brought", func(b *bed) {
		c := b.put("put", &underfoot.Course{ID: "a"}, &underfoot.Green{Course: "a", ID: "3", AreaM2: underfoot.Some(480.5), Extra: underfoot.Extra{"area_m2": "480.50"}})
		b.history(underfoot.Key{"a", "3"}, []underfoot.Revision{{Change: c, After: map[string]string{"course": "a", "green": "3", "area_m2": "480.50"}}})
	}},
	{"several steps in one change are one", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"})
		c1 := b.put("put twice", &underfoot.Green{Course: "a", ID: "3"}, &underfoot.Green{Course: "a", ID: "3", Name: "B"})
		c2 := b.put("put twice again", &underfoot.Green{Course: "a", ID: "3", Name: "C"}, &underfoot.Green{Course: "a", ID: "3", Name: "D"})
		named := func(name string) map[string]string {
			return map[string]string{"course": "a", "green": "3", "name": name}
		}
		b.history(underfoot.Key{"a", "3"}, []underfoot.Revision{{Change: c1, After: named("B")}, {Change: c2, Before: named("B"), After: named("D")}})
	}},
	{"a record that never was", func(b *bed) {
		_, err := b.History(b.ctx, underfoot.Greens, underfoot.Key{"a", "3"})
		b.refused(err, underfoot.NotFound, "greens a/3 is not in the store")
	}},
	{"records whose keys look alike", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"})
		w := func(sample, crucible, run string) *underfoot.Weighing {
			return &underfoot.Weighing{Course: "a", Sample: sample, Crucible: crucible, FurnaceRun: run, Kind: "blank"}
		}
		b.put("put", w("x/y", "z", "1"), w("x", "y/z", "1"))
		b.put("changed one", w("x/y", "z", "2"))
		for key, want := range map[string]int{"x/y": 2, "x": 1} {
			crucible := map[string]string{"x/y": "z", "x": "y/z"}[key]
			got, err := b.History(b.ctx, underfoot.Weighings, underfoot.Key{"a", key, crucible})
			if err != nil || len(got) != want {
				b.Errorf("sample %s has %d steps, error %v, want %d", key, len(got), err, want)
			}
		}
	}},
}

func (b *bed) history(green underfoot.Key, want []underfoot.Revision) {
	b.Helper()
	got, err := b.History(b.ctx, underfoot.Greens, green)
	if err != nil {
		b.Fatal(err)
	}
	b.same("history", want, got)
}
