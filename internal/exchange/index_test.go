package exchange

import (
	"testing"

	"pgregory.net/rapid"
)

// The index holds what a map would, also when keys share a segment.
func TestIndexIsAMap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var x index[where]
		m := map[hash]where{}
		n := rapid.IntRange(0, 300).Draw(t, "n")
		for range n {
			key := hash{rapid.Uint64Range(0, 3).Draw(t, "a") << 56, rapid.Uint64Range(1, 200).Draw(t, "b") << 30}
			v := where(rapid.Int32().Draw(t, "v"))
			x.put(key, v)
			m[key] = v
		}
		for a := range uint64(4) {
			for b := range uint64(200) {
				key := hash{a << 56, (b + 1) << 30}
				got, want := x.get(key), m[key]
				if _, there := m[key]; there != (got != nil) || there && *got != want {
					t.Fatalf("key %v: got %v, want %v", key, got, want)
				}
			}
		}
	})
}
