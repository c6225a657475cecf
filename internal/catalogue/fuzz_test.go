package catalogue_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/internal/catalogue"
	"underfoot/season"
)

// Whatever is typed for one value of an operation, it is taken or named as wrong; what is taken fits its row and comes
// back from it.
func FuzzTyped(f *testing.F) {
	f.Add(uint8(0), uint8(0), "0.5")
	f.Add(uint8(1), uint8(3), "1e0")
	f.Add(uint8(2), uint8(9), "-0")
	f.Add(uint8(3), uint8(5), "  spaced\n")
	f.Add(uint8(4), uint8(12), "4-10")
	f.Add(uint8(5), uint8(7), "0x7")
	f.Add(uint8(6), uint8(2), "\"quoted\" \x00\xff")
	f.Fuzz(func(t *testing.T, which, at uint8, text string) {
		usual := season.Usual()
		o := usual[int(which)%len(usual)]
		entry := catalogue.Typed(o.ID, o.Kind, nil)
		if len(entry.Faults) > 0 {
			t.Fatalf("built-in %s: %v", o.ID, entry.Faults)
		}
		fields := entry.Fields()
		key := fields[int(at)%len(fields)].Key
		for _, id := range []string{o.ID, "own"} {
			texts := map[string]string{}
			if id == "own" { // an operation of the course's own: everything is said
				for _, x := range fields {
					texts[x.Key] = x.Value
				}
			}
			texts[key] = text
			e := catalogue.Typed(id, o.Kind, texts)
			if len(e.Faults) > 0 {
				for _, x := range e.Faults {
					if x.Text == "" {
						t.Fatalf("%s = %q is wrong without a word", key, text)
					}
				}
				continue
			}
			if err := e.Operation.Check(); err != nil {
				t.Fatalf("%s = %q was taken: %v", key, text, err)
			}
			row, kept := e.Row("a")
			if !kept {
				continue
			}
			again := catalogue.EntryOf(&row)
			if len(again.Faults) > 0 {
				t.Fatalf("%s = %q is refused from its own row: %v", key, text, again.Faults)
			}
			if diff := cmp.Diff(e.Operation, again.Operation); diff != "" {
				t.Fatalf("%s = %q: %s", key, text, diff)
			}
		}
	})
}
