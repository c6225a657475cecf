package mixed

// slope is the derivative of the two moving parts of the criterion with respect to the relative covariance factor of each term,
// k × k row-major; the upper triangle is what a factor that is not a triangle would need:
//
//	d log|M| / dΛ = 2 Σ (Z̃'P Z̃ Λ) over the levels,     d pwrss / dΛ = −2 Σ (Z̃'Py)(u)'
//
// with Z̃'PZ̃Λ = Z̃'DZ̃·Λ·M⁻¹ + Z̃'DQ·M⁻¹ (the random rows of M·M⁻¹ = I without the leading Λ').
type slope struct {
	log     [][]float64
	penalty [][]float64
}

// slopeOf differentiates at a factor with its inverse; py is Z̃'Py and u its spherical effects.
func (s *structure) slopeOf(a *crossproducts, f *factored, v *inverted, py, u []float64) slope {
	pieces := min(chunks, len(s.blocks))
	parts := make([][][]float64, pieces)
	s.share(pieces, func(c, from, upto int) {
		sum := s.zero()
		for at := from; at < upto; at++ {
			s.traces(at, a, f, v, sum)
		}
		parts[c] = sum
	})
	out := slope{log: s.zero(), penalty: s.zero()}
	for _, part := range parts {
		for t := range part {
			for i, x := range part[t] {
				out.log[t][i] += 2 * x
			}
		}
	}
	for t, k := range s.sizes {
		first, last := s.span(t)
		for e := first; e < last; e += k {
			for i := range k {
				for j := range k {
					out.penalty[t][i*k+j] -= 2 * py[e+i] * u[e+j]
				}
			}
		}
	}
	return out
}

func (s *structure) zero() [][]float64 {
	out := make([][]float64, len(s.sizes))
	for t, k := range s.sizes {
		out[t] = make([]float64, k*k)
	}
	return out
}

// traces adds Σ Z̃'PZ̃Λ of the entries of one front.
func (s *structure) traces(at int, a *crossproducts, f *factored, v *inverted, sum [][]float64) {
	t := &s.fronts[at]
	w := int(t.width)
	right := int(t.k + t.m)
	in, inv := a.entry[t.at:], v.entry[t.at:]
	for _, n := range t.nodes {
		k := s.sizes[n.term]
		own := sum[n.term]
		first := int(n.col)
		for i := range k {
			row := (first + i) * w
			for j := range k {
				irow := (first + j) * w
				own[i*k+j] += product(in[row+right:row+w-1], inv[irow+right:irow+w-1])
			}
		}
		for _, r := range t.runs {
			from, upto := max(int(r.from), first), int(r.upto)
			if from >= upto {
				continue
			}
			kr := s.sizes[r.term]
			other := f.lambda[r.term]
			if k == 1 && kr == 1 {
				row := first * w
				whole := product(in[row+from:row+upto], inv[row+from:row+upto])
				own[0] += other[0] * whole
				if from == first { // the diagonal once, the rest for the other level too
					whole -= in[row+first] * inv[row+first]
				}
				sum[r.term][0] += f.lambda[n.term][0] * whole
				continue
			}
			for c := from; c < upto; c += kr {
				s.block(own, sum[r.term], in[first*w:], inv[first*w:], w, c, k, kr, f.lambda[n.term], other, c == first)
			}
		}
	}
}

// block adds C·Λb·M⁻¹ba to the sum of a's term and, unless a is b, C'·Λa·M⁻¹ab to that of b's.
func (s *structure) block(own, theirs, in, inv []float64, w, c, k, kr int, lambda, other []float64, same bool) {
	for i := range k {
		for j := range kr { // (C·Λb)[i][j]
			v := 0.0
			for b := j; b < kr; b++ {
				v += in[i*w+c+b] * other[b*kr+j]
			}
			if v == 0 {
				continue
			}
			for l := range k {
				own[i*k+l] += v * inv[l*w+c+j]
			}
		}
	}
	if same {
		return
	}
	for i := range kr {
		for j := range k { // (C'·Λa)[i][j]
			v := 0.0
			for b := j; b < k; b++ {
				v += in[b*w+c+i] * lambda[b*k+j]
			}
			if v == 0 {
				continue
			}
			for l := range kr {
				theirs[i*kr+l] += v * inv[j*w+c+l]
			}
		}
	}
}
