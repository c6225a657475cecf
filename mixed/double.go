package mixed

import "math"

// double is an unevaluated sum of two float64, about 32 significant digits. The fixed effects are orthogonalised in it,
// so that a badly conditioned design (a polynomial of high degree, calendar years) costs no digits of the answer.
// Error-free sums and products: Dekker (1971) Numer Math 18:224–242; Knuth, The Art of Computer Programming 2, §4.2.2.
type double struct{ hi, lo float64 }

// twoSum returns a+b and its rounding error, exactly.
func twoSum(a, b float64) double {
	s := a + b
	t := s - a
	return double{s, (a - (s - t)) + (b - t)}
}

// quickSum is twoSum where |a| ≥ |b| is known.
func quickSum(a, b float64) double {
	s := a + b
	return double{s, b - (s - a)}
}

// twoProduct returns a·b and its rounding error, exactly.
func twoProduct(a, b float64) double {
	p := a * b
	return double{p, math.FMA(a, b, -p)}
}

func (a double) plus(b double) double {
	s, t := twoSum(a.hi, b.hi), twoSum(a.lo, b.lo)
	s = quickSum(s.hi, s.lo+t.hi)
	return quickSum(s.hi, s.lo+t.lo)
}

func (a double) minus(b double) double { return a.plus(double{-b.hi, -b.lo}) }

func (a double) times(b double) double {
	p := twoProduct(a.hi, b.hi)
	return quickSum(p.hi, p.lo+(a.hi*b.lo+a.lo*b.hi))
}

func (a double) over(b double) double {
	q1 := a.hi / b.hi
	r := a.minus(b.times(double{q1, 0}))
	q2 := r.hi / b.hi
	r = r.minus(b.times(double{q2, 0}))
	return quickSum(q1, q2).plus(double{r.hi / b.hi, 0})
}

func (a double) root() double {
	if a.hi <= 0 {
		return double{}
	}
	x := math.Sqrt(a.hi)
	r := a.minus(twoProduct(x, x))
	return quickSum(x, r.hi/(2*x))
}

func (a double) float() float64 { return a.hi + a.lo }

// dot is Σ a·b of two columns.
func dot(a, b []double) double {
	var s double
	for i := range a {
		s = s.plus(a[i].times(b[i]))
	}
	return s
}
