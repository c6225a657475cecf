package figure

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"underfoot/internal/golden"
)

// sampleTradeoff is invented: a plan with less and with more sand, and two of another kind.
func sampleTradeoff() Tradeoff {
	return Tradeoff{
		XName: "mm of sand in all", Wanted: 0.8,
		Curve:  []TradePoint{{X: 0, Chance: 0}, {X: 4, Chance: 0.05}, {X: 8, Chance: 0.55}, {X: 10, Chance: 0.83, Name: "A", Chosen: true}, {X: 12, Chance: 0.7}},
		Others: []TradePoint{{X: 7.5, Chance: 0.81, Name: "B"}, {X: 13, Chance: 0.86, Name: "C"}},
	}
}

func TestTradeoff(t *testing.T) {
	phone := sampleTradeoff()
	phone.Width = PhoneWidth
	for name, s := range map[string]*Scene{"tradeoff": sampleTradeoff().Scene(), "tradeoff-narrow": phone.Scene(), "tradeoff-none": Tradeoff{}.Scene()} {
		golden.Equal(t, "testdata/"+name+".svg", []byte(broken(s.SVG(Standalone()))))
		if err := lettering(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	label := sampleTradeoff().Scene().Label
	for _, want := range []string{"A, 10.0 mm of sand in all: 8 in 10", "C, 13.0 mm of sand in all: 9 in 10"} {
		if !strings.Contains(label, want) {
			t.Errorf("the label does not say %q: %s", want, label)
		}
	}
}

// Whatever the numbers, everything is drawn inside the picture.
func TestTradeoffStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := func(label string) []TradePoint {
			return several(t, label, func(t *rapid.T) TradePoint {
				return TradePoint{anyNumber(t, "x"), anyNumber(t, "chance"), rapid.String().Draw(t, "name"), rapid.Bool().Draw(t, "chosen")}
			})
		}
		s := Tradeoff{rapid.String().Draw(t, "axis"), 0, points("curve"), points("others"), anyNumber(t, "wanted"), rapid.Float64Range(0, 2000).Draw(t, "w"), rapid.Float64Range(0, 2000).Draw(t, "h")}.Scene()
		for _, p := range s.Parts {
			if c, ok := p.(Circle); ok && (c.X < 0 || c.X > s.Width || c.Y < 0 || c.Y > s.Height) {
				t.Fatalf("a dot at %g, %g in a picture of %g by %g", c.X, c.Y, s.Width, s.Height)
			}
		}
	})
}
