package store

import (
	"context"
	"testing"

	"underfoot"
)

// Whatever key is asked for, the answer is that it is not there or that it is no key; nothing else breaks.
func FuzzKey(f *testing.F) {
	for _, s := range []string{"", "s1", "1", "01", "1.0", "1e999", "-0", "NaN", "9e99", "9223372036854775808", "a\x00b", "\xff", "0.25"} {
		f.Add(uint8(11), "a", s, s)
		f.Add(uint8(19), "a", s, s)
	}
	s := openTest(f)
	ctx := context.Background()
	if _, err := s.Change(ctx, "ann", "put", func(x underfoot.Tx) error {
		for _, r := range []underfoot.Record{
			&underfoot.Course{ID: "a"}, &underfoot.Green{Course: "a", ID: "1"}, &underfoot.Sand{Course: "a", ID: "m"},
			&underfoot.Sieve{Course: "a", Source: "sand:m", SieveMM: 0.25}, &underfoot.Position{Course: "a", Green: "1", Round: "r", Core: 1},
		} {
			if _, err := x.Put(r); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		f.Fatal(err)
	}
	tables := underfoot.Tables()
	f.Fuzz(func(t *testing.T, at uint8, course, first, last string) {
		table := tables[int(at)%len(tables)]
		key := underfoot.Key{course}
		for i := range table.KeyColumns() {
			if i == 0 {
				key = append(key, first)
			} else {
				key = append(key, last)
			}
		}
		refused := func(err error) {
			if k := underfoot.KindOf(err); err != nil && k != underfoot.NotFound && k != underfoot.Invalid {
				t.Fatalf("%s %q: %v", table.Name, key, err)
			}
		}
		r, err := s.Get(ctx, table, key)
		refused(err)
		if err == nil && table.Course(r) != course {
			t.Fatalf("%s %q gave %q", table.Name, key, table.Key(r))
		}
		_, err = s.History(ctx, table, key)
		refused(err)
		_, err = s.Get(ctx, table, key[:len(key)-1])
		refused(err)
	})
}
