package figure

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Residuals shows how well a model fits, row by row: residuals against fitted values, and residuals against the quantiles
// of a normal distribution.
type Residuals struct {
	Response         string // "Reaction"
	Fitted, Residual []float64
	Width, Height    float64 // 720 × 330 if zero
}

// Scene draws the two panels side by side.
func (r Residuals) Scene() *Scene {
	w, h := sized(r.Width, r.Height, box{720, 330}, box{320, 160})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: strings.TrimSpace("Residuals of " + r.Response)}
	s.Values = r.Table
	p := r.points()
	if len(p.residual) < 3 {
		return s.blank("fewer than 3 residuals: nothing to show")
	}
	q := p.normal()
	s.Label = p.said(s.Title, q)
	s.Desc = "Left: residuals against fitted values, with their mean over runs of rows in blue. " +
		"Right: residuals against normal quantiles; about 95 in 100 dots lie in the band where residuals are normal."
	if len(p.residual) > crowd {
		s.Desc += " Where dots would cover one another, one stands for all."
	}
	half := (w - 16) / 2
	left := panel{s, 0, half, h, p.power}
	left.fitted(p)
	right := panel{s, half + 16, half, h, p.power}
	right.normal(p, q)
	return s
}

// residualPoints are the rows that can be drawn, by size of the residual, in units of 10 to the power.
type residualPoints struct {
	fitted, residual []float64
	power            int
}

func (r Residuals) points() residualPoints {
	n := min(len(r.Fitted), len(r.Residual))
	var order []int
	most := 0.0
	for i := range n {
		f, e := r.Fitted[i], r.Residual[i]
		if math.IsNaN(f) || math.IsInf(f, 0) || math.IsNaN(e) || math.IsInf(e, 0) {
			continue
		}
		order = append(order, i)
		most = max(most, math.Abs(f), math.Abs(e))
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case r.Residual[a] < r.Residual[b]:
			return -1
		case r.Residual[a] > r.Residual[b]:
			return 1
		}
		return 0
	})
	p := residualPoints{power: thousands(most)}
	unit := math.Pow10(-p.power)
	for _, i := range order {
		p.fitted = append(p.fitted, r.Fitted[i]*unit)
		p.residual = append(p.residual, r.Residual[i]*unit)
	}
	return p
}

// thousands gives the power of ten, a multiple of 3, in which numbers up to most are written; 0 for ordinary ones.
func thousands(most float64) int {
	if most == 0 || most >= .01 && most < 1e5 {
		return 0
	}
	return min(300, max(-300, 3*int(math.Floor(math.Log10(most)/3))))
}

// normalQuantiles are the residuals beside a normal distribution.
type normalQuantiles struct {
	z, low, high  []float64 // quantile, and the band about the line at it
	middle, slope float64   // the line through the quartiles
	outside       int       // residuals outside of the band
}

// normal compares the residuals with a normal distribution: plotting positions (i − a)/(n + 1 − 2a) with a = 3/8 up to
// ten residuals and 1/2 above (Blom 1958, "Statistical Estimates and Transformed Beta-Variables"; R's ppoints), the line
// through the quartiles, and about it ±1.96 standard errors of an order statistic, slope/φ(z)·√(p(1−p)/n) (Kendall &
// Stuart, "The Advanced Theory of Statistics" vol. 1, section 10.10; from memory). That residuals of one fit hang together
// is ignored.
func (p residualPoints) normal() normalQuantiles {
	n := len(p.residual)
	a := .5
	if n <= 10 {
		a = .375
	}
	lower, upper := quantileOf(p.residual, .25), quantileOf(p.residual, .75)
	const quartile = .6744897501960817 // of the standard normal distribution
	q := normalQuantiles{middle: (lower + upper) / 2, slope: (upper - lower) / (2 * quartile)}
	for i, e := range p.residual {
		at := (float64(i+1) - a) / (float64(n) + 1 - 2*a)
		z := math.Sqrt2 * math.Erfinv(2*at-1)
		half := 1.959963984540054 * q.slope * math.Sqrt(2*math.Pi) * math.Exp(z*z/2) * math.Sqrt(at*(1-at)/float64(n))
		mid := q.middle + q.slope*z
		q.z, q.low, q.high = append(q.z, z), append(q.low, mid-half), append(q.high, mid+half)
		if e < mid-half || e > mid+half {
			q.outside++
		}
	}
	return q
}

