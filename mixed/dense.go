package mixed

import (
	"fmt"
	"math"
)

// dense is one block of random effects written out: B = Z'V⁻¹Z, E = Z'V⁻¹Q, and the same with V⁻² for the residual variance, V⁻¹ being
// D − DZΛA⁻¹Λ'Z'D with A = Λ'Z'DZΛ + I. Rows are times √w, so that the residual variance enters V as σ²·I.
type dense struct {
	e      *equations
	index  []int32 // effects of the block
	local  []int   // of each term: its first effect here
	levels []int   // and its number of levels here
	b, b2  [][]float64
	e1, e2 [][]float64
	c, x   [][]float64 // Z'DZ and Z'DQ
	lower  [][]float64 // Cholesky factor of A
}

// dense writes out the block of a range of fronts.
func (e *equations) dense(fronts [2]int32) (*dense, error) {
	s := e.s
	d := &dense{e: e}
	byTerm := make([][]int32, len(s.sizes))
	for at := fronts[0]; at < fronts[1]; at++ {
		f := &s.fronts[at]
		for _, n := range f.nodes {
			byTerm[n.term] = append(byTerm[n.term], f.index[n.col:][:s.sizes[n.term]]...)
		}
	}
	place := map[int32]int{}
	for t, list := range byTerm {
		d.local = append(d.local, len(d.index))
		d.levels = append(d.levels, len(list)/s.sizes[t])
		for _, x := range list {
			place[x] = len(d.index)
			d.index = append(d.index, x)
		}
	}
	q := len(d.index)
	if q > widestBlock {
		return nil, fmt.Errorf("degrees of freedom by Kenward and Roger: %d random effects hang together, at most %d can be written out: use Satterthwaite's", q, widestBlock)
	}
	c, x := plain(q), make([][]float64, q)
	for at := fronts[0]; at < fronts[1]; at++ {
		f := &s.fronts[at]
		for _, n := range f.nodes {
			for i := n.col; i < n.col+int32(s.sizes[n.term]); i++ {
				row := e.cross.entry[f.at+int(i)*int(f.width):][:f.width]
				own := place[f.index[i]]
				for j := n.col; j < f.k+f.m; j++ {
					o := place[f.index[j]]
					c[own][o], c[o][own] = row[j], row[j]
				}
				x[own] = row[f.k+f.m:][:s.p]
			}
		}
	}
	d.c, d.x = c, x
	d.solve(c, x)
	return d, nil
}

// solve makes B and E: with H = L⁻¹Λ'C and K = L⁻¹Λ'·Z'DQ, B = C − H'H and E = Z'DQ − H'K.
func (d *dense) solve(c, x [][]float64) {
	q, p := len(d.index), d.e.s.p
	h, k := make([][]float64, q), make([][]float64, q)
	for i := range q {
		h[i], k[i] = make([]float64, q), make([]float64, p)
	}
	lambda := d.e.work.lambda
	d.each(func(t, first, size int) { // Λ'C, Λ'X
		for j := range size {
			for i := j; i < size; i++ {
				v := lambda[t][i*size+j]
				subtract(h[first+j], c[first+i], -v)
				subtract(k[first+j], x[first+i], -v)
			}
		}
	})
	a := plain(q) // Λ'CΛ + I
	for i := range q {
		d.each(func(t, first, size int) {
			for j := range size {
				for l := j; l < size; l++ {
					a[i][first+j] += h[i][first+l] * lambda[t][l*size+j]
				}
			}
		})
		a[i][i]++
	}
	for i := range q { // A = LL', and L⁻¹ of both right-hand sides
		for j := range i {
			subtract(h[i], h[j], a[i][j])
			subtract(k[i], k[j], a[i][j])
		}
		for r := i; r < q; r++ {
			v := a[r][i] - product(a[r][:i], a[i][:i])
			if r == i {
				a[i][i] = math.Sqrt(v)
			} else {
				a[r][i] = v / a[i][i]
			}
		}
		divide(h[i], a[i][i])
		divide(k[i], a[i][i])
	}
	d.lower = a
	d.b, d.e1 = plain(q), make([][]float64, q)
	for i := range q {
		copy(d.b[i], c[i])
		d.e1[i] = append([]float64(nil), x[i]...)
	}
	for a := range q {
		for i := range q {
			subtract(d.b[i], h[a], h[a][i])
			subtract(d.e1[i], k[a], h[a][i])
		}
	}
}

// each calls with every level of the block: its term, its first effect and its size.
func (d *dense) each(do func(t, first, size int)) {
	for t, size := range d.e.s.sizes {
		for l := range d.levels[t] {
			do(t, d.local[t]+l*size, size)
		}
	}
}

func divide(x []float64, by float64) {
	for i := range x {
		x[i] /= by
	}
}

// spread is G·m, with G = ΛΛ' level by level, for rows m over the effects.
func (d *dense) spread(m [][]float64) [][]float64 {
	out := make([][]float64, len(m))
	d.each(func(t, first, size int) {
		l := d.e.work.lambda[t]
		for i := range size {
			out[first+i] = make([]float64, len(m[first]))
			for j := range size {
				subtract(out[first+i], m[first+j], -product(l[i*size:][:size], l[j*size:][:size]))
			}
		}
	})
	return out
}

