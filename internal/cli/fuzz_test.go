package cli

import (
	"math"
	"testing"

	"underfoot"
)

// Any text of a layer, a band or a day is read or refused as bad usage; depths that are read are depths.
func FuzzLayersBandsDays(f *testing.F) {
	for _, s := range []string{"0-20", "20–40 mm", "0-Inf", "-1-2", "0-20:3.0:4.0", "0x1-0x2", "1e3-1e4", "2027-10-01", "::", "-", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		refused := func(err error) bool {
			if err != nil && underfoot.KindOf(err) != underfoot.Invalid {
				t.Fatalf("%q: kind of %v", text, err)
			}
			return err != nil
		}
		top, bottom, err := parseLayer(text)
		if !refused(err) && text != "" && !(top >= 0 && bottom > top && !math.IsInf(bottom, 0)) {
			t.Fatalf("%q was read as %v to %v", text, top, bottom)
		}
		if layers, err := parseLayers([]string{text}); !refused(err) {
			for _, l := range layers {
				if math.IsNaN(l.Top) || math.IsInf(l.Top, 0) || math.IsNaN(l.Bottom) || math.IsInf(l.Bottom, 0) {
					t.Fatalf("%q was read as %v", text, l)
				}
			}
		}
		if b, err := parseBand(text); !refused(err) && !(b.TopMM >= 0 && b.BottomMM > b.TopMM && b.Low >= 0 && b.High > b.Low && b.High <= 100) {
			t.Fatalf("%q was read as %+v", text, b)
		}
		_, err = parseDates([]string{text})
		refused(err)
	})
}
