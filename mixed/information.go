package mixed

import "math"

// curvature approximates the second derivatives of the criterion at the last factor by the average of observed and expected information
// (Gilmour, Thompson & Cullis 1995, Biometrics 51:1440–1450), which needs one forward solve a parameter:
//
//	H_ij ≈ q_i'P q_j/σ² − (d_i pwrss)(d_j pwrss)/(ν σ⁴),   q_i = V_i·Py,
//
// and adds the part exact in θ, 2·(Σ Z̃'PZ̃ − Z̃'Py(Z̃'Py)'/σ²) for parameters of the same column of a factor.
// gradient is that of the criterion, penalty that of pwrss.
func (e *equations) curvature(gradient, penalty []float64) [][]float64 {
	n := len(e.names)
	h := make([][]float64, n)
	for i := range h {
		h[i] = make([]float64, n)
	}
	waves := make([]wave, n)
	for i, q := range e.names {
		if q.term < 0 {
			waves[i] = e.residualWave()
		} else {
			waves[i] = e.wave(q)
		}
	}
	by := e.variance()
	for i := range n {
		for j := 0; j <= i; j++ {
			v := e.overlap(&waves[i], &waves[j]) - product(waves[i].solved, waves[j].solved) - product(waves[i].x, waves[j].x)
			v /= by
			if e.known == nil {
				v -= penalty[i] * penalty[j] / (e.freedom() * by * by)
			}
			h[i][j], h[j][i] = v, v
		}
	}
	e.addSameColumn(h, gradient)
	return h
}

// wave is a working vector q = V_i·Py: as Z̃·g for a factor's parameter, row by row for σ; solved and x are L⁻¹ of its products.
type wave struct {
	g, h   []float64 // over the random effects: q = Z̃g, h = Z̃'Dq
	rows   []float64 // D^½·q row by row, for σ
	solved []float64
	x      []float64
}

func (e *equations) wave(q parameter) wave {
	s := e.s
	k := s.sizes[q.term]
	w := wave{g: make([]float64, s.effects), h: make([]float64, s.effects), x: make([]float64, s.p)}
	l := e.work.lambda[q.term]
	first, last := s.span(q.term)
	for a := first; a < last; a += k {
		w.g[a+q.row] += e.u[a+q.col]
		v := e.py[a+q.row]
		for i := q.col; i < k; i++ {
			w.g[a+i] += l[i*k+q.col] * v
		}
	}
	e.cross.times(w.g, w.h, w.x)
	w.finish(e)
	return w
}

func (w *wave) finish(e *equations) {
	w.solved = e.s.multiply(e.work.lambda, w.h, true)
	if e.ml {
		clear(w.x)
		e.work.forward(w.solved, nil)
		return
	}
	e.work.forward(w.solved, w.x)
}

// residualWave is q = (2σ/w)·Py.
func (e *equations) residualWave() wave {
	s := e.s
	w := wave{h: make([]float64, s.effects), x: make([]float64, s.p), rows: make([]float64, len(e.cross.y))}
	sigma := e.last[len(e.last)-1]
	rows := e.rows()
	z := make([]float64, 8)
	for i := range e.cross.y {
		rows.at(i)
		d := e.scale[i]
		v := 2 * sigma * d * rows.residual() // √w·q
		w.rows[i] = math.Sqrt(d) * v
		v *= d
		for j, q := range rows.x {
			w.x[j] += v * q
		}
		root := 1.0
		if e.fixed.root != nil {
			root = e.fixed.root[i]
		}
		for t, k := range s.sizes {
			if k > len(z) {
				z = make([]float64, k)
			}
			e.bases[t].row(&e.terms[t], i, root, z[:k])
			at := s.effect[rows.node[t]]
			for j := range k {
				w.h[int(at)+j] += v * z[j]
			}
		}
	}
	w.finish(e)
	return w
}

// overlap is q_i'D q_j.
func (e *equations) overlap(a, b *wave) float64 {
	switch {
	case a.g != nil:
		return product(a.g, b.h)
	case b.g != nil:
		return product(b.g, a.h)
	default:
		return product(a.rows, b.rows)
	}
}

// addSameColumn adds 2·D[r][s] for parameters (r, c) and (s, c), where the gradient's matrix is 2·D·Λ. It leaves out a term whose D
// is not positive semidefinite: there the factor is still too small, and the added part would send a step too far. At the
// minimum D is zero for every term off the boundary, and positive on it.
func (e *equations) addSameColumn(h [][]float64, gradient []float64) {
	for t, k := range e.s.sizes {
		l := e.work.lambda[t]
		g := make([]float64, k*k)
		for i, q := range e.names {
			if q.term == t {
				g[q.row*k+q.col] = gradient[i]
			}
		}
		d, ok := solveRight(g, l, k)
		if !ok || !semidefinite(d, k) {
			continue
		}
		for i, a := range e.names {
			for j, b := range e.names {
				if a.term == t && b.term == t && a.col == b.col {
					h[i][j] += d[max(a.row, b.row)*k+min(a.row, b.row)]
				}
			}
		}
	}
}

// solveRight is the lower triangle of D with D·Λ = G known on the lower triangle; D symmetric.
func solveRight(g, l []float64, k int) ([]float64, bool) {
	d := make([]float64, k*k)
	for c := k - 1; c >= 0; c-- {
		if math.Abs(l[c*k+c]) < 1e-12 {
			return nil, false
		}
		for r := k - 1; r >= c; r-- {
			v := g[r*k+c]
			for a := c + 1; a < k; a++ {
				v -= d[max(r, a)*k+min(r, a)] * l[a*k+c]
			}
			d[r*k+c] = v / l[c*k+c]
		}
	}
	return d, true
}

// semidefinite reports whether the symmetric matrix given by its lower triangle has no negative direction.
func semidefinite(d []float64, k int) bool {
	l := make([]float64, k*k)
	scale := 0.0
	for i := range k {
		scale = max(scale, math.Abs(d[i*k+i]))
	}
	for i := range k {
		for j := range i + 1 {
			v := d[i*k+j] - product(l[i*k:][:j], l[j*k:][:j])
			switch {
			case i != j && l[j*k+j] > 0:
				l[i*k+j] = v / l[j*k+j]
			case i == j && v < -1e-9*scale:
				return false
			case i == j:
				l[i*k+i] = math.Sqrt(max(0, v))
			}
		}
	}
	return true
}
