package findings

import (
	"cmp"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"
)

// panel is greens by rounds with holes: y_ij = a_i + ρ_j + e_ij, where the variance of e_ij is
// σ_core²/cores + u². Greens are swept out, so what is left speaks of changes within greens.
type panel struct {
	cells    []cell
	green    []int // of each cell
	round    []int // of each cell
	greens   int
	rounds   []string    // in order of date
	dates    []time.Time // of the rounds
	t        []float64   // years from the mean of the rounds' dates
	part     []int       // of each round: rounds tied together by shared greens are one part
	parts    int
	pooled   bool    // no green repeats: the green effects are left out
	coreVar  float64 // σ_core² [points²]: one core about its green and round
	residual float64 // degrees of freedom behind coreVar; 0 assumed or not known
	assumed  bool    // coreVar comes from the usual scatter of cores
}

// swept is a panel after its greens are eliminated, in the axes in which the round effects are
// independent: z_l = β·x_l + noise of variance 1/λ_l (+ σ_round²).
type swept struct {
	scatter
	axes      *mat.Dense // columns: all axes, the parts without information first
	lambda    []float64  // of all axes; 0 for those without information
	effects   []float64  // of the rounds, ρ = L⁺b, arbitrary up to a constant in each part
	greenMean []float64  // weighted mean of each green
	greenW    []float64  // its weight 1/points²
	share     []float64  // c_j: share of round j in the mean of the green means
	q         float64    // weighted residual sum of squares of green + round effects
	fall      float64    // −dq/dσ_core²
}

func newPanel(cs []cell) *panel {
	p := &panel{cells: cs, green: make([]int, len(cs)), round: make([]int, len(cs))}
	for i, c := range cs { // cells come sorted by green
		if i == 0 || c.green != cs[i-1].green {
			p.greens++
		}
		p.green[i] = p.greens - 1
	}
	p.orderRounds()
	p.part, p.parts = p.group()
	return p
}

// pool leaves the green effects out where no green was sampled in two rounds: the spread between
// greens is then part of the noise of every round.
func (p *panel) pool() {
	if p.parts < len(p.rounds) || p.parts < 2 {
		return
	}
	p.pooled, p.greens, p.parts = true, 1, 1
	p.cells = slices.Clone(p.cells)
	for i := range p.cells {
		p.green[i] = 0
		p.cells[i].cores, p.cells[i].u = 1, 0
	}
}

func (p *panel) orderRounds() {
	byRound := map[string][]cell{}
	for _, c := range p.cells {
		byRound[c.round] = append(byRound[c.round], c)
	}
	type dated struct {
		name string
		date time.Time
	}
	var order []dated
	for name, cs := range byRound {
		order = append(order, dated{name, middle(cs)})
	}
	slices.SortFunc(order, func(a, b dated) int {
		return cmp.Or(a.date.Compare(b.date), cmp.Compare(a.name, b.name))
	})
	index := map[string]int{}
	var mean float64
	for j, r := range order {
		index[r.name] = j
		p.rounds, p.dates = append(p.rounds, r.name), append(p.dates, r.date)
		p.t = append(p.t, years(order[0].date, r.date))
		mean += p.t[j] / float64(len(order))
	}
	for j := range p.t {
		p.t[j] -= mean
	}
	for i, c := range p.cells {
		p.round[i] = index[c.round]
	}
}

func years(from, to time.Time) float64 { return to.Sub(from).Hours() / 24 / daysPerYear }

// group gives each round the number of its part: rounds tied together by shared greens.
func (p *panel) group() (part []int, parts int) {
	part = make([]int, len(p.rounds))
	for j := range part {
		part[j] = j
	}
	parts = len(part)
	for i := 1; i < len(p.cells); i++ {
		a, b := part[p.round[i-1]], part[p.round[i]]
		if p.green[i] != p.green[i-1] || a == b {
			continue
		}
		parts--
		for j := range part {
			if part[j] == b {
				part[j] = a
			}
		}
	}
	return part, parts
}

// lastPart are the cells that can be compared with the last round: those of rounds tied to it by
// shared greens.
func (p *panel) lastPart() []cell {
	var out []cell
	for i, c := range p.cells {
		if p.part[p.round[i]] == p.part[len(p.part)-1] {
			out = append(out, c)
		}
	}
	return out
}

// weight of cell i is the inverse of its variance [1/points²] for a given σ_core² [points²].
func (p *panel) weight(i int, coreVar float64) float64 {
	c := p.cells[i]
	return 1 / (coreVar/c.cores + c.u*c.u)
}

