package mixed

import (
	"slices"

	"gonum.org/v1/gonum/floats"
)

// inverted is M⁻¹ where the factor has entries, which is all that traces and standard deviations need
// (Takahashi, Fagan & Chin 1973; Erisman & Tinney 1975, Commun ACM 18:177–179).
type inverted struct {
	s     *structure
	entry []float64   // rows in the layout of the fronts; pivot blocks full, the response's column unused
	xx    []float64   // p × p: (R_X'R_X)⁻¹, the covariance of the coefficients on Q in units of σ²
	full  [][]float64 // of each last front that others are dense in: M⁻¹ over its pivots and the fixed columns
}

// invert takes the inverse from a factor. Without fixed it is the inverse given the fixed effects, of the random block alone.
func (v *inverted) invert(f *factored, fixed bool) {
	s := v.s
	p := s.p
	clear(v.xx)
	if fixed {
		v.invertRoot(f)
	}
	s.share(min(chunks, len(s.blocks)), func(_, from, upto int) {
		var space workspace
		for at := upto - 1; at >= from; at-- {
			v.front(f, at, &space, p)
		}
	})
}

func (v *inverted) invertRoot(f *factored) {
	p := v.s.p
	n := p + 1
	inv := make([]float64, p*p) // R_X⁻¹
	for j := range p {
		for i := j; i >= 0; i-- {
			sum := 0.0
			if i == j {
				sum = 1
			}
			for a := i + 1; a <= j; a++ {
				sum -= f.root[i*n+a] * inv[a*p+j]
			}
			inv[i*p+j] = sum / f.root[i*n+i]
		}
	}
	for i := range p {
		for j := range p {
			for a := max(i, j); a < p; a++ {
				v.xx[i*p+j] += inv[i*p+a] * inv[j*p+a]
			}
		}
	}
}

// workspace is room for one front: the inverse over its later and fixed columns, its solved rows, its triangle. The first holds for the
// next front too when that has the same later columns.
type workspace struct {
	room [3][]float64
	held *front
}

func (w *workspace) take(i, size int) []float64 {
	if cap(w.room[i]) < size {
		w.room[i] = make([]float64, size)
	}
	return w.room[i][:size]
}

func (w *workspace) holds(t *front) bool {
	return w.held != nil && slices.Equal(w.held.index[w.held.k:], t.index[t.k:])
}

// front fills the rows of one front: with Y = L⁻ᵀU, M⁻¹ over (pivots, later) is −Y·T and over the pivots (LL')⁻¹ + Y·T·Y', T being M⁻¹
// over the later columns.
func (v *inverted) front(f *factored, at int, space *workspace, p int) {
	t := &v.s.fronts[at]
	k, m, w := int(t.k), int(t.m)+p, int(t.width)
	rows, out := f.entry[t.at:][:k*w], v.entry[t.at:][:k*w]
	solved, triangle := space.take(1, k*m), space.take(2, k*k)
	for i := k - 1; i >= 0; i-- { // Y
		y := solved[i*m:][:m]
		copy(y, rows[i*w+k:][:m])
		for j := i + 1; j < k; j++ {
			subtract(y, solved[j*m:][:m], rows[i*w+j])
		}
		r := 1 / rows[i*w+i]
		for c := range y {
			y[c] *= r
		}
	}
	if t.dense {
		v.timesDense(t, out, solved, m)
	} else {
		v.timesGathered(t, out, solved, m, p, space)
	}
	for i := k - 1; i >= 0; i-- { // L⁻ᵀ
		dst := triangle[i*k:][:k]
		clear(dst)
		r := 1 / rows[i*w+i]
		dst[i] = r
		for a := i + 1; a < k; a++ {
			subtract(dst[a:], triangle[a*k+a:][:k-a], rows[i*w+a]*r)
		}
	}
	for i := range k {
		for j := i; j < k; j++ {
			sum := product(triangle[i*k+j:][:k-j], triangle[j*k+j:][:k-j]) - product(out[i*w+k:][:m], solved[j*m:][:m])
			out[i*w+j], out[j*w+i] = sum, sum
		}
	}
	if t.last {
		v.fill(at, t, p)
	}
}

