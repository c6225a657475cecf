package mixed

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// uncertainty is how well the variance parameters are known: the covariance of those not held at zero, and how the covariance of the coefficients
// moves with each.
type uncertainty struct {
	parameters [][]float64   // covariance of (free parameters, σ): twice the inverse of the second derivatives of −2 log likelihood
	slopes     [][][]float64 // of Cov β (p × p) with respect to each
}

// uncertainty takes second derivatives by central differences of the analytic gradient, and the slopes of Cov β in the same steps.
// The parameters are (θ, σ) as they stand in the likelihood before σ is profiled out.
func (f *Fitted) uncertainty() (*uncertainty, error) {
	e := f.equations
	defer func() { e.evaluate(f.at); e.settle() }()
	e.evaluate(f.at)
	sigma, variance, penalty, nu := e.sigma(), e.variance(), e.work.penalty, e.freedom()
	centre := e.coefficientCovariance()
	var index []int
	for i, free := range f.free {
		if free {
			index = append(index, i)
		}
	}
	n := len(index)
	profiled := e.known == nil
	if profiled {
		n++
	}
	h := make([][]float64, n)
	for i := range h {
		h[i] = make([]float64, n)
	}
	u := &uncertainty{}
	for a, i := range index {
		step := 1e-4 * max(0.1, math.Abs(f.at[i]))
		var log, pen [2][]float64
		var cov [2][][]float64
		for side := range 2 {
			at := slices.Clone(f.at)
			at[i] += step * float64(1-2*side)
			if math.IsInf(e.evaluate(at), 0) {
				return nil, errors.New("degrees of freedom: the criterion cannot be evaluated around the estimates")
			}
			log[side], pen[side] = e.slope()
			cov[side] = e.coefficientCovariance()
		}
		by := 1.0
		if profiled {
			by = 1 / (sigma * sigma)
			h[a][n-1] = -(middle(pen, i) * 2 / (sigma * sigma * sigma))
			h[n-1][a] = h[a][n-1]
		}
		for b, j := range index {
			h[a][b] = (log[0][j] - log[1][j] + by*(pen[0][j]-pen[1][j])) / (2 * step)
		}
		u.slopes = append(u.slopes, between(cov, variance/(2*step)))
	}
	if profiled {
		h[n-1][n-1] = 6*penalty/math.Pow(sigma, 4) - 2*nu/(sigma*sigma)
		u.slopes = append(u.slopes, between([2][][]float64{centre, nil}, 2*sigma))
	}
	for i := range h {
		for j := range i {
			v := (h[i][j] + h[j][i]) / 2
			h[i][j], h[j][i] = v, v
		}
	}
	inverse, ok := invertSymmetric(h)
	if !ok {
		return nil, errors.New("degrees of freedom: the criterion is flat in some direction, so the variances have no standard errors; leave a random term out")
	}
	for i := range inverse {
		for j := range inverse {
			inverse[i][j] *= 2
		}
	}
	u.parameters = inverse
	unit := e.unit * e.unit
	for i, s := range u.slopes {
		for a := range s {
			for b := range s[a] {
				s[a][b] *= unit
			}
		}
		u.slopes[i] = e.fixed.covariance(s)
	}
	return u, nil
}

// middle is halfway between the two sides.
func middle(sides [2][]float64, i int) float64 { return (sides[0][i] + sides[1][i]) / 2 }

// between is (first − second)·by; a missing second is zero.
func between(sides [2][][]float64, by float64) [][]float64 {
	out := make([][]float64, len(sides[0]))
	for i := range out {
		out[i] = make([]float64, len(sides[0]))
		for j := range out[i] {
			v := sides[0][i][j]
			if sides[1] != nil {
				v -= sides[1][i][j]
			}
			out[i][j] = v * by
		}
	}
	return out
}

// invertSymmetric inverts a positive definite matrix.
func invertSymmetric(h [][]float64) ([][]float64, bool) {
	n := len(h)
	l := make([][]float64, n)
	for i := range h {
		l[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			v := h[i][j]
			for a := range j {
				v -= l[i][a] * l[j][a]
			}
			if i == j {
				if !(v > 1e-13*math.Abs(h[i][i])) {
					return nil, false
				}
				l[i][i] = math.Sqrt(v)
			} else {
				l[i][j] = v / l[j][j]
			}
		}
	}
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	for c := range n {
		y := make([]float64, n)
		for i := c; i < n; i++ {
			v := 0.0
			if i == c {
				v = 1
			}
			for a := c; a < i; a++ {
				v -= l[i][a] * y[a]
			}
			y[i] = v / l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			v := y[i]
			for a := i + 1; a < n; a++ {
				v -= l[a][i] * out[a][c]
			}
			out[i][c] = v / l[i][i]
		}
	}
	return out, true
}

// Satterthwaite is the degrees of freedom of each coefficient: 2v²/(g'Ag), v its variance, g the slopes of v in the variance parameters, A their
// covariance from the observed information (Satterthwaite 1946, Biometrics Bull 2:110–114; Giesbrecht & Burns 1985, Biometrics 41:477–486).
// Variances that come out as zero are taken as known to be zero: at a boundary the degrees can be far above those of
// Kenward and Roger.
func (f *Fitted) Satterthwaite() ([]float64, error) {
	out := make([]float64, f.P)
	for i := range out {
		l := make([]float64, f.P)
		l[i] = 1
		df, err := f.satterthwaite(l)
		if err != nil {
			return nil, err
		}
		out[i] = df
	}
	return out, nil
}

func (f *Fitted) satterthwaite(l []float64) (float64, error) {
	if len(l) != f.P {
		return 0, fmt.Errorf("degrees of freedom: a contrast of %d weights for %d coefficients", len(l), f.P)
	}
	if len(f.at) == 0 {
		return float64(f.N - f.P), nil
	}
	if f.spread == nil {
		u, err := f.uncertainty()
		if err != nil {
			return 0, err
		}
		f.spread = u
	}
	v := quadratic(f.Cov, l, l)
	g := make([]float64, len(f.spread.slopes)) // of log v
	for i, s := range f.spread.slopes {
		g[i] = quadratic(s, l, l) / v
	}
	return 2 / quadratic(f.spread.parameters, g, g), nil
}

// quadratic is a'M b.
func quadratic(m [][]float64, a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		if v != 0 {
			s += v * product(m[i], b)
		}
	}
	return s
}
