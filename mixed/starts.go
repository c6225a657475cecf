package mixed

import (
	"errors"
	"math"
	"slices"
)

// minimum is where the criterion is least, with the parameters that are not held at zero.
type minimum struct {
	point
	free []bool
}

// best searches from an ordinary start and, when that ends on a boundary, from others: a variance that looks like zero from one
// side may not be from another, and a factor of less than full rank has ridges.
func (e *equations) best() (minimum, error) {
	var found minimum
	ok := false
	for i, start := range e.starts() {
		if i > 0 && ok && !found.bounded() {
			break
		}
		p, good := e.search(start, all(len(start)))
		if !good {
			continue
		}
		m := e.settleZeros(p)
		if !ok || m.value < found.value-1e-10*(1+math.Abs(found.value)) {
			found, ok = m, true
		}
	}
	if !ok {
		if math.IsInf(e.evaluate(e.starts()[0]), -1) {
			return found, ErrExact
		}
		return found, errors.New("fit: the criterion could not be evaluated at any start: check the scale of the columns")
	}
	return found, nil
}

func (m minimum) bounded() bool { return slices.Contains(m.free, false) }

func all(n int) []bool {
	out := make([]bool, n)
	for i := range out {
		out[i] = true
	}
	return out
}

// starts are the factors a search begins from: diagonals of moderate, small and large size, the terms in turn, correlations of both signs.
func (e *equations) starts() [][]float64 {
	make1 := func(diagonal func(t int) float64, below float64) []float64 {
		at := make([]float64, len(e.names))
		for i, q := range e.names {
			switch {
			case q.term < 0:
				at[i] = 0.6
			case q.row == q.col:
				at[i] = diagonal(q.term)
			default:
				at[i] = below
			}
		}
		return at
	}
	even := func(v float64) func(int) float64 { return func(int) float64 { return v } }
	out := [][]float64{make1(even(0.7), 0)}
	out = append(out, make1(even(0.2), 0), make1(even(2.5), 0))
	if slices.ContainsFunc(e.s.sizes, func(k int) bool { return k > 1 }) {
		out = append(out, make1(even(0.4), 0.4), make1(even(0.4), -0.4))
	}
	if len(e.terms) > 1 {
		for t := range e.terms {
			out = append(out, make1(func(o int) float64 {
				if o == t {
					return 1.5
				}
				return 0.15
			}, 0))
		}
	}
	return out
}

// settleZeros brings the factors to their standard form, with what has vanished held at zero. Where a diagonal is small but has not vanished
// it is tried as zero too: near a first diagonal of zero only the length of the column's rest counts, and a search can come
// to a stop on that ridge.
func (e *equations) settleZeros(p point) minimum {
	p = e.flat(p)
	m := e.zeroed(p, vanishing)
	if t := e.zeroed(m.point, doubtful); t.held() > m.held() && t.value <= m.value+1e-13*(1+math.Abs(m.value)) {
		return t
	}
	for _, at := range e.turned(m.at) {
		p, ok := e.search(at, all(len(at)))
		if !ok {
			continue
		}
		if t := e.zeroed(p, vanishing); t.value < m.value-1e-13*(1+math.Abs(m.value)) {
			m = t
		}
	}
	return m
}

// turned are points along the ridge of a small diagonal entry: with a first diagonal near zero it hardly matters how the length of a later row
// is split between its column and its own diagonal, so both ways of putting all of it into the column are tried.
func (e *equations) turned(at []float64) [][]float64 {
	var out [][]float64
	for t, k := range e.s.sizes {
		l := e.lambda(at)[t]
		for i := range k {
			for j := i + 1; j < k; j++ {
				length := math.Hypot(l[j*k+i], l[j*k+j])
				if a := math.Abs(l[i*k+i]); a == 0 || a > doubtful || l[j*k+j] == 0 || length < doubtful {
					continue
				}
				for _, sign := range []float64{-1, 1} {
					turned := slices.Clone(at)
					for q, n := range e.names {
						if n.term == t && n.row == j && (n.col == i || n.col == j) {
							turned[q] = 0
							if n.col == i {
								turned[q] = sign * length
							}
						}
					}
					out = append(out, turned)
				}
			}
		}
	}
	return out
}

