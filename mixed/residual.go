package mixed

// residualSlope is the derivative of the two parts of the criterion with respect to σ where measurement variances are known:
// with v = σ²/w + s² and d = 1/v,
//
//	d log|V| … / dσ = Σ (2σ/w)·P_ii,  P_ii = d − d²·x̃'M⁻¹x̃,     d pwrss / dσ = −Σ (2σ/w)·(Py)_i²
//
// x̃ being the row's [Λ'z̃, q].
func (e *equations) residualSlope() (log, penalty float64) {
	sigma := e.last[len(e.last)-1]
	rows := e.rows()
	for i := range e.cross.y {
		rows.at(i)
		d := e.scale[i] // over w: d·(1/w) = 1/(σ² + w·s²)
		log += 2 * sigma * (d - d*d*rows.quadratic())
		r := d * rows.residual()
		penalty -= 2 * sigma * r * r
	}
	return log, penalty
}

// rowwise walks the rows of the design in the working columns, each times √w.
type rowwise struct {
	e    *equations
	x    []float64
	z    [][]float64 // of each term, Λ'z̃
	node []int32
	i    int
	with bool
}

func (e *equations) rows() *rowwise {
	r := &rowwise{e: e, x: make([]float64, e.s.p), node: make([]int32, len(e.terms)), z: make([][]float64, len(e.terms)), with: !e.ml}
	for t, k := range e.s.sizes {
		r.z[t] = make([]float64, k)
	}
	return r
}

func (r *rowwise) at(i int) {
	e := r.e
	r.i = i
	e.fixed.row(i, r.x)
	root := 1.0
	if e.fixed.root != nil {
		root = e.fixed.root[i]
	}
	for t := range e.terms {
		k := e.s.sizes[t]
		z := r.z[t]
		e.bases[t].row(&e.terms[t], i, root, z)
		l := e.work.lambda[t]
		for j := range k {
			v := 0.0
			for a := j; a < k; a++ {
				v += l[a*k+j] * z[a]
			}
			z[j] = v
		}
		r.node[t] = e.s.node[t] + e.terms[t].Level[i]
	}
}

// residual is √w·(y − Xβ − Zb) of the row, in working units.
func (r *rowwise) residual() float64 {
	e := r.e
	v := e.cross.y[r.i]
	for j, q := range r.x {
		v -= q * e.gamma[j]
	}
	for t, z := range r.z {
		u := e.u[e.s.effect[r.node[t]]:]
		for j, w := range z {
			v -= w * u[j]
		}
	}
	return v
}

// quadratic is x̃'M⁻¹x̃ of the row; for maximum likelihood the inverse is of the random block alone and the fixed part is left out.
func (r *rowwise) quadratic() float64 {
	e, s := r.e, r.e.s
	p := s.p
	sum := 0.0
	for t, u := range r.node {
		f := &s.fronts[s.front[u]]
		for j, v := range r.z[t] {
			if v == 0 {
				continue
			}
			row := e.inverse.entry[f.at+int(s.column[u]+int32(j))*int(f.width):][:f.width]
			inner := product(r.z[t], row[s.column[u]:])
			twice := 0.0
			for o, w := range r.node {
				if o != t && !s.before(w, u) {
					twice += product(r.z[o], row[s.place(s.front[u], w):])
				}
			}
			if r.with {
				twice += product(r.x, row[f.k+f.m:])
			}
			sum += v * (inner + 2*twice)
		}
	}
	if r.with {
		for i, v := range r.x {
			sum += v * product(r.x, e.inverse.xx[i*p:][:p])
		}
	}
	return sum
}