// timesGathered is −Y·T with T gathered from the owners.
func (v *inverted) timesGathered(t *front, out, solved []float64, m, p int, space *workspace) {
	k, w := int(t.k), int(t.width)
	later := space.take(0, m*m)
	if !space.holds(t) {
		v.gather(t, later, m, p)
		space.held = t
	}
	for i := range k {
		dst := out[i*w+k:][:m]
		clear(dst)
		for c, y := range solved[i*m:][:m] {
			subtract(dst, later[c*m:][:m], y)
		}
	}
}

// timesDense is −Y·T for a front whose later columns end with all pivots of its block's last front: that part of T, with the fixed columns, is
// kept as one full matrix, and only the columns before it are read from their owners.
func (v *inverted) timesDense(t *front, out, solved []float64, m int) {
	k, w := int(t.k), int(t.width)
	for i := range k {
		clear(out[i*w+k:][:m])
	}
	last := &t.owners[len(t.owners)-1]
	for oi := range t.owners[:len(t.owners)-1] {
		o := &t.owners[oi]
		g := &v.s.fronts[o.front]
		gw := int(g.width)
		for _, own := range o.place {
			if own.from >= o.upto {
				break
			}
			for c := own.from; c < min(own.from+own.n, o.upto); c++ {
				src := v.entry[g.at+int(own.to+c-own.from)*gw:][:gw-1]
				at := int(c - t.k)
				for i := range k {
					y, dst := solved[i*m:][:m], out[i*w+k:][:m]
					sum := 0.0
					for _, seg := range o.place {
						if seg.from+seg.n <= c {
							continue
						}
						skip := max(0, c-seg.from)
						from, n := int(seg.from+skip-t.k), int(seg.n-skip)
						row := src[seg.to+skip:][:n]
						sum += product(row, y[from:])
						subtract(dst[from:from+n], row, y[at])
					}
					right := src[int(g.k+g.m):]
					sum += product(right, y[m-len(right):])
					subtract(dst[m-len(right):], right, y[at])
					dst[at] -= sum - src[own.to+c-own.from]*y[at] // the diagonal came twice
				}
			}
		}
	}
	full := v.full[last.front]
	from := int(last.from - t.k)
	n := m - from
	for i := range k {
		y, dst := solved[i*m+from:][:n], out[i*w+k+from:][:n]
		for c, a := range y {
			subtract(dst, full[c*n:][:n], a)
		}
	}
}

// fill keeps M⁻¹ over the pivots of a block's last front and the fixed columns as one full matrix.
func (v *inverted) fill(at int, t *front, p int) {
	k, w := int(t.k), int(t.width)
	n := k + p
	if v.full == nil {
		v.full = make([][]float64, len(v.s.fronts))
	}
	if v.full[at] == nil {
		v.full[at] = make([]float64, n*n)
	}
	full := v.full[at]
	for i := range k {
		row := v.entry[t.at+i*w:][:n]
		copy(full[i*n:], row)
		for j, x := range row[k:] {
			full[(k+j)*n+i] = x
		}
	}
	for i := range p {
		copy(full[(k+i)*n+k:], v.xx[i*p:][:p])
	}
}

// product is Σ x·y.
func product(x, y []float64) float64 {
	y = y[:len(x)]
	if len(x) >= 16 {
		return floats.Dot(x, y)
	}
	s := 0.0
	for i, v := range x {
		s += v * y[i]
	}
	return s
}

// gather copies M⁻¹ over the later and fixed columns of a front out of its owners, as a full symmetric matrix.
func (v *inverted) gather(t *front, later []float64, m, p int) {
	random := m - p
	for oi := range t.owners {
		o := &t.owners[oi]
		g := &v.s.fronts[o.front]
		gw := int(g.width)
		for _, own := range o.place {
			if own.from >= o.upto {
				break
			}
			for i := own.from; i < min(own.from+own.n, o.upto); i++ {
				src := v.entry[g.at+int(own.to+i-own.from)*gw:][:gw]
				dst := later[int(i-t.k)*m:][:m]
				for _, seg := range o.place {
					if seg.from+seg.n <= i {
						continue
					}
					skip := max(0, i-seg.from)
					copy(dst[seg.from+skip-t.k:], src[seg.to+skip:seg.to+seg.n])
				}
				copy(dst[random:], src[int(g.k+g.m):gw-1])
			}
		}
	}
	for i := range p {
		copy(later[(random+i)*m+random:][:p], v.xx[i*p:][:p])
	}
	for i := range m {
		for j := i + 1; j < m; j++ {
			later[j*m+i] = later[i*m+j]
		}
	}
}
