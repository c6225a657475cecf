package raster

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"
	"time"

	"underfoot/internal/figure"
)

func trend() *figure.Scene {
	var t figure.Trend
	t.Layer = "0–20 mm"
	for i, mid := range []float64{5.1, 5.5, 6.2, 6.5, 7.2} {
		t.Rounds = append(t.Rounds, figure.Round{
			At: time.Date(2021+i, 10, 14, 0, 0, 0, 0, time.UTC), Estimate: figure.Estimate{Mid: mid, Outer: figure.Interval{Low: mid - .6, High: mid + .6}},
		})
	}
	return t.Scene()
}

func decoded(t *testing.T, s *figure.Scene) image.Image {
	t.Helper()
	body, err := PNG(s, Scale)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestPNGIsTheSameTwiceAndOfTheSizeOfTheScene(t *testing.T) {
	s := trend()
	a, err := PNG(s, Scale)
	if err != nil {
		t.Fatal(err)
	}
	if b, _ := PNG(s, Scale); !bytes.Equal(a, b) {
		t.Error("two drawings of a scene differ")
	}
	if got := decoded(t, s).Bounds(); got.Dx() != int(2*(s.Width+24)) || got.Dy() != int(2*(s.Height+24)) {
		t.Errorf("%v for a scene of %g × %g", got, s.Width, s.Height)
	}
}

// dark counts dots that are nearer to ink than to paper in a box of CSS pixels.
func dark(img image.Image, x0, y0, x1, y1 float64) int {
	n := 0
	for y := int((y0 + 12) * 2); y < int((y1+12)*2); y++ {
		for x := int((x0 + 12) * 2); x < int((x1+12)*2); x++ {
			if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
				n++
			}
		}
	}
	return n
}

// Primitives cover as many dots as their areas have: a fill of 10 × 10 px, a stroke, a ring, dashes, and letters with a halo.
func TestPrimitivesCoverTheirAreas(t *testing.T) {
	for _, c := range []struct {
		name string
		part figure.Part
		want float64 // CSS px²
	}{
		{"rectangle", figure.Rect{Style: "solid", X: 10, Y: 10, W: 10, H: 10}, 100},
		{"dot", figure.Circle{Style: "obs", X: 30, Y: 30, R: 10}, math.Pi * 100},
		{"line of 2 px", figure.Line{Style: "fit", X1: 10, Y1: 20, X2: 50, Y2: 20}, 80},
		{"slanting line", figure.Line{Style: "fit", X1: 10, Y1: 10, X2: 40, Y2: 50}, 100},
		{"bend", figure.Path{Style: "fit", Segs: []figure.Seg{{Kind: figure.MoveTo, P: [3]figure.Point{{X: 10, Y: 10}}}, {Kind: figure.LineTo, P: [3]figure.Point{{X: 50, Y: 10}}}, {Kind: figure.LineTo, P: [3]figure.Point{{X: 50, Y: 50}}}}}, 160},
		{"dashes of 2 in 5", figure.Line{Style: "wline", X1: 10, Y1: 20.5, X2: 60, Y2: 20.5}, 20},
	} {
		s := &figure.Scene{Width: 70, Height: 70, Parts: []figure.Part{c.part}}
		if got := float64(dark(decoded(t, s), -12, -12, 82, 82)) / 4; math.Abs(got-c.want) > .05*c.want+1 {
			t.Errorf("%s: %g px² are dark, want %g", c.name, got, c.want)
		}
	}
}

func TestLettersStandWhereTheyShould(t *testing.T) {
	for a, box := range map[figure.Anchor][4]float64{figure.Start: {60, 20, 120, 45}, figure.Middle: {30, 20, 90, 45}, figure.End: {0, 20, 60, 45}} {
		s := &figure.Scene{Width: 120, Height: 60, Parts: []figure.Part{figure.Text{Style: "lbs", X: 60, Y: 40, Words: "8.8 %", Anchor: a}}}
		img := decoded(t, s)
		all, inside := dark(img, -12, -12, 132, 72), dark(img, box[0], box[1], box[2], box[3])
		if all < 100 || inside < all*98/100 {
			t.Errorf("anchor %d: %d of %d dark dots in %v", a, inside, all, box)
		}
	}
}

func TestHaloPaintsPaperBehindLetters(t *testing.T) {
	under := figure.Rect{Style: "solid", X: 0, Y: 0, W: 120, H: 60}
	letters := figure.Text{Style: "lbs", X: 10, Y: 40, Words: "8.8 %"}
	plain := dark(decoded(t, &figure.Scene{Width: 120, Height: 60, Parts: []figure.Part{under, letters}}), 0, 0, 120, 60)
	letters.Halo = true
	halo := dark(decoded(t, &figure.Scene{Width: 120, Height: 60, Parts: []figure.Part{under, letters}}), 0, 0, 120, 60)
	if plain-halo < 400 {
		t.Errorf("%d dark dots without a halo, %d with one", plain, halo)
	}
}

// Two textures differ by a twentieth of the way from black to white at the least, dot for dot.
func TestTexturesDifferInGrey(t *testing.T) {
	styles := []figure.Style{"sandbar", "growbar", "decbar", "tinebar", "plainbar"}
	var grey [][]float64
	for _, st := range styles {
		img := decoded(t, &figure.Scene{Width: 60, Height: 60, Parts: []figure.Part{figure.Rect{Style: st, X: 5, Y: 5, W: 50, H: 50}}})
		var dots []float64
		for y := 50; y < 120; y++ {
			for x := 50; x < 120; x++ {
				dots = append(dots, float64(color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y)/255)
			}
		}
		grey = append(grey, dots)
	}
	for i := range grey {
		for j := range i {
			sum := 0.0
			for k := range grey[i] {
				sum += math.Abs(grey[i][k] - grey[j][k])
			}
			if mean := sum / float64(len(grey[i])); mean < .05 {
				t.Errorf("%s and %s differ by %.3f of the grey scale", styles[i], styles[j], mean)
			}
		}
	}
}

func TestNonsenseIsRefusedOrDrawn(t *testing.T) {
	for _, s := range []*figure.Scene{{}, {Width: math.NaN(), Height: 10}, {Width: 1e6, Height: 1e6}, {Width: -50, Height: 10}} {
		if body, err := PNG(s, Scale); err == nil && s.Width != 0 {
			t.Errorf("%g × %g gives %d bytes", s.Width, s.Height, len(body))
		}
	}
	odd := &figure.Scene{Width: 50, Height: 50, Parts: []figure.Part{
		figure.Line{Style: "wline", X1: math.NaN(), Y2: math.Inf(1)},
		figure.Circle{Style: "obs", R: math.Inf(1)},
		figure.Path{Style: "fit"},
		figure.Rect{Style: "nothing", X: -1e12, W: 1e12, H: 4},
		figure.Text{Style: "lb", Words: "\x00\U0001F600λ"},
	}}
	decoded(t, odd)
}
