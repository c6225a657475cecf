package mixed

import (
	"fmt"
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/floats"
)

// factored is the Cholesky factor of the mixed-model equations at one set of variances:
//
//	M = [Λ'Z̃'DZ̃Λ + I   Λ'Z̃'DQ ]  =  [L     ] [L' R_ZX]
//	    [    …            Q'DQ  ]     [… R_X' ] [   R_X ]
//
// with the response carried along as one more column (Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1), eq. 50–57).
type factored struct {
	s       *structure
	lambda  [][]float64 // k × k lower triangle of each term, row-major
	entry   []float64   // rows of L', in the layout of the fronts
	root    []float64   // (p+1) × (p+1) upper triangle: R_X and the response's column
	logL    float64     // log |L|²
	logRX   float64     // log |R_X|²
	penalty float64     // pwrss: Σ D(y − Xβ − ZΛu)² + |u|²
}

// chunks is how many pieces independent blocks are dealt into for working side by side; fixed, so that sums come out
// the same on any machine.
const chunks = 32

// factor scales the products by the relative covariance factors and factors them.
func (f *factored) factor(a *crossproducts, lambda [][]float64) error {
	s := f.s
	f.lambda = lambda
	n := s.p + 1
	copy(f.root, a.xx)
	type part struct {
		root []float64
		log  float64
		err  error
	}
	parts := make([]part, min(chunks, len(s.blocks)))
	s.share(len(parts), func(c, from, upto int) {
		p := &parts[c]
		p.root = make([]float64, n*n)
		for fi := from; fi < upto; fi++ {
			f.scale(fi, a.entry)
		}
		for fi := from; fi < upto; fi++ {
			log, err := f.eliminate(fi, p.root)
			p.log += log
			if err != nil {
				p.err = err
				return
			}
		}
	})
	f.logL = 0
	for _, p := range parts {
		if p.err != nil {
			return p.err
		}
		f.logL += p.log
		for i, v := range p.root {
			f.root[i] -= v
		}
	}
	return f.finish()
}

// share deals the fronts, whole blocks at a time, into pieces that run side by side when there is enough to do.
func (s *structure) share(pieces int, work func(piece, from, upto int)) {
	if pieces == 0 {
		return
	}
	bound := make([]int, pieces+1)
	piece := 0
	for _, b := range s.blocks {
		f := &s.fronts[b[0]]
		for piece < pieces-1 && f.at >= (piece+1)*(s.entries/pieces+1) {
			piece++
			bound[piece] = int(b[0])
		}
	}
	for piece++; piece <= pieces; piece++ {
		bound[piece] = len(s.fronts)
	}
	workers := min(runtime.GOMAXPROCS(0), pieces)
	if s.entries < 1<<14 || workers == 1 {
		for c := range pieces {
			work(c, bound[c], bound[c+1])
		}
		return
	}
	var wait sync.WaitGroup
	next := make(chan int, pieces)
	for c := range pieces {
		next <- c
	}
	close(next)
	for range workers {
		wait.Go(func() {
			for c := range next {
				work(c, bound[c], bound[c+1])
			}
		})
	}
	wait.Wait()
}

// scale writes Λ'·products·Λ + I of one front.
func (f *factored) scale(at int, products []float64) {
	s := f.s
	t := &s.fronts[at]
	size := int(t.k * t.width)
	in, out := products[t.at:][:size], f.entry[t.at:][:size]
	w := int(t.width)
	for _, n := range t.nodes {
		k := s.sizes[n.term]
		lambda := f.lambda[n.term]
		for j := range k {
			row := int(n.col) + j
			src, dst := in[row*w:][:w], out[row*w:][:w]
			for _, r := range t.runs {
				if r.upto <= n.col {
					continue
				}
				from := max(r.from, n.col)
				other := f.lambda[r.term]
				switch kr := s.sizes[r.term]; kr {
				case 1:
					v := other[0]
					if k == 1 {
						v *= lambda[0]
					}
					for c := from; c < r.upto; c++ {
						dst[c] = v * src[c]
					}
				default:
					once := 1.0
					if k == 1 {
						once = lambda[0]
					}
					for c := int(from); c < int(r.upto); c += kr {
						for b := range kr {
							v := 0.0
							for a := b; a < kr; a++ {
								v += src[c+a] * other[a*kr+b]
							}
							dst[c+b] = once * v
						}
					}
				}
			}
			right := int(t.k + t.m)
			if k == 1 {
				for c := right; c < w; c++ {
					dst[c] = lambda[0] * src[c]
				}
			} else {
				copy(dst[right:], src[right:])
			}
		}
		if k > 1 {
			leftTimes(out[int(n.col)*w:], w, int(n.col), k, lambda)
		}
		for j := range k {
			out[(int(n.col)+j)*w+int(n.col)+j]++
		}
	}
}

// leftTimes turns k rows into Λ' times the rows, from column from on.
func leftTimes(rows []float64, w, from, k int, lambda []float64) {
	for j := range k {
		dst := rows[j*w:][:w]
		d := lambda[j*k+j]
		for c := from; c < w; c++ {
			dst[c] *= d
		}
		for i := j + 1; i < k; i++ {
			v := lambda[i*k+j]
			if v == 0 {
				continue
			}
			src := rows[i*w:][:w]
			for c := from; c < w; c++ {
				dst[c] += v * src[c]
			}
		}
	}
}