// squared makes B₂ = Z'V⁻²Z and E₂ = Z'V⁻²Q where D is I, from V⁻² = V⁻¹ − V⁻¹ZGZ'V⁻¹, and adds what the block takes from the residual's traces.
func (d *dense) squared(sum *traces, r int) {
	ge, gb := d.spread(d.e1), d.spread(d.b)
	d.b2, d.e2 = plain(len(d.index)), make([][]float64, len(d.index))
	for i := range d.index {
		copy(d.b2[i], d.b[i])
		d.e2[i] = append([]float64(nil), d.e1[i]...)
		for a, v := range d.b[i] {
			subtract(d.b2[i], gb[a], v)
			subtract(d.e2[i], ge[a], v)
		}
	}
	gb2 := d.spread(d.b2)
	for i := range d.index {
		sum.trace[r][r] -= gb[i][i] + gb2[i][i]
		for a, v := range ge[i] {
			subtract(sum.p[r][a], d.e1[i], -v)
			subtract(sum.q[r][r][a], d.e1[i], v)
			subtract(sum.q[r][r][a], d.e2[i], v)
		}
	}
}

// weighted makes B₂, E₂ and the residual's traces row by row, for weights that differ beyond √w.
func (d *dense) weighted(sum *traces, r int) {
	e := d.e
	q, p, n := len(d.index), e.s.p, len(e.cross.y)
	place := make([]int, e.s.effects)
	for i, x := range d.index {
		place[x] = i
	}
	inner := d.inner()
	kc, kx := plain(q), make([][]float64, q)
	for i := range q {
		kx[i] = make([]float64, p)
		for a, v := range inner[i] {
			subtract(kc[i], d.c[a], -v)
			subtract(kx[i], d.x[a], -v)
		}
	}
	d.b2, d.e2 = plain(q), make([][]float64, q)
	zdt := make([][]float64, q)
	for i := range q {
		d.e2[i], zdt[i] = make([]float64, p), make([]float64, p)
	}
	sparse := make([][]entry, n)
	u, t, x := make([]float64, q), make([]float64, p), make([]float64, p)
	for i := range n {
		sparse[i] = e.sparseRow(i, place)
		e.fixed.row(i, x)
		clear(u)
		copy(t, x)
		for _, z := range sparse[i] {
			u[z.at] += z.value
			subtract(u, kc[z.at], z.value)
			subtract(t, kx[z.at], z.value)
		}
		w := e.scale[i]
		for a := range u {
			u[a] *= w
		}
		for a := range t {
			t[a] *= w
		}
		for a, v := range u {
			if v != 0 {
				subtract(d.b2[a], u, -v)
				subtract(d.e2[a], t, -v)
			}
		}
		for a, v := range t {
			subtract(sum.p[r][a], t, v)
			subtract(sum.q[r][r][a], t, -w*v)
		}
		for _, z := range sparse[i] {
			subtract(zdt[z.at], t, -w*z.value)
		}
	}
	for i := range q {
		for a, v := range inner[i] {
			for c, y := range zdt[i] {
				subtract(sum.q[r][r][c], zdt[a], v*y)
			}
		}
	}
	sum.trace[r][r] += e.squaredTrace(sparse, inner)
}

// squaredTrace is tr(V⁻²), pair of rows by pair of rows.
func (e *equations) squaredTrace(sparse [][]entry, inner [][]float64) float64 {
	total := 0.0
	for i, a := range sparse {
		for j := range i + 1 {
			v := 0.0
			for _, y := range a {
				for _, z := range sparse[j] {
					v -= y.value * z.value * inner[y.at][z.at]
				}
			}
			v *= e.scale[i] * e.scale[j]
			if i == j {
				v += e.scale[i]
				total += v * v
			} else {
				total += 2 * v * v
			}
		}
	}
	return total
}

// entry is one number of a row of Z̃.
type entry struct {
	at    int
	value float64
}

func (e *equations) sparseRow(i int, place []int) []entry {
	root := 1.0
	if e.fixed.root != nil {
		root = e.fixed.root[i]
	}
	var out []entry
	for t, k := range e.s.sizes {
		z := make([]float64, k)
		e.bases[t].row(&e.terms[t], i, root, z)
		first := int(e.s.effect[e.s.node[t]+e.terms[t].Level[i]])
		for j, v := range z {
			out = append(out, entry{place[first+j], v})
		}
	}
	return out
}

// inner is ΛA⁻¹Λ'.
func (d *dense) inner() [][]float64 {
	q := len(d.index)
	h := plain(q) // Λ', then L⁻¹Λ'
	lambda := d.e.work.lambda
	d.each(func(t, first, size int) {
		for i := range size {
			for j := 0; j <= i; j++ {
				h[first+j][first+i] = lambda[t][i*size+j]
			}
		}
	})
	for i := range q {
		for j := range i {
			subtract(h[i], h[j], d.lower[i][j])
		}
		divide(h[i], d.lower[i][i])
	}
	out := plain(q)
	for a := range q {
		for i, v := range h[a] {
			subtract(out[i], h[a], -v)
		}
	}
	return out
}
