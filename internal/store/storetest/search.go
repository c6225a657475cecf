package storetest

import (
	"underfoot"
)

var searchChecks = []check{
	{"search", func(b *bed) {
		b.put("courses",
			&underfoot.Course{ID: "lochend", Name: "Löchend Links"}, &underfoot.Course{ID: "other", Name: "Otherby"},
			&underfoot.Green{Course: "lochend", ID: "g7", Name: "Seventh, the Élan"}, &underfoot.Green{Course: "other", ID: "g7"},
			&underfoot.Sample{Course: "lochend", ID: "LE-25-1", Green: "g7", Round: "autumn", Date: day, BottomMM: 20},
			&underfoot.Sample{Course: "lochend", ID: "LE-25-11", Green: "g7", Round: "autumn", Date: day, TopMM: 20, BottomMM: 40},
			&underfoot.Custody{Course: "lochend", Sample: "LE-25-11", Step: "bagged", Date: day, By: "ann"}, &underfoot.Custody{Course: "lochend", Sample: "LE-25-11", Step: "sent", Date: day, By: "ann"},
			&underfoot.Work{Course: "other", ID: "w1", Date: day, Kind: "topdress", Note: "after the frost"},
		)
		b.same("what is behind before anything was read", 2, b.behind())
		if n, err := b.Index(b.ctx); n != 0 || err != nil {
			b.Fatalf("index: %d behind, %v", n, err)
		}
		b.same("what is behind after", 0, b.behind())
		on := underfoot.Some(day)
		course := underfoot.Found{Kind: underfoot.FoundCourse, Course: "lochend", Title: "Löchend Links"}
		seventh := underfoot.Found{Kind: underfoot.FoundGreen, Course: "lochend", Key: "g7", Title: "Seventh, the Élan"}
		round := underfoot.Found{Kind: underfoot.FoundRound, Course: "lochend", Key: "autumn", Title: "autumn", Date: on}
		short := underfoot.Found{Kind: underfoot.FoundSample, Course: "lochend", Key: "LE-25-1", Title: "LE-25-1", Date: on, At: "cut"}
		long := underfoot.Found{Kind: underfoot.FoundSample, Course: "lochend", Key: "LE-25-11", Title: "LE-25-11", Date: on, At: "sent"}
		log := underfoot.Found{Kind: underfoot.FoundWork, Course: "other", Key: "w1", Title: "topdress: after the frost", Date: on}
		for words, want := range map[string][]underfoot.Found{
			"LOCHEND": {course, seventh, round}, "löch": {course, seventh, round}, "lochend g7": {seventh}, "elan": {seventh},
			"le-25-1": {short, long}, "LE 25 11": {long}, "Frost": {log}, "nothing like it": nil, `"*' AND -`: nil, "": nil,
			"sample": nil, "words:frost": nil,
			"lochend s": {seventh}, "loch sev": {seventh}, "l s": {seventh}, "g7 l": {seventh, short, long}, "frost w": {log}, "fro w": {log}, "w1 f": {log}, "fr nothing": nil,
		} {
			b.same("search for "+words, want, b.found(words, 10))
		}
		b.same("no more than asked for", []underfoot.Found{short}, b.found("le", 1))

		gone := b.remove(underfoot.Samples, "lochend", "LE-25-1")
		b.same("a changed course is behind", 1, b.behind())
		b.index()
		b.same("what was deleted", []underfoot.Found{long}, b.found("le-25-1", 10))
		b.undo(gone.ID)
		b.index()
		b.same("what was brought back", []underfoot.Found{short, long}, b.found("le-25-1", 10))
		b.same("the other course", []underfoot.Found{log}, b.found("frost", 10))
	}},
	{"latest changes of all courses", func(b *bed) {
		b.importClub("a")
		b.importClub("b")
		got, err := b.Latests(b.ctx)
		if err != nil {
			b.Fatal(err)
		}
		for _, course := range []string{"a", "b"} {
			latest, err := b.Latest(b.ctx, course)
			if err != nil {
				b.Fatal(err)
			}
			b.same("the latest of "+course, latest, got[course])
		}
		b.same("how many", 2, len(got))
		newest, err := b.Latest(b.ctx, "")
		if err != nil {
			b.Fatal(err)
		}
		b.same("the latest of all", max(got["a"], got["b"]), newest)
	}},
	{"kept of one course", func(b *bed) {
		b.importClub("a")
		want := underfoot.Kept{Course: "a", Kind: "figures", Latest: 4, Data: []byte{0, 255}}
		if err := b.Keep(b.ctx, want); err != nil {
			b.Fatal(err)
		}
		got, err := b.KeptOf(b.ctx, "figures", "a")
		if err != nil || got == nil {
			b.Fatal(got, err)
		}
		b.same("what is kept", want, *got)
		none, err := b.KeptOf(b.ctx, "figures", "b")
		if err != nil || none != nil {
			b.Errorf("kept of a course without: %v, %v", none, err)
		}
		stamps := map[int64]bool{0: true}
		for _, k := range []underfoot.Kept{want, {Course: "a", Kind: "figures", Latest: 5, Data: []byte{1}}, {Course: "b", Kind: "figures", Latest: 2, Data: []byte{1}}} {
			if err := b.Keep(b.ctx, k); err != nil {
				b.Fatal(err)
			}
			stamp, err := b.KeptStamp(b.ctx, "figures")
			if err != nil || stamps[stamp] {
				b.Errorf("the stamp is %d after change %d of %s: seen before (%v), %v", stamp, k.Latest, k.Course, stamps, err)
			}
			stamps[stamp] = true
		}
		nothing, err := b.KeptStamp(b.ctx, "nothing")
		b.same("the stamp of nothing", []any{int64(0), nil}, []any{nothing, err})
	}},
}

func (b *bed) index() {
	b.Helper()
	if n, err := b.Index(b.ctx); n != 0 || err != nil {
		b.Fatalf("index: %d behind, %v", n, err)
	}
}

func (b *bed) behind() int {
	b.Helper()
	_, n, err := b.Search(b.ctx, "", 1)
	if err != nil {
		b.Fatal(err)
	}
	return n
}

func (b *bed) found(words string, most int) []underfoot.Found {
	b.Helper()
	list, _, err := b.Search(b.ctx, words, most)
	if err != nil {
		b.Fatal(err)
	}
	return list
}