// quantileOf interpolates between sorted values (Hyndman & Fan 1996, Am Stat 50(4), definition 7).
func quantileOf(sorted []float64, at float64) float64 {
	x := at * float64(len(sorted)-1)
	i := min(int(x), len(sorted)-2)
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}

func (p residualPoints) said(title string, q normalQuantiles) string {
	n := len(p.residual)
	sum, most, at := 0.0, 0.0, 0
	for i, e := range p.residual {
		sum += e * e
		if math.Abs(e) > most {
			most, at = math.Abs(e), i
		}
	}
	unit := ""
	if p.power != 0 {
		unit = " times 10 to the power " + number(float64(p.power), 0)
	}
	return title + ": " + strconv.Itoa(n) + " rows, root mean square " + figures(math.Sqrt(sum/float64(n))) + unit + ", from " +
		figures(p.residual[0]) + " to " + figures(p.residual[n-1]) + "; the largest, " + figures(p.residual[at]) + ", at a fitted value of " +
		figures(p.fitted[at]) + ". " + strconv.Itoa(q.outside) + " of " + strconv.Itoa(n) + " lie outside of the band about the normal line."
}

// figures writes a number with about three significant digits.
func figures(v float64) string {
	if v == 0 {
		return "0"
	}
	return number(v, min(6, max(0, 2-int(math.Floor(math.Log10(math.Abs(v)))))))
}

// panel is one of the two plots: its place in the scene.
type panel struct {
	s             *Scene
	left, w, h    float64
	powerOfTheTen int
}

// axes draws heading, ticks and names, and gives the scales.
func (p panel) axes(heading, below string, xs, ys extent) (x, y scale) {
	const head, foot = 30, 44
	each := step(ys.hi-ys.lo, 5)
	d := decimals(each)
	air := max((ys.hi-ys.lo)*.04, math.Abs(ys.hi)*1e-9, 1e-12)
	y = scale{ys.lo - air, ys.hi + air, p.h - foot, head}
	marks := ticks(y.d0, y.d1, each)
	wide := 0.0
	for _, v := range marks {
		wide = max(wide, textWidth(number(v, d), tick))
	}
	from := p.left + min(wide+8, p.w/3)
	air = max((xs.hi-xs.lo)*.04, math.Abs(xs.hi)*1e-9, 1e-12)
	x = scale{xs.lo - air, xs.hi + air, from, p.left + p.w - 6}
	p.s.text(from, 16, fitted(heading, wordBold, p.left+p.w-from), wordBold, Start)
	for _, v := range marks {
		p.s.line(x.r0, y.at(v), x.r1, y.at(v), grid)
		p.s.text(x.r0-6, y.at(v)+4.5, number(v, d), tick, End)
	}
	p.s.line(x.r0, y.r0, x.r1, y.r0, axis)
	each = step(xs.hi-xs.lo, max(2, int(p.w/90)))
	d = decimals(each)
	for _, v := range ticks(x.d0, x.d1, each) {
		p.s.line(x.at(v), y.r0, x.at(v), y.r0+4, axis)
		p.s.text(x.at(v), y.r0+18, number(v, d), tick, Middle)
	}
	p.s.text((x.r0+x.r1)/2, p.h-6, fitted(below, wordQuiet, p.w), wordQuiet, Middle)
	return x, y
}

// in names the unit of a panel that is not 1.
func (p panel) in(words string) string {
	if p.powerOfTheTen == 0 {
		return words
	}
	return words + ", in 10" + raised(p.powerOfTheTen)
}

// raised writes a whole number in superior figures.
func raised(n int) string {
	return strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹").
		Replace(strconv.Itoa(n))
}