// eliminate factors the pivots of one front and takes them out of its owners and of the fixed part; it returns their log |L|².
func (f *factored) eliminate(at int, root []float64) (float64, error) {
	t := &f.s.fronts[at]
	w := int(t.width)
	rows := f.entry[t.at:][:int(t.k)*w]
	log, product := 0.0, 1.0
	for i := range int(t.k) {
		row := rows[i*w:][:w]
		d := row[i]
		if !(d > 0) || math.IsInf(d, 1) {
			return 0, fmt.Errorf("factor the equations of the random effects: pivot %g: the variances have run away", d)
		}
		product *= d
		if product > 1e150 {
			log += math.Log(product)
			product = 1
		}
		r := 1 / math.Sqrt(d)
		for c := i; c < w; c++ {
			row[c] *= r
		}
		for j := i + 1; j < int(t.k); j++ {
			subtract(rows[j*w+j:][:w-j], row[j:], row[j])
		}
	}
	log += math.Log(product)
	f.pass(t, rows, root)
	return log, nil
}

// subtract takes v·x from y.
func subtract(y, x []float64, v float64) {
	if v == 0 {
		return
	}
	x = x[:len(y)]
	if len(y) >= 16 {
		floats.AddScaled(y, -v, x)
		return
	}
	for i := range y {
		y[i] -= v * x[i]
	}
}

// pass takes the pivots of a front out of the rows of its owners and of the fixed part.
func (f *factored) pass(t *front, rows, root []float64) {
	w := int(t.width)
	right := int(t.k + t.m)
	n := w - right
	for p := range int(t.k) {
		row := rows[p*w:][:w]
		for oi := range t.owners {
			o := &t.owners[oi]
			g := &f.s.fronts[o.front]
			gw := int(g.width)
			for _, own := range o.place { // rows: the columns that are the owner's pivots
				if own.from >= o.upto {
					break
				}
				for i := own.from; i < min(own.from+own.n, o.upto); i++ {
					v := row[i]
					if v == 0 {
						continue
					}
					target := f.entry[g.at+int(own.to+i-own.from)*gw:][:gw]
					for _, seg := range o.place {
						if seg.from+seg.n <= i {
							continue
						}
						skip := max(0, i-seg.from)
						subtract(target[seg.to+skip:seg.to+seg.n], row[seg.from+skip:], v)
					}
					subtract(target[gw-n:], row[right:], v)
				}
			}
		}
		x := row[right:]
		for i, v := range x {
			if v == 0 {
				continue
			}
			for j := i; j < n; j++ {
				root[i*n+j] += v * x[j]
			}
		}
	}
}

// finish factors what is left of the fixed part.
func (f *factored) finish() error {
	n := f.s.p + 1
	f.logRX = 0
	for i := range f.s.p {
		row := f.root[i*n:][:n]
		d := row[i]
		if !(d > 0) || math.IsInf(d, 1) {
			return fmt.Errorf("factor the equations of the fixed effects: pivot %g: the random effects leave nothing to tell them by", d)
		}
		f.logRX += math.Log(d)
		r := 1 / math.Sqrt(d)
		for c := i; c < n; c++ {
			row[c] *= r
		}
		for j := i + 1; j < n; j++ {
			subtract(f.root[j*n+j:][:n-j], row[j:], row[j])
		}
	}
	f.penalty = f.root[n*n-1]
	return nil
}

// solve gives u (over all random effects, on the spherical scale) and γ (the coefficients on Q).
func (f *factored) solve() (u, gamma []float64) {
	n := f.s.p + 1
	gamma = make([]float64, f.s.p)
	for i := f.s.p - 1; i >= 0; i-- {
		v := f.root[i*n+n-1]
		for j := i + 1; j < f.s.p; j++ {
			v -= f.root[i*n+j] * gamma[j]
		}
		gamma[i] = v / f.root[i*n+i]
	}
	u = make([]float64, f.s.effects)
	f.backward(u, gamma, 1)
	return u, gamma
}

// backward solves L'·u = c − R_ZX·γ, with c the response's column times response (0 or 1) plus what u holds.
func (f *factored) backward(u, gamma []float64, response float64) {
	for at := len(f.s.fronts) - 1; at >= 0; at-- {
		t := &f.s.fronts[at]
		w := int(t.width)
		right := int(t.k + t.m)
		for i := int(t.k) - 1; i >= 0; i-- {
			row := f.entry[t.at+i*w:][:w]
			v := u[t.index[i]] + response*row[w-1]
			for c := i + 1; c < right; c++ {
				v -= row[c] * u[t.index[c]]
			}
			for c, g := range gamma {
				v -= row[right+c] * g
			}
			u[t.index[i]] = v / row[i]
		}
	}
}

// forward solves [L; …]·v = [h; x] in place.
func (f *factored) forward(h, x []float64) {
	n := f.s.p + 1
	for at := range f.s.fronts {
		t := &f.s.fronts[at]
		w := int(t.width)
		right := int(t.k + t.m)
		for i := range int(t.k) {
			row := f.entry[t.at+i*w:][:w]
			own := t.index[i]
			v := h[own] / row[i]
			h[own] = v
			if v == 0 {
				continue
			}
			for c := i + 1; c < right; c++ {
				h[t.index[c]] -= row[c] * v
			}
			for c := range x {
				x[c] -= row[right+c] * v
			}
		}
	}
	for i := range x {
		x[i] /= f.root[i*n+i]
		for j := i + 1; j < len(x); j++ {
			x[j] -= f.root[i*n+j] * x[i]
		}
	}
}
