package figure

import (
	"math"
	"strconv"
	"testing"
)

// The stops are lajolla reversed at whole and half percents: F. Crameri, Scientific colour maps,
// doi:10.5281/zenodo.1243862; the points between are linear in sRGB by definition here.
func TestOMColour(t *testing.T) {
	for _, c := range []struct {
		name    string
		percent float64
		want    string
	}{
		{"bare sand", 0, "#FFFECB"},
		{"half percent stop", 5.5, "#D55A4D"},
		{"whole percent stop", 7, "#94413E"},
		{"peat", 10, "#261E08"},
		{"midway between stops", .25, "#FEF8BB"},
		{"below the scale", -3, "#FFFECB"},
		{"above the scale", 44, "#261E08"},
		{"not a number", math.NaN(), "#FFFECB"},
		{"infinite", math.Inf(1), "#261E08"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := OMColour(c.percent); got != c.want {
				t.Errorf("OMColour(%v) = %s, want %s", c.percent, got, c.want)
			}
		})
	}
}

func TestOMInkTurnsWhite(t *testing.T) {
	if got := OMInk(5.24); got != "#13211D" {
		t.Errorf("OMInk(5.24) = %s", got)
	}
	if got := OMInk(5.25); got != "#FFFFFF" {
		t.Errorf("OMInk(5.25) = %s", got)
	}
}

// WCAG 2.2, 1.4.3 asks for 4.5:1 of text and 3:1 of large text. Between 5.25 and 6 % the scale
// allows neither ink 4.5:1 throughout, so the value also stands in words beside every core.
func TestOMInkCanBeRead(t *testing.T) {
	for k := 0; k <= 1000; k++ {
		p := float64(k) / 100
		least := 4.5
		if p >= 5.25 && p < 6 {
			least = 3
		}
		if c := contrast(OMInk(p), OMColour(p)); c < least {
			t.Errorf("lettering at %.2f %% has contrast %.2f, want %.1f", p, c, least)
		}
	}
}

// contrast is (L1+0.05)/(L2+0.05) of relative luminances: WCAG 2.2, "contrast ratio".
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + .05) / (min(la, lb) + .05)
}

// luminance is 0.2126 R + 0.7152 G + 0.0722 B of linear light: WCAG 2.2, "relative luminance".
func luminance(hex string) float64 {
	sum := 0.0
	for i, share := range []float64{.2126, .7152, .0722} {
		n, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		c := float64(n) / 255
		if c <= .04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+.055)/1.055, 2.4)
		}
		sum += share * c
	}
	return sum
}
