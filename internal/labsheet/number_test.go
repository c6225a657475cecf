package labsheet

import "testing"

func TestReadNumber(t *testing.T) {
	for _, tt := range []struct {
		text string
		mark Mark
		want float64
		says string
	}{
		{"4.21", "", 4.21, ""},
		{"4,21", "", 4.21, ""},
		{"0,031", "", 0.031, ""},
		{"1,127", ".", 1127, ""},
		{"1,127", ",", 1.127, ""},
		{"1,127", "", 0, `"1,127" can be read as 1.127 or as 1127: say which`},
		{"1.127,5", "", 1127.5, ""},
		{"1 127,5", "", 1127.5, ""},
		{"101'300", "", 101300, ""},
		{"1,234,567", "", 1234567, ""},
		{"−3.5", "", -3.5, ""},
		{"4.4 %", "", 4.4, ""},
		{"12,3g", "", 12.3, ""},
		{"1.2E-3", "", 0.0012, ""},
		{".5", "", 0.5, ""},
		{"4,21", ".", 0, `"4,21" has a decimal comma, but the column has a decimal point: write all alike`},
		{"12,34,5", "", 0, `"12,34,5" is not a number: its thousands are not set off by threes`},
		{"<0.5", "", 0, `"<0.5" is a limit or a range, not a value: give the value, or leave the cell empty`},
		{"#REF!", "", 0, `"#REF!" is the fault of a formula: set it right in the sheet`},
		{"4.2 apples", "", 0, `"4.2 apples" is not a number: "apples" stands behind it`},
		{"1e999", "", 0, `"1e999" is not a number`},
		{"four", "", 0, `"four" is not a number`},
	} {
		got, err := ReadNumber(tt.text, tt.mark)
		said := ""
		if err != nil {
			said = err.Error()
		}
		if got.Value != tt.want || said != tt.says {
			t.Errorf("%q with %q: %v, %q; want %v, %q", tt.text, tt.mark, got.Value, said, tt.want, tt.says)
		}
	}
}

func FuzzReadNumber(f *testing.F) {
	for _, s := range []string{"4.21", "1.127,5", "101'300", "−3.5", "<1", "1e-3", "12 345,6 %", "0,0", "#N/A", "..", "1,234,567.8"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		point, errP := ReadNumber(s, Point)
		comma, errC := ReadNumber(s, Comma)
		free, err := ReadNumber(s, "")
		if err == nil && (errP != nil || point != free) && (errC != nil || comma != free) {
			t.Errorf("%q is %v without a mark, but %v with a point and %v with a comma", s, free, point, comma)
		}
		if errP == nil && errC == nil && point != comma && err == nil {
			t.Errorf("%q can be read as %v and as %v, and was read without asking", s, point, comma)
		}
	})
}
