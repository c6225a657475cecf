package labsheet

import "testing"

func TestReadOpening(t *testing.T) {
	for _, tt := range []struct {
		text, unit string
		want       float64
		says       string
	}{
		{"0.5 mm", "", 0.5, ""},
		{"0,25", "mm", 0.25, ""},
		{"250 µm", "", 0.25, ""},
		{"1,000 µm", "", 1, ""},
		{"1,000 mm", "", 1, ""},
		{"-1", "phi", 2, ""},
		{"0", "phi", 1, ""},
		{"4 φ", "", 0.0625, ""},
		{"−0.5 phi", "", 1.41421, ""},
		{"No. 60", "", 0.25, ""},
		{"#200", "", 0.075, ""},
		{"0.5-1.0 mm", "", 0.5, ""},
		{">2 mm", "", 2, ""},
		{"<0.063 mm", "", 0, ""},
		{"Pan", "", 0, ""},
		{"Boden", "mm", 0, ""},
		{"1 to 2", "phi", 0.25, ""},
		{"0.5", "", 0, `"0.5" is a size without a unit: say whether mm, µm, phi or sieve numbers`},
		{"#61", "", 0, `"#61" is no number of a sieve: 4 to 400 of the usual series are known; write its opening in mm`},
		{"500 mm", "", 0, `"500 mm" is no opening of a sieve: 0 to 200 mm is allowed`},
		{"sample 4", "mm", 0, `"sample 4" is not the size of a sieve: write it such as 0.5 mm, 500 µm, 1 phi, No. 35 or pan`},
		{"44 phi", "", 0, `"44 phi" phi is no size of a sieve: −7.6 to 14 phi is allowed`},
	} {
		got, err := ReadOpening(tt.text, tt.unit)
		said := ""
		if err != nil {
			said = err.Error()
		}
		if got != tt.want || said != tt.says {
			t.Errorf("%q in %q: %v, %q; want %v, %q", tt.text, tt.unit, got, said, tt.want, tt.says)
		}
	}
}

func FuzzReadOpening(f *testing.F) {
	for _, s := range []string{"0.5 mm", "250 µm", "-1 phi", "No. 60", "#200", "0.5-1.0 mm", "<0.063 mm", "pan"} {
		f.Add(s, "mm")
		f.Add(s, "phi")
	}
	f.Fuzz(func(t *testing.T, s, unit string) {
		if mm, err := ReadOpening(s, unit); err == nil && !(mm >= 0 && mm <= widest) {
			t.Errorf("%q in %q came to %v mm", s, unit, mm)
		}
	})
}
