package mixed

import (
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

func (e Estimate) settle() Estimate {
	e.T = e.Value / e.SE
	if e.SE == 0 || math.IsNaN(e.DF) || e.DF <= 0 {
		e.P, e.Lower95, e.Upper95 = math.NaN(), e.Value, e.Value
		e.PositiveChance = math.NaN()
		return e
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: e.DF}
	e.P = 2 * t.CDF(-math.Abs(e.T))
	e.PositiveChance = t.CDF(e.T)
	half := t.Quantile(0.975) * e.SE
	e.Lower95, e.Upper95 = e.Value-half, e.Value+half
	return e
}
