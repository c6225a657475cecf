package calibrate

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// proposal is the normal distribution at the mode over what moves a column: the course's unknowns and the greens'
// factors. Discrepancies and the corer are averaged out exactly.
type proposal struct {
	f     *Fit
	at    []int // places in Mode
	lower *mat.TriDense
}

func (f *Fit) proposal() (*proposal, error) {
	p := &proposal{f: f}
	for i := range f.problem.at.block {
		if i != f.problem.at.corer {
			p.at = append(p.at, i)
		}
	}
	cov := mat.NewSymDense(len(p.at), nil)
	for i, a := range p.at {
		for j := i; j < len(p.at); j++ {
			cov.SetSym(i, j, f.Cov.At(a, p.at[j]))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return nil, fmt.Errorf("drawing from a calibration: the covariance at the mode is not positive definite")
	}
	p.lower = new(mat.TriDense)
	chol.LTo(p.lower)
	return p, nil
}

// broader is by how much the proposal is wider than the curvature at the mode says, so that its tails cover those of the
// posterior. On ten simulated courses of 1 to 40 greens 800 draws are then worth 158 (with 1: 144, 1.1: 155, 1.15: 144). Finding the
// mean with a first quarter of the draws and drawing the rest about it is worth less: in so many directions it is not known well enough.
const broader = 1.05

// draw gives a place in the order of Mode, with no discrepancy, and minus the logarithm of the proposal's density
// there up to a constant.
func (p *proposal) draw(rng *rand.Rand) (theta []float64, cost float64) {
	z := make([]float64, len(p.at))
	for i := range z {
		z[i] = rng.NormFloat64()
		cost += z[i] * z[i] / 2
	}
	theta = make([]float64, len(p.f.Mode))
	for i, a := range p.at {
		v := p.f.Mode[a]
		for j := 0; j <= i; j++ {
			v += broader * p.lower.At(i, j) * z[j]
		}
		theta[a] = v
	}
	return theta, cost
}

// cost is minus the logarithm of the posterior density of what moves the columns, after a run at theta, up to a
// constant: discrepancies and corer averaged out,
//
//	−ln p(r) = ½[Σ r²/v − (Σ r/v)²/(Σ 1/v + 1/τ²)]
//
// for the residuals r of a block with variances v and shared variance τ², and likewise the spreads between greens,
//
//	−ln p(u) = ½(ν + n)·ln(ν·s² + Σ u²)
//
// for the factors u of n greens whose spread lies about s, worth ν greens.
func (l *linear) cost(theta []float64) float64 {
	p := l.p
	blocks := len(p.blocks)
	rr, r1, w := make([]float64, blocks+1), make([]float64, blocks+1), make([]float64, blocks+1)
	for i := range p.rows {
		r := &p.rows[i]
		seen := p.greens[r.green].out.Seen[r.sight]
		b, value := r.block, r.value-l.skew(r)
		if r.mass {
			b = blocks
			value -= math.Log(seen.Mass())
		} else {
			value -= math.Log(seen.OM())
		}
		v := 1 / l.variance(r)
		rr[b] += v * value * value
		r1[b] += v * value
		w[b] += v
	}
	var sum float64
	for b := range rr {
		shared := l.spreads.Discrepancy
		if b == blocks {
			shared = l.prior.Corer
		}
		sum += rr[b] - r1[b]*r1[b]/(w[b]+1/(shared*shared))
	}
	m := int(profile.Unknowns)
	for j := range m {
		for k := range m {
			sum += (theta[j] - l.prior.Mean[j]) * l.precision.At(j, k) * (theta[k] - l.prior.Mean[k])
		}
	}
	sum += l.prior.GreenGrowth.averaged(theta[p.at.growth:p.at.surface])
	sum += l.prior.GreenSurface.averaged(theta[p.at.surface:p.at.block])
	return sum / 2
}

// averaged is minus twice the logarithm of the density of normal numbers whose spread is averaged out, up to a constant.
func (s Spread) averaged(list []float64) float64 {
	sum := s.Worth * s.SD * s.SD
	for _, v := range list {
		sum += v * v
	}
	return (s.Worth + float64(len(list))) * math.Log(sum)
}

// Weighed is places drawn near the mode with weights that make them draws from the posterior.
type Weighed struct {
	Theta     [][]float64
	Weights   []float64 // sum 1
	Effective float64   // independent draws they are worth
	Shape     float64   // of the tail of the raw weights; above 0.7 the weights are not to be trusted (Vehtari et al. 2024, JMLR 25:1–58)

	logs []float64 // of posterior over proposal
}

// Weigh draws places from the normal distribution of the mode's curvature and weighs them by posterior over proposal, with the
// largest weights smoothed by a generalised Pareto tail. When the weights are not to be trusted as many draws again are
// added, up to twice.
func (f *Fit) Weigh(draws int, seed uint64, workers int) (*Weighed, error) {
	q, err := f.proposal()
	if err != nil {
		return nil, err
	}
	w := new(Weighed)
	for again := 0; ; again++ {
		if err = q.weigh(w, draws, seed, max(workers, 1)); err != nil || w.Shape <= trusted || again == mostAgain {
			return w, err
		}
	}
}

// mostAgain is how often draws are added when their weights are not to be trusted.
const mostAgain = 2

// scale makes the course ready to be run and weighed, with long steps.
func (f *Fit) scale() (*linear, error) {
	course := *f.Course
	course.Settings.Step = usualStep
	p, err := newProblem(&course, false)
	if err != nil {
		return nil, err
	}
	l, err := newLinear(p, f.Prior)
	if err == nil {
		l.spreads = f.Spreads
	}
	return l, err
}

// weigh adds draws and weighs all of them anew.
func (p *proposal) weigh(w *Weighed, draws int, seed uint64, workers int) error {
	first := len(w.Theta)
	w.Theta = append(w.Theta, make([][]float64, draws)...)
	w.logs = append(w.logs, make([]float64, draws)...)
	lost := make([]error, workers)
	err := side(workers, func(worker int) error {
		l, err := p.f.scale()
		if err != nil {
			return err
		}
		for i := first + worker; i < len(w.Theta); i += workers {
			theta, cost := p.draw(drawing(seed, i))
			w.Theta[i] = theta
			if err := l.p.run(theta); err != nil { // a place that no column can be at
				w.logs[i], lost[worker] = math.Inf(-1), err
				continue
			}
			w.logs[i] = cost - l.cost(theta)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if math.IsInf(slices.Max(w.logs), -1) {
		return fmt.Errorf("drawing from a calibration: none of %d draws could be run: %w", len(w.logs), errors.Join(lost...))
	}
	w.settle()
	return nil
}

// drawing gives the chance of a draw.
func drawing(seed uint64, draw int) *rand.Rand { return rand.New(rand.NewPCG(seed, uint64(draw))) }

// settle turns the logarithms of the weights into weights.
func (w *Weighed) settle() {
	w.Weights, w.Shape = smooth(w.logs)
	var squares float64
	for _, v := range w.Weights {
		squares += v * v
	}
	w.Effective = 1 / squares
}

// smooth turns logarithms of weights into weights that sum to 1, with the largest replaced by quantiles of a generalised
// Pareto distribution fitted to them (Zhang & Stephens 2009, Technometrics 51:316–325; Vehtari et al. 2024). The shape is +∞ where
// a few draws outweigh the rest so far that no tail can be fitted, 0 where there are too few draws to have a tail.
func smooth(logs []float64) (weights []float64, shape float64) {
	n := len(logs)
	largest := slices.Max(logs)
	weights = make([]float64, n)
	order := make([]int, n)
	for i, v := range logs {
		weights[i] = math.Exp(v - largest)
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case logs[a] < logs[b]:
			return -1
		case logs[a] > logs[b]:
			return 1
		}
		return a - b
	})
	tail := min(n/5, int(3*math.Sqrt(float64(n))))
	if tail >= 5 {
		cut := weights[order[n-tail-1]]
		over := make([]float64, tail)
		for j := range tail {
			over[j] = weights[order[n-tail+j]] - cut
		}
		switch {
		case over[tail-1] <= 0: // as many weights as that are alike: bounded
		case over[0] <= 0: // the others are nothing beside the largest
			shape = math.Inf(1)
		default:
			var scale float64
			shape, scale = pareto(over)
			if math.IsNaN(shape) {
				shape = math.Inf(1)
			} else {
				for j := range tail {
					p := (float64(j) + 0.5) / float64(tail)
					v := -scale * math.Log1p(-p)
					if shape != 0 {
						v = scale * math.Expm1(-shape*math.Log1p(-p)) / shape
					}
					weights[order[n-tail+j]] = min(cut+v, 1)
				}
			}
		}
	}
	var sum float64
	for _, v := range weights {
		sum += v
	}
	for i := range weights {
		weights[i] /= sum
	}
	return weights, shape
}

// pareto fits a generalised Pareto distribution to sorted positive values by the method of Zhang & Stephens (2009), with
// the weak prior on the shape of Vehtari et al. (2024, appendix G: 10 observations at 0.5).
func pareto(x []float64) (shape, scale float64) {
	n := float64(len(x))
	grid := 30 + int(math.Sqrt(n))
	quarter := x[int(n/4+0.5)-1]
	last := x[len(x)-1]
	theta, logs := make([]float64, grid), make([]float64, grid)
	for j := range grid {
		theta[j] = 1/last + (1-math.Sqrt(float64(grid)/(float64(j)+0.5)))/(3*quarter)
		var k float64
		for _, v := range x {
			k += math.Log1p(-theta[j]*v) / n
		}
		logs[j] = n * (math.Log(-theta[j]/k) - k - 1)
	}
	var mean, total float64
	top := slices.Max(logs)
	for j := range grid {
		w := math.Exp(logs[j] - top)
		mean += w * theta[j]
		total += w
	}
	mean /= total
	for _, v := range x {
		shape += math.Log1p(-mean*v) / n
	}
	scale = -shape / mean
	shape = shape*n/(n+10) + 0.5*10/(n+10)
	return shape, scale
}
