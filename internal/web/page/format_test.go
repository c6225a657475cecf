package page

import (
	"math"
	"testing"
)

func TestNumbers(t *testing.T) {
	tests := []struct{ name, got, want string }{
		{"plain", Num(7.24, 1), "7.2"},
		{"sentence", Sentence("dry mass 29.10 g is below ash mass"), "Dry mass 29.10 g is below ash mass."},
		{"sentence that begins with a name", Sentence("v02-0006, c07 is there already"), "v02-0006, c07 is there already."},
		{"minus", Num(-0.084, 2), "\u22120.08"},
		{"no minus zero", Num(-0.004, 2), "0.00"},
		{"thousands", Num(1234567.8, 0), "1,234,568"},
		{"thousands and decimals", Num(-12345.678, 2), "\u221212,345.68"},
		{"not a number", Num(math.NaN(), 1), "–"},
		{"plus", Signed(0.524, 2), "+0.52"},
		{"no plus zero", Signed(0.001, 2), "0.00"},
		{"span", Span(0.32, 0.72, 2), "0.32 to 0.72"},
		{"span of changes", SignedSpan(-0.19, 0.03, 2), "\u22120.19 to +0.03"},
		{"span of gains", SignedSpan(0.19, 0.3, 2), "0.19 to 0.30"},
		{"range in a table", Reach(0.32, 0.72, 2), "0.32–0.72"},
		{"range with a minus", Reach(-0.19, 0.03, 2), "\u22120.19 to 0.03"},
		{"a lot of sand", Mass(114.2), "114"},
		{"a dressing", Mass(15.69), "15.7"},
		{"a green", Mass(0.254), "0.25"},
		{"an order", Tonnes(86.2), "86"},
		{"a small order", Tonnes(8.62), "8.6"},
		{"one", CountWords(1, "round", "rounds"), "one round"},
		{"twelve", CountWords(12, "round", "rounds"), "twelve rounds"},
		{"many", CountWords(1300, "round", "rounds"), "1,300 rounds"},
		{"sentence", Sentence(" dry mass is below ash mass "), "Dry mass is below ash mass."},
		{"sentence with its end", Sentence("why?"), "Why?"},
		{"list", List([]string{"a", "b", "c"}), "a, b and c"},
		{"path", CoursePath("a b/c", "log"), "/course/a%20b%2Fc/log"},
	}
	for _, tt := range tests {
		if tt.got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.name, tt.got, tt.want)
		}
	}
}

func TestUnbroken(t *testing.T) {
	var got []string
	for _, p := range unbroken("Holding 0–20 mm needs 5.5 mm, 8.5 kg/m² or 86 t a year at 5 %.") {
		if p.keep {
			got = append(got, p.text)
		}
	}
	want := []string{"0–20 mm", "5.5 mm", "8.5 kg/m²", "86 t", "5 %"}
	if len(got) != len(want) {
		t.Fatalf("kept together: %q, want %q", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("kept together: %q, want %q", got, want)
		}
	}
}
