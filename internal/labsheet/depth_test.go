package labsheet

import "testing"

func TestReadDepth(t *testing.T) {
	for _, tt := range []struct {
		text, unit string
		want       Depth
		says       string
	}{
		{"0-20 mm", "", Depth{0, 20}, ""},
		{"0–20mm", "", Depth{0, 20}, ""},
		{"0-2 cm", "", Depth{0, 20}, ""},
		{"2 cm - 4 cm", "", Depth{20, 40}, ""},
		{"20/40", "mm", Depth{20, 40}, ""},
		{"top 1 in", "", Depth{0, 25.4}, ""},
		{"1-2 inches", "", Depth{25.4, 50.8}, ""},
		{`0" - ½"`, "", Depth{0, 12.7}, ""},
		{"oberste 2 cm", "", Depth{0, 20}, ""},
		{"øverste 20 mm", "", Depth{0, 20}, ""},
		{"0,5 bis 2 cm Tiefe", "", Depth{5, 20}, ""},
		{"from 20 to 40 mm", "", Depth{20, 40}, ""},
		{"0-2", "cm", Depth{0, 20}, ""},
		{"0-2", "", Depth{}, `"0-2" is a depth without a unit: say whether mm, cm or inches`},
		{"40-20 mm", "", Depth{}, `"40-20 mm" is not a layer: its lower end must be deeper than its upper end, and at most 2000 mm deep`},
		{"0-9000 mm", "", Depth{}, `"0-9000 mm" is not a layer: its lower end must be deeper than its upper end, and at most 2000 mm deep`},
		{"20 mm", "", Depth{}, `"20 mm" is not a layer: give its two depths, such as 0-20 mm`},
		{"green 7 0-20 mm", "", Depth{}, `"green 7 0-20 mm" is not a layer alone: it also says "green"`},
		{"0-20-40 mm", "mm", Depth{}, `"0-20-40 mm" is not a layer: it has more than two depths`},
	} {
		got, err := ReadDepth(tt.text, tt.unit)
		said := ""
		if err != nil {
			said = err.Error()
		}
		if got != tt.want || said != tt.says {
			t.Errorf("%q in %q: %v, %q; want %v, %q", tt.text, tt.unit, got, said, tt.want, tt.says)
		}
	}
}

func FuzzReadDepth(f *testing.F) {
	for _, s := range []string{"0-2 cm", "0–20mm", "top 1 in", `1" to 2"`, "½-1 in", "oberste 2 cm", "20/40", "0...20 mm", "Green 7, 0-20 mm"} {
		f.Add(s, "mm")
		f.Add(s, "")
	}
	f.Fuzz(func(t *testing.T, s, unit string) {
		if lengths[unit] == 0 && unit != "" {
			return
		}
		for _, read := range []func() (Depth, bool){
			func() (Depth, bool) { d, err := ReadDepth(s, unit); return d, err == nil },
			func() (Depth, bool) { d, _, ok := FindDepth(s, unit); return d, ok },
		} {
			if d, ok := read(); ok && !(d.TopMM >= 0 && d.BottomMM > d.TopMM && d.BottomMM <= deepest) {
				t.Errorf("%q in %q came to %v", s, unit, d)
			}
		}
	})
}
