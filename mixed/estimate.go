package mixed

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// DF is a method for the degrees of freedom of a coefficient.
type DF int

const (
	Satterthwaite DF = iota // a variance of zero is taken as known
	KenwardRoger            // a variance of zero stays in; standard errors are adjusted
)

func (m DF) String() string {
	if m == KenwardRoger {
		return "Kenward–Roger"
	}
	return "Satterthwaite"
}

// Estimate is a coefficient, or a sum of them, with its uncertainty.
type Estimate struct {
	Name           string
	Value, SE, DF  float64
	T, P           float64 // of the hypothesis that it is zero, two-sided
	Lower95        float64
	Upper95        float64
	PositiveChance float64 // probability of the t distribution above zero
}

// Contrast is Σ l·β over the coefficients estimated, in the order of Names.
func (f *Fitted) Contrast(l []float64, method DF) (Estimate, error) {
	if len(l) != f.P {
		return Estimate{}, fmt.Errorf("contrast: %d weights for %d coefficients", len(l), f.P)
	}
	if f.P == 0 {
		return Estimate{}, errors.New("contrast: the model has no coefficients")
	}
	e := Estimate{Value: product(l, f.Beta)}
	var err error
	switch method {
	case KenwardRoger:
		e.DF, e.SE, err = f.kenwardRoger(l)
	default:
		e.DF, err = f.satterthwaite(l)
		e.SE = math.Sqrt(quadratic(f.Cov, l, l))
	}
	if err != nil {
		return Estimate{}, err
	}
	return e.settle(), nil
}

// Coefficients are the estimates of every coefficient.
func (f *Fitted) Coefficients(method DF) ([]Estimate, error) {
	var out []Estimate
	for i, name := range f.Names {
		l := make([]float64, f.P)
		l[i] = 1
		e, err := f.Contrast(l, method)
		if err != nil {
			return nil, err
		}
		e.Name = name
		out = append(out, e)
	}
	return out, nil
}

// settle works out t, p and the interval. Degrees of freedom without end are the normal distribution; where there are none, nothing is said.
func (e Estimate) settle() Estimate {
	e.T = e.Value / e.SE
	switch {
	case !(e.DF > 0) || math.IsNaN(e.SE):
		e.P, e.Lower95, e.Upper95, e.PositiveChance = math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return e
	case e.SE == 0:
		e.P, e.Lower95, e.Upper95, e.PositiveChance = math.NaN(), e.Value, e.Value, math.NaN()
		return e
	}
	var cdf, quantile func(float64) float64
	if n := (distuv.Normal{Mu: 0, Sigma: 1}); e.DF > 1e8 { // beyond it t and normal agree to 1e-8, and the incomplete beta loses its footing
		cdf, quantile = n.CDF, n.Quantile
	} else {
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: e.DF}
		cdf, quantile = t.CDF, t.Quantile
	}
	e.P = min(1, 2*cdf(-math.Abs(e.T)))
	e.PositiveChance = cdf(e.T)
	half := quantile(0.975) * e.SE
	e.Lower95, e.Upper95 = e.Value-half, e.Value+half
	return e
}
