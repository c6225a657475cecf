package calibrate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Sample is draws from the posterior itself, with the spreads drawn along.
type Sample struct {
	Theta     [][]float64 // draws by unknown, in the order of Fit.Mode
	Spreads   []Spreads
	Evaluated int       // runs of the course it took
	Effective []float64 // by unknown: independent draws these are worth (initial monotone sequence)
}

// Sample draws from the posterior by elliptical slice sampling (Murray, Adams & MacKay 2010, JMLR W&CP 9:541–548) on
// an ellipse of the normal at the mode (as Nishihara, Murray & Adams 2014, JMLR 15:2087–2112), which needs no tuning
// and no derivative, and Gibbs steps for the spreads. draws are kept after as many/4 are thrown away; every thin-th
// counts.
func (f *Fit) Sample(draws, thin int, seed uint64, progress func(done, of int)) (*Sample, error) {
	if draws < 10 || thin < 1 {
		return nil, fmt.Errorf("sampling a calibration: %d draws, every %d: give 10 or more and every 1 or more", draws, thin)
	}
	p, err := newProblem(f.Course, false)
	if err != nil {
		return nil, err
	}
	l, err := newLinear(p, f.Prior)
	if err != nil {
		return nil, err
	}
	l.spreads = f.Spreads
	l.spreads.Composite = slices.Clone(f.Spreads.Composite)
	w := &walk{f: f, p: p, l: l, rng: rand.New(rand.NewPCG(seed, 0x5eed)), theta: slices.Clone(f.Mode), white: make([]float64, len(f.Mode))}
	if err := p.run(w.theta); err != nil {
		return nil, err
	}
	s := &Sample{}
	burn := draws / 4
	for i := range burn + draws {
		for range thin {
			if err := w.turn(); err != nil {
				return nil, err
			}
			w.gibbs()
		}
		if progress != nil {
			progress(i+1, burn+draws)
		}
		if i >= burn {
			s.Theta = append(s.Theta, slices.Clone(w.theta))
			kept := l.spreads
			kept.Composite = slices.Clone(l.spreads.Composite)
			s.Spreads = append(s.Spreads, kept)
		}
	}
	s.Evaluated = w.runs
	for j := range f.Mode {
		s.Effective = append(s.Effective, effective(s.Theta, j))
	}
	return s, nil
}

// walk is a sampler on its way.
type walk struct {
	f     *Fit
	p     *problem
	l     *linear
	rng   *rand.Rand
	theta []float64
	white []float64 // theta = mode + wide·lower·white
	runs  int
}

// wide is how much wider than the normal at the mode the ellipses are, so that the tails are reached.
const wide = 1.2

// place gives theta of white coordinates.
func (w *walk) place(white []float64) []float64 {
	theta := slices.Clone(w.f.Mode)
	for i := range theta {
		for j := 0; j <= i; j++ {
			theta[i] += wide * w.f.lower.At(i, j) * white[j]
		}
	}
	return theta
}

// ratio is the logarithm of posterior over reference density after a run at theta.
func (w *walk) ratio(theta, white []float64) float64 {
	var sum float64
	for _, v := range white {
		sum += v * v
	}
	return sum/2 - w.l.objective(theta)
}

// turn is one step on an ellipse through the present place.
func (w *walk) turn() error {
	nu := make([]float64, len(w.white))
	for i := range nu {
		nu[i] = w.rng.NormFloat64()
	}
	level := w.ratio(w.theta, w.white) + math.Log(1-w.rng.Float64())
	angle := 2 * math.Pi * w.rng.Float64()
	low, high := angle-2*math.Pi, angle
	for {
		white := make([]float64, len(nu))
		sin, cos := math.Sincos(angle)
		for i := range white {
			white[i] = w.white[i]*cos + nu[i]*sin
		}
		theta := w.place(white)
		w.runs++
		if err := w.p.run(theta); err == nil && w.ratio(theta, white) > level {
			w.theta, w.white = theta, white
			return nil
		}
		if angle < 0 {
			low = angle
		} else {
			high = angle
		}
		if high-low < 1e-12 {
			return w.p.run(w.theta)
		}
		angle = low + (high-low)*w.rng.Float64()
	}
}

// gibbs draws the spreads given the place.
func (w *walk) gibbs() {
	at, s, prior := w.p.at, &w.l.spreads, &w.f.Prior
	squares := func(from, to int) float64 {
		var sum float64
		for _, v := range w.theta[from:to] {
			sum += v * v
		}
		return sum
	}
	greens, blocks := float64(len(w.p.greens)), float64(len(w.p.blocks))
	s.GreenGrowth = prior.GreenGrowth.draw(w.rng, squares(at.growth, at.surface), greens)
	s.GreenSurface = prior.GreenSurface.draw(w.rng, squares(at.surface, at.block), greens)
	s.Discrepancy = prior.Discrepancy.draw(w.rng, squares(at.block, at.n), blocks)
	sums, counts := make([]float64, len(w.p.layers)+1), make([]float64, len(w.p.layers)+1)
	for i := range w.p.rows {
		r := &w.p.rows[i]
		left := w.p.residual(w.theta, r) - w.l.skew(r)
		sums[r.group] += left * left / r.thin
		counts[r.group]++
	}
	for g, layer := range w.p.layers {
		s.Composite[g] = prior.Composite(layer.Top).draw(w.rng, sums[g], counts[g])
	}
	last := len(w.p.layers)
	s.Mass = prior.Mass.draw(w.rng, sums[last], counts[last])
}

// draw gives a standard deviation from its distribution after n squares of that sum.
func (s Spread) draw(rng *rand.Rand, sum, n float64) float64 {
	chi := distuv.ChiSquared{K: s.Worth + n, Src: rng}.Rand()
	return math.Sqrt((s.Worth*s.SD*s.SD + sum) / chi)
}

// effective gives the number of independent draws by Geyer's initial monotone sequence (Geyer 1992, Stat Sci 7:473–483).
func effective(draws [][]float64, j int) float64 {
	n := len(draws)
	var mean float64
	for _, d := range draws {
		mean += d[j] / float64(n)
	}
	cov := func(lag int) float64 {
		var sum float64
		for i := range n - lag {
			sum += (draws[i][j] - mean) * (draws[i+lag][j] - mean)
		}
		return sum / float64(n)
	}
	zero := cov(0)
	if zero == 0 {
		return float64(n)
	}
	sum, last := -zero, math.Inf(1)
	for lag := 0; lag+1 < n; lag += 2 {
		pair := min(cov(lag)+cov(lag+1), last)
		if pair <= 0 {
			break
		}
		sum += 2 * pair
		last = pair
	}
	return min(float64(n)*zero/max(sum, zero/float64(n)), float64(n))
}
