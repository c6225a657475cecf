package mixed

// direction is a variance parameter of a term as a matrix over its effects: G_i = Σ over levels of the pairs (x, y) of effects.
type direction struct {
	term  int
	pairs [][2]int
}

// directions are the parameters of the terms in order: each term's variances and covariances, lower triangle by rows.
func (e *equations) directions() []direction {
	var out []direction
	for t, k := range e.s.sizes {
		for r := range k {
			for c := range r + 1 {
				d := direction{term: t, pairs: [][2]int{{r, c}}}
				if r != c {
					d.pairs = append(d.pairs, [2]int{c, r})
				}
				out = append(out, d)
			}
		}
	}
	return out
}

// residualTraces starts the sums of the residual variance, parameter r: as if no random effect took anything, when D is I.
func (e *equations) residualTraces(sum *traces, r int) {
	if e.known != nil {
		return
	}
	n := e.s.p + 1
	for i := range e.s.p {
		for j := range e.s.p {
			v := 0.0
			for a := range min(i, j) + 1 {
				v += e.work.root[a*n+i] * e.work.root[a*n+j]
			}
			sum.p[r][i][j] -= v
			sum.q[r][r][i][j] += v
		}
	}
	sum.trace[r][r] = float64(len(e.cross.y))
}

// add adds a block's part of every trace and matrix.
func (d *dense) add(sum *traces, r int) {
	if d.e.known != nil {
		d.weighted(sum, r)
	} else {
		d.squared(sum, r)
	}
	directions := d.e.directions()
	p := d.e.s.p
	for i, a := range directions {
		d.levelsOf(a, func(x, y int) {
			for c, v := range d.e1[x] {
				subtract(sum.p[i][c], d.e1[y], v)
			}
			sum.trace[r][i] += d.b2[y][x]
			for c, v := range d.e2[x] { // Q_ri = X'V⁻²G_iV⁻¹X
				subtract(sum.q[r][i][c], d.e1[y], -v)
			}
		})
		be := d.spreadBy(a) // B·S_i·E
		for j, b := range directions[:i+1] {
			d.levelsOf(b, func(x, y int) {
				d.levelsOf(a, func(u, v int) { // tr(V⁻¹ Z_x Z_y' V⁻¹ Z_u Z_v')
					sum.trace[i][j] += d.b[v][x] * d.b[y][u]
				})
			})
			other := make([][]float64, len(d.index)) // S_j·E
			d.levelsOf(b, func(x, y int) {
				if other[x] == nil {
					other[x] = make([]float64, p)
				}
				subtract(other[x], d.e1[y], -1)
			})
			for x, row := range be { // Q_ij = E'S_i·B·S_j·E
				for c, v := range row {
					if other[x] != nil {
						subtract(sum.q[i][j][c], other[x], -v)
					}
				}
			}
		}
	}
}

// spreadBy is B·S_i·E.
func (d *dense) spreadBy(a direction) [][]float64 {
	out := make([][]float64, len(d.index))
	for i := range out {
		out[i] = make([]float64, d.e.s.p)
	}
	d.levelsOf(a, func(x, y int) {
		for i := range out {
			subtract(out[i], d.e1[y], -d.b[i][x])
		}
	})
	return out
}

// levelsOf calls with the pair of effects of every level of a direction.
func (d *dense) levelsOf(a direction, do func(x, y int)) {
	size := d.e.s.sizes[a.term]
	for l := range d.levels[a.term] {
		first := d.local[a.term] + l*size
		for _, pair := range a.pairs {
			do(first+pair[0], first+pair[1])
		}
	}
}
