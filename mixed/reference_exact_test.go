package mixed_test

import (
	"fmt"
	"math"
	"math/big"
)

// precision of the exact sums, in bits: cubes of the worst condition number met (10¹⁵) still leave a hundred digits.
const bits = 1024

func exact(v float64) *big.Float       { return new(big.Float).SetPrec(bits).SetFloat64(v) }
func plus(a, b *big.Float) *big.Float  { return new(big.Float).SetPrec(bits).Add(a, b) }
func minus(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Sub(a, b) }
func times(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Mul(a, b) }
func over(a, b *big.Float) *big.Float  { return new(big.Float).SetPrec(bits).Quo(a, b) }
func root(a *big.Float) *big.Float     { return new(big.Float).SetPrec(bits).Sqrt(a) }

// exactFit is what a regression of these doubles on these doubles really is, rounding nothing: the best that any program
// can say which is handed the data in double precision.
type exactFit struct {
	beta, se               []*big.Float
	residualSS, residualSD *big.Float
	totalSS                *big.Float // about the mean, or about zero without an intercept
	betweenSS              *big.Float
}

// exactLeastSquares solves the normal equations X'X·β = X'y by Gauss–Jordan elimination in 1,024 bits.
func exactLeastSquares(columns [][]float64, y []float64, intercept bool) (exactFit, error) {
	p, n := len(columns), len(y)
	a := make([][]*big.Float, p) // X'X | X'y | I
	for i := range a {
		a[i] = make([]*big.Float, 2*p+1)
		for j := range p {
			a[i][j] = exactDot(columns[i], columns[j])
			a[i][p+1+j] = exact(0)
		}
		a[i][p] = exactDot(columns[i], y)
		a[i][p+1+i] = exact(1)
	}
	for i := range p {
		if a[i][i].Sign() == 0 {
			return exactFit{}, fmt.Errorf("column %d depends on those before it", i+1)
		}
		pivot := a[i][i]
		for j := range a[i] {
			a[i][j] = over(a[i][j], pivot)
		}
		for r := range p {
			if r == i {
				continue
			}
			factor := a[r][i]
			for j := range a[r] {
				a[r][j] = minus(a[r][j], times(factor, a[i][j]))
			}
		}
	}
	out := exactFit{residualSS: exact(0), totalSS: exact(0)}
	for i := range p {
		out.beta = append(out.beta, a[i][p])
	}
	mean := exact(0)
	if intercept {
		for _, v := range y {
			mean = plus(mean, exact(v))
		}
		mean = over(mean, exact(float64(n)))
	}
	for i, v := range y {
		r := exact(v)
		for j := range p {
			if x := columns[j][i]; x != 0 {
				r = minus(r, times(out.beta[j], exact(x)))
			}
		}
		out.residualSS = plus(out.residualSS, times(r, r))
		c := minus(exact(v), mean)
		out.totalSS = plus(out.totalSS, times(c, c))
	}
	out.betweenSS = minus(out.totalSS, out.residualSS)
	variance := over(out.residualSS, exact(float64(n-p)))
	out.residualSD = root(variance)
	for i := range p {
		out.se = append(out.se, root(times(variance, a[i][p+1+i])))
	}
	return out, nil
}

func exactDot(a, b []float64) *big.Float {
	sum, product := exact(0), exact(0)
	for i, v := range a {
		if v != 0 && b[i] != 0 {
			sum.Add(sum, product.Mul(exact(v), exact(b[i])))
		}
	}
	return sum
}

// digits is the log relative error −log₁₀(|got − want|/|want|): the number of correct digits, at most 17 (Altman, Gill &
// McDonald 2004, Numerical Issues in Statistical Computing for the Social Scientist, §3.2). Where the true value is
// zero, or nothing but the rounding of 1,024 bits, the error is held against unit.
func digits(got, want *big.Float, unit float64) float64 {
	off := new(big.Float).SetPrec(bits).Abs(minus(got, want))
	if off.Sign() == 0 {
		return 17
	}
	by := new(big.Float).SetPrec(bits).Abs(want)
	if by.Cmp(exact(1e-100)) < 0 {
		by = exact(unit)
	}
	ratio, _ := over(off, by).Float64()
	return max(min(-math.Log10(ratio), 17), 0)
}
