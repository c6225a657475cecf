package sieve

import (
	"fmt"
	"math"
)

// Water says what the grains of a layer mean for water beside those of the root zone, in plain words.
func Water(layer, root *Curve, name, rootName string) []string {
	d, err := Apart(layer, root)
	if err != nil {
		return []string{fmt.Sprintf("What %s means for water cannot be said: %v.", name, err)}
	}
	if !d.Differs {
		return []string{fmt.Sprintf("As far as grains go, water moves through %s as through %s: what slows it down is organic matter, not the sand.", name, rootName)}
	}
	var out []string
	a, sa := layer.at(10)
	b, sb := root.at(10)
	if !math.IsNaN(a) && !math.IsNaN(b) {
		r := (a / b) * (a / b)
		u := 2 * math.Hypot(sa/a, sb/b) // of ln r
		lo, hi := r*math.Exp(-z95*u), r*math.Exp(z95*u)
		switch {
		case hi < 1:
			out = append(out, fmt.Sprintf("The finest tenth of the grains of %s ends at %.2f mm, of %s at %.2f mm. Clean sand of this kind lets water through more slowly, to about %.2g of it (%.2g to %.2g), and holds more of it.", name, a, rootName, b, r, lo, hi))
		case lo > 1:
			out = append(out, fmt.Sprintf("The finest tenth of the grains of %s ends at %.2f mm, of %s at %.2f mm. Clean sand of this kind lets water through faster, about %.2g times (%.2g to %.2g), and holds less of it.", name, a, rootName, b, r, lo, hi))
		default:
			out = append(out, fmt.Sprintf("The fine grains, which decide how fast water moves, are alike in %s and %s (a tenth is finer than %.2f and %.2f mm).", name, rootName, a, b))
		}
	}
	if p, sp, ok := layer.Between(0, 0.15); ok {
		if q, sq, ok := root.Between(0, 0.15); ok {
			u := math.Hypot(float64(sp), float64(sq))
			switch more := float64(p - q); {
			case more > z95*u:
				out = append(out, fmt.Sprintf("Grains under 0.15 mm are %.1f %% of %s and %.1f %% of %s: they fill pores first.", float64(p), name, float64(q), rootName))
			case more < -z95*u:
				out = append(out, fmt.Sprintf("Grains under 0.15 mm are fewer in %s, %.1f %% against %.1f %%.", name, float64(p), float64(q)))
			}
		}
	}
	if math.Exp2(math.Abs(d.Shift)) < alike {
		return out
	}
	if d.Shift < 0 {
		return append(out, "A finer layer over a coarser one lets water go only once it is nearly full: it stays wetter at the surface.")
	}
	return append(out, "A coarser layer over a finer one drains well itself; water then waits on the finer one.")
}
