package mixed

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// widestBlock is how many random effects may hang together for the dense matrices Kenward and Roger's method needs: about 200 MB and some
// seconds.
const widestBlock = 2500

// adjusted is what Kenward and Roger's method needs of a fit, in units of σ² where the factors are relative.
type adjusted struct {
	phi [][]float64   // Φ = (X'V⁻¹X)⁻¹ on Q
	p   [][][]float64 // P_i = −X'V⁻¹G_iV⁻¹X
	w   [][]float64   // W: covariance of the variance parameters from the expected information
	cov [][]float64   // Φ_A, the adjusted covariance, on Q
}

// KenwardRoger is the degrees of freedom and the adjusted standard error of each coefficient (Kenward & Roger 1997, Biometrics 53:983–997,
// in the form of Halekoh & Højsgaard 2014, J Stat Softw 59(9), §3). The covariance is linear in the variances and covariances of the
// random terms and the residual variance; one that comes out as zero stays in, so that the degrees at a boundary are
// those of a design that could have had it. For a single coefficient they are 2/A₂.
func (f *Fitted) KenwardRoger() (df, se []float64, err error) {
	df, se = make([]float64, f.P), make([]float64, f.P)
	for i := range df {
		l := make([]float64, f.P)
		l[i] = 1
		if df[i], se[i], err = f.kenwardRoger(l); err != nil {
			return nil, nil, err
		}
	}
	return df, se, nil
}

func (f *Fitted) kenwardRoger(l []float64) (df, se float64, err error) {
	if len(l) != f.P {
		return 0, 0, fmt.Errorf("degrees of freedom: a contrast of %d weights for %d coefficients", len(l), f.P)
	}
	if f.P == 0 {
		return 0, 0, errors.New("degrees of freedom: the model has no coefficients")
	}
	e := f.equations
	if len(f.at) == 0 {
		return float64(f.N - f.P), math.Sqrt(quadratic(f.Cov, l, l)), nil
	}
	if f.ML {
		return 0, 0, errors.New("degrees of freedom by Kenward and Roger: they hold for restricted maximum likelihood: fit without full maximum likelihood")
	}
	if f.adjust == nil {
		if f.adjust, err = e.adjusted(); err != nil {
			return 0, 0, err
		}
	}
	a := f.adjust
	q := make([]float64, f.P) // l on Q: R⁻ᵀl
	for j := range q {
		for i := 0; i <= j; i++ {
			q[j] += e.fixed.inverse[i][j] * l[i]
		}
	}
	phi := make([]float64, f.P)
	for i := range phi {
		phi[i] = product(a.phi[i], q)
	}
	v := product(q, phi)
	g := make([]float64, len(a.p))
	for i, p := range a.p {
		g[i] = quadratic(p, phi, phi) / v
	}
	by := e.variance() * e.unit * e.unit
	return 2 / quadratic(a.w, g, g), math.Sqrt(by * quadratic(a.cov, q, q)), nil
}

// adjusted sums the traces over the blocks and puts the method together.
func (e *equations) adjusted() (*adjusted, error) {
	p := e.s.p
	n := 1 // parameters: k(k+1)/2 of each term, and the residual variance
	for _, k := range e.s.sizes {
		n += k * (k + 1) / 2
	}
	sum := newTraces(n, p)
	e.residualTraces(sum, n-1)
	blocks := e.s.blocks
	if e.known != nil { // the rows are walked once
		if len(e.cross.y) > widestBlock {
			return nil, fmt.Errorf("degrees of freedom by Kenward and Roger: %d rows with known standard deviations, at most %d can be written out: use Satterthwaite's", len(e.cross.y), widestBlock)
		}
		blocks = [][2]int32{{0, int32(len(e.s.fronts))}}
	}
	for _, b := range blocks {
		block, err := e.dense(b)
		if err != nil {
			return nil, err
		}
		block.add(sum, n-1)
	}
	out := &adjusted{phi: e.coefficientCovariance(), p: sum.p}
	phi := matrix(out.phi)
	information := mat.NewSymDense(n, nil)
	products := make([]*mat.Dense, n) // Φ·P_i
	for i := range n {
		products[i] = new(mat.Dense)
		products[i].Mul(phi, matrix(sum.p[i]))
	}
	var scratch mat.Dense
	for i := range n {
		for j := range i + 1 {
			v := sum.trace[i][j]
			for a := range p {
				for b := range p {
					v -= 2 * out.phi[a][b] * sum.q[i][j][b][a]
				}
			}
			scratch.Mul(products[i], products[j])
			information.SetSym(i, j, v+scratch.Trace())
		}
	}
	out.w = pseudoInverse(information, 2)
	u := mat.NewDense(p, p, nil)
	for i := range n {
		for j := range n {
			q := sum.q[max(i, j)][min(i, j)]
			scratch.Mul(matrix(sum.p[i]), products[j])
			for a := range p {
				for b := range p {
					qab := q[a][b]
					if i < j {
						qab = q[b][a]
					}
					u.Set(a, b, u.At(a, b)+out.w[i][j]*(qab-scratch.At(a, b)))
				}
			}
		}
	}
	var half, whole mat.Dense
	half.Mul(phi, u)
	whole.Mul(&half, phi)
	out.cov = make([][]float64, p)
	for i := range p {
		out.cov[i] = make([]float64, p)
		for j := range p {
			out.cov[i][j] = out.phi[i][j] + whole.At(i, j) + whole.At(j, i)
		}
	}
	return out, nil
}

func matrix(m [][]float64) *mat.Dense {
	d := mat.NewDense(len(m), len(m), nil)
	for i, row := range m {
		d.SetRow(i, row)
	}
	return d
}

// pseudoInverse is by·M⁺; directions in which M is nought to rounding carry nothing.
func pseudoInverse(m *mat.SymDense, by float64) [][]float64 {
	n := m.SymmetricDim()
	scale := make([]float64, n)
	scaled := mat.NewSymDense(n, nil)
	for i := range n {
		scale[i] = 1
		if d := m.At(i, i); d > 0 {
			scale[i] = 1 / math.Sqrt(d)
		}
	}
	for i := range n {
		for j := range i + 1 {
			scaled.SetSym(i, j, m.At(i, j)*scale[i]*scale[j])
		}
	}
	var eigen mat.EigenSym
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	if !eigen.Factorize(scaled, true) {
		return out
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	for a, v := range eigen.Values(nil) {
		if v <= 1e-10 {
			continue
		}
		for i := range n {
			for j := range n {
				out[i][j] += by / v * vectors.At(i, a) * vectors.At(j, a) * scale[i] * scale[j]
			}
		}
	}
	return out
}

// traces are the sums over blocks of tr(V⁻¹G_iV⁻¹G_j), P_i and Q_ij = X'V⁻¹G_iV⁻¹G_jV⁻¹X, i ≥ j.
type traces struct {
	trace [][]float64
	p     [][][]float64
	q     [][][][]float64
}

func newTraces(n, p int) *traces {
	t := &traces{}
	for i := range n {
		t.trace = append(t.trace, make([]float64, i+1))
		t.p = append(t.p, plain(p))
		var row [][][]float64
		for range i + 1 {
			row = append(row, plain(p))
		}
		t.q = append(t.q, row)
	}
	return t
}

func plain(p int) [][]float64 {
	m := make([][]float64, p)
	for i := range m {
		m[i] = make([]float64, p)
	}
	return m
}
