package bench

import "testing"

func TestRounded(t *testing.T) {
	for _, tc := range []struct {
		in   float64
		want string
	}{
		{0, "0"},
		{0.009999999, "0.0100"},
		{9.999, "10.0"},
		{188.4956, "188"},
		{12345, "12300"},
		{-1.5, "−1.50"},
	} {
		if got := rounded(tc.in); got != tc.want {
			t.Errorf("rounded(%g) = %q, want %q", tc.in, got, tc.want)
		}
	}
}
