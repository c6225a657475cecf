package typeface

import "testing"

// Every face has the letters of the languages of Europe and the marks that reports are written with, and figures that
// stand under each other.
func TestFaces(t *testing.T) {
	for _, load := range []func() (*Face, error){Sans, SansBold, Serif, SerifMedium, SerifSemibold} {
		f, err := load()
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range "aZ09äÖßéñçåøŁőšž–−’“”…±²³×·°½%&()/?£€" {
			if !f.Has(r) {
				t.Errorf("%s lacks %q", f.Name, r)
			}
		}
		for _, r := range "123456789" {
			if f.Width(string(r)) != f.Width("0") {
				t.Errorf("%s: %q is %v wide, 0 is %v", f.Name, r, f.Width(string(r)), f.Width("0"))
			}
		}
		if w := f.Width("m"); w < 0.7 || w > 1.1 {
			t.Errorf("%s: m is %v of its size wide", f.Name, w)
		}
		if f.Has('λ') {
			t.Errorf("%s is said to have Greek", f.Name)
		}
		if got, lost := f.Shown("3 λ"); got != "3 ?" || !lost {
			t.Errorf("%s shows %q, lost %v", f.Name, got, lost)
		}
	}
}

func TestNoFont(t *testing.T) {
	if _, err := read([]byte("no font at all")); err == nil {
		t.Error("read takes what is no font")
	}
}
