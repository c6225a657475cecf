package mixed

import (
	"fmt"
	"math"
	"strings"
)

// alias notes that column j of a design is a combination of the columns kept so far; c are its coefficients on Q.
func (f *fixed) alias(d *Design, j int, c []double) {
	why := "it is zero in every row"
	if len(c) > 0 {
		if said := f.combination(d, c); said != "" {
			why = "it is " + said
		}
	}
	f.aliased = append(f.aliased, Aliased{Name: d.Names[j], Why: why})
}

// combination says a column in terms of the columns kept: "2 × a − b". Empty when it is zero.
func (f *fixed) combination(d *Design, c []double) string {
	p := len(c)
	r := f.r
	x := make([]float64, p)
	largest := 0.0
	for i := p - 1; i >= 0; i-- {
		v := c[i]
		for k := i + 1; k < p; k++ {
			v = v.minus(r[i][k].times(double{x[k], 0}))
		}
		x[i] = v.over(r[i][i]).float()
		largest = math.Max(largest, math.Abs(x[i]))
	}
	var b strings.Builder
	parts := 0
	for i, v := range x {
		if math.Abs(v) <= 1e-7*largest {
			continue
		}
		parts++
		if parts > 6 {
			return "a combination of the columns before it"
		}
		sign := ""
		switch {
		case b.Len() > 0 && v < 0:
			sign = " − "
		case b.Len() > 0:
			sign = " + "
		case v < 0:
			sign = "−"
		}
		b.WriteString(sign)
		if size := math.Abs(v); math.Abs(size-1) > 1e-7 {
			fmt.Fprintf(&b, "%.6g × ", size)
		}
		b.WriteString(d.Names[f.kept[i]])
	}
	return b.String()
}
