package mixed

// crossproducts fills the products arena: for each front the rows of [Z̃'DZ̃, Z̃'DQ, Z̃'Dr], D the weights of the rows given.
// Rows of Q and r already carry √w, so scale is D over w.
type crossproducts struct {
	s     *structure
	terms []Term
	bases []basis
	fixed *fixed
	y     []float64 // the rest of the response, in the working unit
	entry []float64
	xx    []float64 // (p+1) × (p+1): [Q r]'D[Q r]
}

// gather sums the products; scale nil is all ones.
func (a *crossproducts) gather(scale []float64) {
	s := a.s
	clear(a.entry)
	clear(a.xx)
	p := s.p
	x := make([]float64, p+1)
	count := len(a.terms)
	z := make([][]float64, count)
	node := make([]int32, count)
	at := make([]int32, count*count)   // first column of the second in the front of the first
	last := make([]int32, count*count) // for which pair of nodes at holds
	pair := make([]int32, count*count)
	for i := range last {
		last[i], pair[i] = -1, -1
	}
	for t := range z {
		z[t] = make([]float64, s.sizes[t])
	}
	for i, y := range a.y {
		a.fixed.row(i, x)
		x[p] = y
		d := 1.0
		if scale != nil {
			d = scale[i]
		}
		a.crossFixed(x, d)
		root := 1.0
		if a.fixed.root != nil {
			root = a.fixed.root[i]
		}
		for t := range a.terms {
			a.bases[t].row(&a.terms[t], i, root, z[t])
			node[t] = s.node[t] + a.terms[t].Level[i]
		}
		for t, u := range node {
			f := &s.fronts[s.front[u]]
			for j, v := range z[t] {
				v *= d
				if v == 0 {
					continue
				}
				row := a.entry[f.at+int(s.column[u]+int32(j))*int(f.width):][:f.width]
				right := row[f.k+f.m:]
				for c, q := range x {
					right[c] += v * q
				}
				own := row[s.column[u]:]
				for c, w := range z[t] {
					own[c] += v * w
				}
				for o, w := range node {
					if o == t || s.before(w, u) {
						continue
					}
					key := t*count + o
					if last[key] != u || pair[key] != w {
						last[key], pair[key] = u, w
						at[key] = s.place(s.front[u], w)
					}
					other := row[at[key]:]
					for c, w := range z[o] {
						other[c] += v * w
					}
				}
			}
		}
	}
	if scale == nil { // the rest is what least squares left, so Q'r is zero; the sum has only its rounding, which R⁻¹ would magnify
		for j := range p {
			a.xx[j*(p+1)+p] = 0
		}
	}
}

// before reports whether node w is eliminated before u.
func (s *structure) before(w, u int32) bool {
	if s.front[w] != s.front[u] {
		return s.front[w] < s.front[u]
	}
	return s.column[w] < s.column[u]
}

func (a *crossproducts) crossFixed(x []float64, d float64) {
	n := len(x)
	for i, v := range x {
		v *= d
		row := a.xx[i*n:][:n]
		for j := i; j < n; j++ {
			row[j] += v * x[j]
		}
	}
}

// times adds C·g to h and Z̃'DQ'·g to the p values of x: g and h run over all random effects.
func (a *crossproducts) times(g, h, x []float64) {
	s := a.s
	for fi := range s.fronts {
		f := &s.fronts[fi]
		for _, n := range f.nodes {
			end := n.col + int32(s.sizes[n.term])
			for i := n.col; i < end; i++ {
				row := a.entry[f.at+int(i)*int(f.width):][:f.width]
				own := f.index[i]
				gi := g[own]
				sum := 0.0
				for c := n.col; c < end; c++ {
					sum += row[c] * g[f.index[c]]
				}
				for c := end; c < f.k+f.m; c++ {
					o := f.index[c]
					sum += row[c] * g[o]
					h[o] += row[c] * gi
				}
				h[own] += sum
				right := row[f.k+f.m:]
				for c := range x {
					x[c] += right[c] * gi
				}
			}
		}
	}
}
