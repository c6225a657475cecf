package mixed

import (
	"fmt"
	"math"
)

// basis is the change of a term's columns that makes them orthonormal over the rows: Z = Z̃·L with L a lower triangle and
// Z̃'WZ̃ = n·I. The covariance of a term is free, so the model is the same; its relative covariance factor goes over by
// Λ = L⁻¹·Λ̃, again a lower triangle with zeros on the diagonal in the same places. A slope on calendar years is then no
// harder than one on years since the first round.
type basis struct {
	k       int
	inverse [][]float64 // L⁻¹, k × k lower triangle: row of Z̃ = row of Z · L⁻¹
}

// newBasis orthonormalises the k columns of a term, last first. A column that is zero, or a combination of those after it, is an error.
func newBasis(t Term, weights []float64, n int) (basis, error) {
	k := len(t.Names)
	b := basis{k: k, inverse: make([][]float64, k)}
	for i := range b.inverse {
		b.inverse[i] = make([]float64, k)
	}
	if k == 1 && t.Z[0] == nil && weights == nil {
		b.inverse[0][0] = 1
		return b, nil
	}
	gram := square(k)
	ones := t.ones(n)
	for i := range k {
		for j := range k {
			gram[i][j] = inner(t.column(i, ones), t.column(j, ones), weights)
		}
	}
	l, spent := reversed(gram, float64(n))
	if spent >= 0 {
		if gram[spent][spent].hi == 0 {
			return b, fmt.Errorf("fit: %s of %s is zero in every row: leave it out of the random term", t.Names[spent], t.Group)
		}
		return b, fmt.Errorf("fit: %s of %s says the same as the other effects of its term: leave it out", t.Names[spent], t.Group)
	}
	for j := range k { // forward substitution: L·x = e_j
		for i := j; i < k; i++ {
			v := 0.0
			if i == j {
				v = 1
			}
			for a := j; a < i; a++ {
				v -= l[i][a] * b.inverse[a][j]
			}
			b.inverse[i][j] = v / l[i][i]
		}
	}
	return b, nil
}

// alike is the share of a column's squared length left outside the other columns of its term under which it says the same as they do.
const alike = 1e-13

// reversed is the lower triangle L with L'·L = G/n: the Cholesky factor taken from the last column to the first. Spent is a column that has nothing of
// its own, −1 when every one has.
func reversed(g [][]double, n float64) (l [][]float64, spent int) {
	k := len(g)
	l = make([][]float64, k)
	for i := range l {
		l[i] = make([]float64, k)
	}
	for j := k - 1; j >= 0; j-- {
		// L'L = G: entry (i, j), i ≤ j, is Σ_a L[a][i]·L[a][j] over a ≥ j.
		s := g[j][j]
		for a := j + 1; a < k; a++ {
			s = s.minus(double{n * l[a][j] * l[a][j], 0})
		}
		if s.hi <= alike*g[j][j].hi {
			return l, j
		}
		l[j][j] = math.Sqrt(s.hi / n)
		for i := range j {
			v := g[i][j]
			for a := j + 1; a < k; a++ {
				v = v.minus(double{n * l[a][i] * l[a][j], 0})
			}
			l[j][i] = v.hi / n / l[j][j]
		}
	}
	return l, -1
}

func (t Term) ones(n int) []float64 {
	for _, z := range t.Z {
		if z == nil {
			v := make([]float64, n)
			for i := range v {
				v[i] = 1
			}
			return v
		}
	}
	return nil
}

func (t Term) column(j int, ones []float64) []float64 {
	if t.Z[j] == nil {
		return ones
	}
	return t.Z[j]
}

// row writes row i of Z̃ of a term, times root.
func (b basis) row(t *Term, i int, root float64, into []float64) {
	if b.k == 1 {
		v := root * b.inverse[0][0]
		if z := t.Z[0]; z != nil {
			v *= z[i]
		}
		into[0] = v
		return
	}
	for j := range b.k {
		s := 0.0
		for a := j; a < b.k; a++ {
			v := b.inverse[a][j]
			if z := t.Z[a]; z != nil {
				v *= z[i]
			}
			s += v
		}
		into[j] = root * s
	}
}

// lower takes a factor from the orthonormal columns to the term's own: Λ = L⁻¹·Λ̃ (k × k, row-major).
func (b basis) lower(f []float64) []float64 {
	k := b.k
	out := make([]float64, k*k)
	for i := range k {
		for j := 0; j <= i; j++ {
			for a := j; a <= i; a++ {
				out[i*k+j] += b.inverse[i][a] * f[a*k+j]
			}
		}
	}
	return out
}