// doubtful is the diagonal entry under which zero is tried.
const doubtful = 3e-2

// held counts the parameters held at zero.
func (m minimum) held() int {
	n := 0
	for _, free := range m.free {
		if !free {
			n++
		}
	}
	return n
}

// zeroed sets diagonals under a limit to zero and searches on from there with these held, if that is no worse.
func (e *equations) zeroed(p point, limit float64) minimum {
	for {
		at, free, zeros := e.standard(p.at, limit)
		if zeros == 0 {
			if slices.Equal(at, p.at) {
				return minimum{p, free}
			}
			q, ok := e.look(at)
			if !ok {
				q = p
			}
			return minimum{q, free}
		}
		q, ok := e.search(at, free)
		if !ok {
			return minimum{p, all(len(at))}
		}
		if q.value > p.value+1e-8*(1+math.Abs(p.value)) {
			return minimum{p, all(len(at))}
		}
		if _, _, again := e.standard(q.at, limit); again > zeros {
			p = q
			continue
		}
		at, free, _ = e.standard(q.at, limit)
		q.at = at
		return minimum{q, free}
	}
}

// standard is the same covariances by factors with a diagonal of zero or more; a column whose diagonal is under the limit is zero altogether.
// Free marks the parameters that are not so held; zeros counts the others.
func (e *equations) standard(at []float64, limit float64) (out []float64, free []bool, zeros int) {
	lambda := e.lambda(at)
	for t, k := range e.s.sizes {
		standardise(lambda[t], k, limit)
	}
	out, free = make([]float64, len(at)), all(len(at))
	for i, q := range e.names {
		if q.term < 0 {
			out[i] = math.Abs(at[i])
			if out[i] < limit && e.allKnown() {
				out[i], free[i] = 0, false
				zeros++
			}
			continue
		}
		k := e.s.sizes[q.term]
		out[i] = lambda[q.term][q.row*k+q.col]
		if lambda[q.term][q.col*k+q.col] == 0 {
			free[i] = false
			zeros++
		}
	}
	return out, free, zeros
}

// standardise works on one factor in place: columns whose diagonal has vanished are turned into the later ones by rotations from the right.
func standardise(l []float64, k int, limit float64) {
	for c := range k {
		if math.Abs(l[c*k+c]) >= limit {
			continue
		}
		l[c*k+c] = 0
		for i := c + 1; i < k; i++ {
			a, b := l[i*k+i], l[i*k+c]
			r := math.Hypot(a, b)
			if r == 0 {
				continue
			}
			cos, sin := a/r, b/r
			for j := i; j < k; j++ {
				x, y := l[j*k+i], l[j*k+c]
				l[j*k+i], l[j*k+c] = cos*x+sin*y, cos*y-sin*x
			}
			l[i*k+c] = 0
		}
	}
	for c := range k {
		if l[c*k+c] < 0 {
			for i := c; i < k; i++ {
				l[i*k+c] = -l[i*k+c]
			}
		}
	}
}

// flat takes as zero what the criterion does not depend on: where a variance cannot be told (rounds as many as coefficients of time), none is
// as likely as any, and the standard errors that leave it out are those of what was measured.
func (e *equations) flat(p point) point {
	for i, q := range e.names {
		if q.term >= 0 && (q.row != q.col || e.s.sizes[q.term] > 1) || p.at[i] == 0 {
			continue
		}
		if p.firm != nil && p.firm[i] > 1e-4 {
			continue // it does
		}
		at := slices.Clone(p.at)
		at[i] = 0
		if e.evaluate(at) > p.value+1e-12*(1+math.Abs(p.value)) {
			continue
		}
		if next, ok := e.look(at); ok {
			p = next
		}
	}
	return p
}