// fitted draws residuals against fitted values.
func (p panel) fitted(r residualPoints) {
	var xs, ys extent
	xs.take(r.fitted...)
	ys.take(r.residual...)
	ys.take(0)
	x, y := p.axes(p.in("Residual against fitted value"), p.in("fitted value"), xs, ys)
	p.s.line(x.r0, y.at(0), x.r1, y.at(0), wantLine)
	p.dots(r.fitted, r.residual, x, y)
	if xs.hi > xs.lo {
		p.s.polyline(runs(r, x, y), model)
	}
}

// runs gives the mean residual over runs of rows of growing fitted value, where there are enough rows to say something: at
// least 10 a run, at most 15 runs. Common practice, no source.
func runs(r residualPoints, x, y scale) []Point {
	n := len(r.fitted)
	k := min(15, n/10)
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case r.fitted[a] < r.fitted[b]:
			return -1
		case r.fitted[a] > r.fitted[b]:
			return 1
		}
		return a - b
	})
	var out []Point
	for j := range k {
		run := order[j*n/k : (j+1)*n/k]
		sx, sy := 0.0, 0.0
		for _, i := range run {
			sx += r.fitted[i]
			sy += r.residual[i]
		}
		m := float64(len(run))
		out = append(out, Point{x.at(sx / m), y.at(sy / m)})
	}
	return out
}

// normal draws residuals against normal quantiles.
func (p panel) normal(r residualPoints, q normalQuantiles) {
	var xs, ys extent
	xs.take(q.z...)
	ys.take(r.residual...)
	x, y := p.axes(p.in("Residual against normal quantile"), "quantile of a normal distribution", xs, ys)
	n := len(q.z)
	var band []Point
	every := max(1, n/60)
	for i := 0; i < n; i += every {
		band = append(band, Point{x.at(q.z[i]), y.at(q.high[i])})
	}
	band = append(band, Point{x.at(q.z[n-1]), y.at(q.high[n-1])})
	for i := n - 1; i >= 0; i -= every {
		band = append(band, Point{x.at(q.z[i]), y.at(q.low[i])})
	}
	p.s.polygon(append(band, Point{x.at(q.z[0]), y.at(q.low[0])}), fitBand)
	p.straight(q, x, y)
	p.dots(q.z, r.residual, x, y)
}

// straight draws the line through the quartiles as far as it lies in the plot.
func (p panel) straight(q normalQuantiles, x, y scale) {
	z0, z1 := x.d0, x.d1
	if q.slope > 0 {
		z0 = max(z0, (y.d0-q.middle)/q.slope)
		z1 = min(z1, (y.d1-q.middle)/q.slope)
	}
	p.s.line(x.at(z0), y.at(q.middle+q.slope*z0), x.at(z1), y.at(q.middle+q.slope*z1), model)
}

// crowd is the number of dots above which one dot stands for all that would cover it.
const crowd = 2000

// dots draws the points, of a crowd one in each square of 2 pixels.
func (p panel) dots(xs, ys []float64, x, y scale) {
	g := Group{Name: "dots"}
	taken := map[[2]int]bool{}
	size := 2.6
	if len(xs) > 400 {
		size = 1.8
	}
	for i := range xs {
		cx, cy := x.at(xs[i]), y.at(ys[i])
		if len(xs) > crowd {
			cell := [2]int{int(cx / 2), int(cy / 2)}
			if taken[cell] {
				continue
			}
			taken[cell] = true
		}
		g.Parts = append(g.Parts, Circle{Style: dot, X: cx, Y: cy, R: size})
	}
	p.s.add(g)
}

// Table gives the rows by size of their residual.
func (r Residuals) Table() Table {
	out := newTable(strings.TrimSpace("Residuals of "+r.Response), numberColumn("Fitted value", ""), numberColumn("Residual", ""), numberColumn("Normal quantile", "standard deviations"))
	p := r.points()
	if len(p.residual) < 3 {
		return *out
	}
	q, unit := p.normal(), math.Pow10(p.power)
	for i, e := range p.residual {
		out.row(cellOf(strconv.FormatFloat(p.fitted[i]*unit, 'g', 6, 64)), cellOf(strconv.FormatFloat(e*unit, 'g', 6, 64)), numberIn(q.z[i], 3))
	}
	return *out
}