// sweep eliminates the greens at the given σ_core² [points²] and turns the rounds to their axes.
//
//	L_jk = [j=k]·Σ_i w_ij − Σ_i w_ij·w_ik/w_i    b_j = Σ_i w_ij·(y_ij − ȳ_i)
//
// L is the information about the round effects ρ that is left once the green effects are fitted; its
// eigenvectors q_l and eigenvalues λ_l give z_l = q_l·ρ̂ = q_l·b/λ_l, independent, with variance 1/λ_l.
// A green with one round adds nothing to L: it says nothing about change.
// Source: block designs with blocks eliminated, e.g. John & Williams, Cyclic and Computer Generated
// Designs, 2nd ed. 1995, ch. 1 (from memory).
func (p *panel) sweep(coreVar float64) swept {
	r := len(p.rounds)
	s := swept{greenMean: make([]float64, p.greens), greenW: make([]float64, p.greens), share: make([]float64, r)}
	w := make([]float64, len(p.cells))
	for i, c := range p.cells {
		w[i] = p.weight(i, coreVar)
		s.greenW[p.green[i]] += w[i]
		s.greenMean[p.green[i]] += w[i] * c.om
	}
	for g := range s.greenMean {
		s.greenMean[g] /= s.greenW[g]
	}
	info, b := p.information(w, s)
	s.turn(info, b, p.t, p.parts)
	for i := range p.cells {
		s.share[p.round[i]] += w[i] / s.greenW[p.green[i]] / float64(p.greens)
	}
	p.residuals(w, &s)
	return s
}

// information gives L and b of sweep.
func (p *panel) information(w []float64, s swept) (*mat.SymDense, []float64) {
	r := len(p.rounds)
	info, b := mat.NewSymDense(r, nil), make([]float64, r)
	own := make([]float64, r) // weight of one green in each round
	for i := 0; i < len(p.cells); {
		g := p.green[i]
		clear(own)
		for ; i < len(p.cells) && p.green[i] == g; i++ {
			own[p.round[i]] += w[i]
			b[p.round[i]] += w[i] * (p.cells[i].om - s.greenMean[g])
		}
		for j := range own {
			if own[j] == 0 {
				continue
			}
			info.SetSym(j, j, info.At(j, j)+own[j])
			for k := j; k < r; k++ {
				info.SetSym(j, k, info.At(j, k)-own[j]*own[k]/s.greenW[g])
			}
		}
	}
	return info, b
}

// turn takes the round effects to the axes of L. The first parts axes carry no information.
func (s *swept) turn(info *mat.SymDense, b, t []float64, parts int) {
	r := len(b)
	var eigen mat.EigenSym
	s.axes, s.lambda, s.effects = mat.NewDense(r, r, nil), make([]float64, r), make([]float64, r)
	if !eigen.Factorize(info, true) { // symmetric and finite: happens to no data that passed check
		return
	}
	eigen.VectorsTo(s.axes)
	eigen.Values(s.lambda) // ascending
	for l := range s.lambda {
		if l < parts {
			s.lambda[l] = 0
			continue
		}
		var qb, qt float64
		for j := range b {
			qb += s.axes.At(j, l) * b[j]
			qt += s.axes.At(j, l) * t[j]
		}
		z := qb / s.lambda[l]
		s.z, s.x, s.v = append(s.z, z), append(s.x, qt), append(s.v, 1/s.lambda[l])
		for j := range b {
			s.effects[j] += s.axes.At(j, l) * z
		}
	}
}

// residuals fills in the weighted residual sum of squares of the fit with green and round effects.
func (p *panel) residuals(w []float64, s *swept) {
	centre := make([]float64, p.greens) // weighted mean effect of the rounds each green was in
	for i := range p.cells {
		centre[p.green[i]] += w[i] / s.greenW[p.green[i]] * s.effects[p.round[i]]
	}
	for i, c := range p.cells {
		g := p.green[i]
		d := c.om - s.greenMean[g] - (s.effects[p.round[i]] - centre[g])
		s.q += w[i] * d * d
		s.fall += w[i] * w[i] * d * d / c.cores
	}
}

// settle estimates σ_core² so that the residuals are as large as they should be, given the known
// measurement uncertainties, and says with how many degrees of freedom:
//
//	Σ r_ij²/(σ_core²/cores_ij + u_ij²) = n − G − (R − parts)
//
// Without repeated greens there are no residuals and the usual scatter of cores stands in.
func (p *panel) settle() swept {
	n, r := len(p.cells), len(p.rounds)
	p.residual = float64(n - p.greens - (r - p.parts))
	if p.residual <= 0 {
		p.residual, p.assumed = 0, true
		sd := coreScatter * meanOM(p.cells)
		p.coreVar = max(sd*sd, 1e-12)
		return p.sweep(p.coreVar)
	}
	bare := *p
	bare.cells = slices.Clone(p.cells)
	for i := range bare.cells {
		bare.cells[i].u = 0
	}
	high := bare.sweep(1).q / p.residual // the estimate if no measurement uncertainty were known
	if !p.measured() {
		p.coreVar = math.Max(high, 1e-12)
		return p.sweep(p.coreVar)
	}
	p.coreVar = falling(high, p.residual, func(x float64) (float64, float64) {
		s := p.sweep(math.Max(x, 1e-9*high+1e-12))
		return s.q, s.fall
	})
	p.coreVar = math.Max(p.coreVar, 1e-9*high+1e-12)
	return p.sweep(p.coreVar)
}

// measured reports whether any composite has a known measurement uncertainty.
func (p *panel) measured() bool {
	return slices.ContainsFunc(p.cells, func(c cell) bool { return c.u > 0 })
}
