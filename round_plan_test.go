package underfoot

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCheckRoundPlan(t *testing.T) {
	tests := []struct {
		name string
		plan RoundPlan
		want []Fault
	}{
		{"three layers", RoundPlan{Layers: "0-20 20-40 40–60", TopGreens: "1 2", FullGreens: "3"}, nil},
		{"parts of a millimetre", RoundPlan{Layers: "12.5-25"}, nil},
		{"no layer", RoundPlan{Layers: " "}, []Fault{{"layers", `" " names no layer: write depths in mm, such as 0-20 20-40`}}},
		{"one depth", RoundPlan{Layers: "20"}, []Fault{{"layers", `"20" is not a layer: its depths in mm are expected, such as 0-20`}}},
		{"upside down", RoundPlan{Layers: "40-20"}, []Fault{{"layers", `layer "40-20" is not possible: 0 to 2000 mm is allowed, and the bottom must be deeper than the top`}}},
		{"overlap", RoundPlan{Layers: "0-20 10-40"}, []Fault{{"layers", `layer "10-40" overlaps layer 0–20 mm: layers of one round may touch, not overlap`}}},
		{"a green in both lists", RoundPlan{Layers: "0-20", TopGreens: "1 2", FullGreens: "2"}, []Fault{{"full_greens", "green 2 is named twice: name each green once, for the top layer or for all"}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, tt.plan.Check()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestLayerList(t *testing.T) {
	p := RoundPlan{Layers: "0-20  20-42.5"}
	got, err := p.LayerList()
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]PlannedLayer{{0, 20}, {20, 42.5}}, got); diff != "" {
		t.Error(diff)
	}
}

// Any text is read or refused, and layers that are read are in order and apart.
func FuzzLayerList(f *testing.F) {
	for _, s := range []string{"0-20 20-40", "0-20 10-30", "1e1-2e1", "-0-1", "--", "0–5", "0-20-40", "NaN-1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p := RoundPlan{Layers: text}
		list, err := p.LayerList()
		if (err == nil) != (len(list) > 0) {
			t.Fatalf("%d layers and error %v", len(list), err)
		}
		for i, a := range list {
			if !(a.TopMM >= 0 && a.TopMM < a.BottomMM && a.BottomMM <= 2000) {
				t.Fatalf("layer %v", a)
			}
			for _, b := range list[:i] {
				if a.TopMM < b.BottomMM && b.TopMM < a.BottomMM {
					t.Fatalf("%v overlaps %v", a, b)
				}
			}
		}
	})
}
