package underfoot

import (
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// Rows in any order are put in the order of their keys, numbers by size where a key has one.
func TestSort(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		want := &Records{}
		for i := range 5 {
			g := strconv.Itoa(i)
			want.Greens = append(want.Greens, Green{Course: "a", ID: g})
			want.Weighings = append(want.Weighings, Weighing{Course: "a", Sample: "s1", Crucible: g})
			want.Sieve = append(want.Sieve, Sieve{Course: "a", Source: "sand:m", SieveMM: float64(5 * i)})
			want.Repeats = append(want.Repeats, Repeat{Course: "a", Sample: "s1", Crucible: "c", Stage: "ash", N: 1 + 5*i})
			want.Positions = append(want.Positions, Position{Course: "a", Green: "1", Round: "r", Core: 1 + 5*i})
			want.Tares = append(want.Tares, Tare{Course: "a", Crucible: "c", Date: MakeDate(2026, 1, 1).Add(31 * i)})
		}
		got := &Records{
			Greens: slices.Clone(want.Greens), Weighings: slices.Clone(want.Weighings), Sieve: slices.Clone(want.Sieve), Repeats: slices.Clone(want.Repeats),
			Positions: slices.Clone(want.Positions), Tares: slices.Clone(want.Tares),
		}
		shuffle(rt, got.Greens)
		shuffle(rt, got.Weighings)
		shuffle(rt, got.Sieve)
		shuffle(rt, got.Repeats)
		shuffle(rt, got.Positions)
		shuffle(rt, got.Tares)
		got.Sort()
		if diff := cmp.Diff(want, got); diff != "" {
			rt.Fatal(diff)
		}
	})
}

func shuffle[T any](t *rapid.T, list []T) {
	for i := len(list) - 1; i > 0; i-- {
		j := rapid.IntRange(0, i).Draw(t, "swap")
		list[i], list[j] = list[j], list[i]
	}
}
