package balance

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Each part of the covariance against its definition, summed up in small steps.
func TestCovarianceOfGrowth(t *testing.T) {
	years := []float64{0.5, 1, 2.1, 3.6}
	end := years[len(years)-1]
	const step = 1e-3
	steps := func(to float64, f func(s float64) float64) float64 {
		n := math.Round(to / step)
		var sum float64
		for i := range int(n) {
			sum += f((float64(i)+0.5)*step) * step
		}
		return sum
	}
	for _, c := range []struct {
		name string
		u    Uncertainty
		want func(a, b float64) float64
	}{
		{"years that differ: independent increments", Uncertainty{Growth: 0.3}, func(a, b float64) float64 { return 0.09 * math.Min(a, b) }},
		{"a rate that wanders: Cov(B(s) − B(T), B(u) − B(T)) = d²·(T − max(s, u))", Uncertainty{Drift: 0.3}, func(a, b float64) float64 {
			return 0.09 * steps(a, func(s float64) float64 {
				return steps(b, func(u float64) float64 { return end - math.Max(s, u) })
			})
		}},
		{"a wave of a year: p·cos 2πt + q·sin 2πt less its value at the first round", Uncertainty{Season: 0.3}, func(a, b float64) float64 {
			w := 2 * math.Pi
			return 0.09 * ((math.Cos(w*a)-1)*(math.Cos(w*b)-1) + math.Sin(w*a)*math.Sin(w*b))
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := c.u.walk(years)
			for i, a := range years {
				for j, b := range years {
					if want := c.want(a, b); math.Abs(got.At(i, j)-want) > 1e-6 {
						t.Errorf("between years %g and %g: %.8f, want %.8f", a, b, got.At(i, j), want)
					}
				}
			}
		})
	}
}

// A line through two rounds, and through many, worked out without matrices.
func TestLine(t *testing.T) {
	one := fit([]float64{2}, []float64{0.9}, mat.NewSymDense(1, nil), Uncertainty{Growth: 0.1})
	if math.Abs(one.slope-0.45) > 1e-15 || one.scatter != 1 || math.Abs(one.growth-0.1/math.Sqrt2) > 1e-15 {
		t.Errorf("two rounds: %+v", one)
	}
	// Independent years: increments of equal weight, so that only the last round counts.
	many := fit([]float64{1, 2, 3}, []float64{0.2, 0.9, 1.5}, mat.NewSymDense(3, nil), Uncertainty{Growth: 0.1})
	squares := math.Pow(0.2-0.5, 2) + math.Pow(0.7-0.5, 2) + math.Pow(0.6-0.5, 2)
	scatter := math.Sqrt(squares / 0.01 / 2)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"slope", many.slope, 0.5},
		{"scatter", many.scatter, scatter},
		{"growth", many.growth, 0.1 / math.Sqrt(3)},
		{"excess", many.excess, 0.1 / math.Sqrt(3) * math.Sqrt(scatter*scatter-1)},
		{"less decay", many.at([]float64{0.2, 0.9, 1.5, 0.3}), 0.2},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s %.15g, want %.15g", c.name, c.got, c.want)
		}
	}
	// A rate that wanders gives the later years more weight.
	late := fit([]float64{1, 2, 3}, []float64{0.2, 0.9, 1.5}, mat.NewSymDense(3, nil), Uncertainty{Growth: 0.1, Drift: 1})
	if late.slope <= many.slope {
		t.Errorf("with drift the slope is %.3f, want more than the plain average of %.3f", late.slope, many.slope)
	}
}
