package storetest

import (
	"math"
	"strings"

	"underfoot"
)

var putChecks = []check{
	{"every table comes back as it went in", func(b *bed) {
		c := b.importClub("a")
		b.importClub("b")
		b.same("course a", club("a"), b.records("a"))
		b.same("course b", club("b"), b.records("b"))
		b.same("added", len(list(club("a"))), c.Added)
	}},
	{"outcomes", func(b *bed) {
		var got []underfoot.Outcome
		put := func(r underfoot.Record) {
			b.change("put", func(x underfoot.Tx) {
				o, err := x.Put(r)
				if err != nil {
					b.Fatal(err)
				}
				got = append(got, o)
			})
		}
		put(&underfoot.Course{ID: "a", Name: "North"})
		put(&underfoot.Course{ID: "a", Name: "North"})
		put(&underfoot.Course{ID: "a", Name: "South"})
		b.remove(underfoot.Courses, "a")
		put(&underfoot.Course{ID: "a", Name: "South"})
		b.same("outcomes", []underfoot.Outcome{underfoot.Added, underfoot.Same, underfoot.Changed, underfoot.Restored}, got)
	}},
	{"the same package again changes nothing", func(b *bed) {
		first := b.importClub("a")
		again := b.importClub("a")
		if again.ID != 0 || again.Added+again.Changed+again.Deleted != 0 || again.Courses != nil {
			b.Errorf("the second import left %+v", again)
		}
		latest, err := b.Latest(b.ctx, "a")
		if err != nil || latest != first.ID {
			b.Errorf("latest change %d, error %v, want %d", latest, err, first.ID)
		}
	}},
	{"a record put twice in one change counts once", func(b *bed) {
		c := b.put("put twice", &underfoot.Course{ID: "a", Name: "North"}, &underfoot.Course{ID: "a", Name: "South"})
		b.same("counts", []int{1, 0, 0}, []int{c.Added, c.Changed, c.Deleted})
		b.same("name", "South", b.records("a").Course.Name)
	}},
	{"any text", func(b *bed) {
		for _, text := range []string{"Žluťoučký kůň – 18½", "芝生 🏌️", "a'b\"c`d;--", "line\nbreak\r\n\ttab", "e\u0301 and é", "NULL", " padded ", strings.Repeat("long ", 20000)} {
			want := underfoot.Course{ID: text, Name: text, Extra: underfoot.Extra{text: text}}
			b.put("put", &want)
			b.same("course", want, b.records(text).Course)
		}
	}},
	{"any number", func(b *bed) {
		b.importClub("a")
		for _, v := range []float64{0, 1e-300, 0.1, 1.0 / 3, 123456789.125, math.MaxFloat64, math.Nextafter(1, 2), 9007199254740993} {
			b.put("put", &underfoot.Target{Course: "a", Kind: "speed_ft", Low: underfoot.Some(-v), High: underfoot.Some(v)})
			r, err := b.Get(b.ctx, underfoot.Targets, underfoot.Key{"a", "speed_ft"})
			if err != nil {
				b.Fatal(err)
			}
			got := r.(*underfoot.Target)
			if got.Low.Value != -v || got.High.Value != v || !got.High.Known {
				b.Errorf("put ±%v, got %v and %v", v, got.Low, got.High)
			}
		}
	}},
	{"not known is not zero", func(b *bed) {
		b.importClub("a")
		zero := underfoot.Weather{Course: "a", Date: day, TMinC: underfoot.Some(0.0), TMaxC: underfoot.Some(0.0), RainMM: underfoot.Some(0.0)}
		c := b.put("put", &zero)
		b.same("changed", 1, c.Changed)
		b.same("weather", zero, b.records("a").Weather[1])
	}},
	{"extra cells", func(b *bed) {
		b.put("empty", &underfoot.Course{ID: "a", Extra: underfoot.Extra{}})
		b.same("an empty extra is none", underfoot.Extra(nil), b.records("a").Course.Extra)
		c := b.put("none", &underfoot.Course{ID: "a", Extra: underfoot.Extra{"postcode": ""}})
		b.same("an empty cell is none", int64(0), c.ID)
		c = b.put("number", &underfoot.Course{ID: "a", Latitude: underfoot.Some(51.5), Extra: underfoot.Extra{"latitude_deg": "51.50"}})
		b.same("a number as written", underfoot.Extra{"latitude_deg": "51.50"}, b.records("a").Course.Extra)
		b.put("other number", &underfoot.Course{ID: "a", Latitude: underfoot.Some(51.6), Extra: underfoot.Extra{"latitude_deg": "51.50"}})
		b.same("an old way of writing is dropped", underfoot.Extra(nil), b.records("a").Course.Extra)
		b.same("changed", 1, c.Changed)
	}},
	{"bad records are refused whole", func(b *bed) {
		b.importClub("a")
		bad := func(r underfoot.Record, want string) {
			b.Helper()
			_, err := b.Change(b.ctx, "ann", "put", func(x underfoot.Tx) error {
				_, err := x.Put(r)
				return err
			})
			b.refused(err, underfoot.Invalid, want)
		}
		s := sample("a", "s9", "1")
		s.TopMM = 30
		bad(&s, "samples a/s9: bottom_mm: 20 mm is not below top_mm 30 mm: the bottom of a layer must be deeper than its top")
		s.TopMM, s.Cores = -1, underfoot.Some(0)
		bad(&s, "samples a/s9: top_mm: -1 mm is out of range: 0 to 2000 mm is allowed; cores: 0 is out of range: 1 to 1000 is allowed")
		bad(&underfoot.Sand{ID: "m"}, "sands /m: course: empty: a value is needed")
		bad(&underfoot.Course{}, "courses : course: empty: a value is needed")
		bad(&underfoot.Course{ID: "z", Name: "a\xff"}, `courses z: name: "a\xff" is not UTF-8 text`)
		bad(&underfoot.Target{Course: "a", Kind: "speed_m", Low: underfoot.Some(math.NaN())}, "targets a/speed_m: low: NaN is not a number")
		b.same("course a", club("a"), b.records("a"))
	}},
}
