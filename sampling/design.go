package sampling

import (
	"errors"
	"fmt"
	"math"
)

// Design is how one round is taken.
type Design struct {
	Greens         int  // greens sampled
	OnCourse       int  // greens there are; 0 where not known
	Cores          int  // cores from each green
	Determinations int  // determinations of each composite in the laboratory; of each core where Singly
	Singly         bool // every core is burnt for itself instead of all as one composite
	NewGreens      bool // other greens in every round, instead of the same ones
}

// Target is what a mean or slope is to stand for: GreensLikeThese, or exactly the n greens of a course as Target(n), of
// which a sample of all leaves nothing unsaid.
type Target int

// GreensLikeThese is the wider target: the greens sampled are an example of others, here or elsewhere.
const GreensLikeThese Target = 0

// left is the share of the variance between greens that a sample of g leaves, 1 − g/G: the finite population correction.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, section 2.6.
func (t Target) left(g int) float64 {
	if t == GreensLikeThese {
		return 1
	}
	return 1 - float64(g)/float64(t)
}

func (t Target) check(greens int) error {
	if t < 0 || t > 0 && greens > int(t) {
		return fmt.Errorf("target: exactly %d greens, of which %d are sampled: name as many as the course has, or 0 for greens like these", int(t), greens)
	}
	return nil
}

func (d Design) check() error {
	const doing = "design"
	switch {
	case d.Greens < 1:
		return fmt.Errorf("%s: %s: sample at least 1", doing, count(d.Greens, "green"))
	case d.Cores < 1:
		return fmt.Errorf("%s: %s a green: take at least 1", doing, count(d.Cores, "core"))
	case d.Determinations < 1:
		return fmt.Errorf("%s: %s a green: make at least 1", doing, count(d.Determinations, "determination"))
	case d.OnCourse < 0:
		return fmt.Errorf("%s: a course of %s: give the number there are, or 0 where it is not known", doing, count(d.OnCourse, "green"))
	case d.OnCourse > 0 && d.Greens > d.OnCourse:
		return fmt.Errorf("%s: %s of a course that has %d: sample %d at most", doing, count(d.Greens, "green"), d.OnCourse, d.OnCourse)
	case d.OnCourse > 0 && d.NewGreens && 2*d.Greens > d.OnCourse:
		return fmt.Errorf("%s: %s in each round, other ones every time, of a course that has %d: sample %d at most, or the same ones again",
			doing, count(d.Greens, "green"), d.OnCourse, d.OnCourse/2)
	}
	return nil
}

// within is the variance of one green's result about what the green held that day, σ_c²/cores + σ_l²/determinations.
func (d Design) within(c Components) float64 {
	determinations := d.Determinations
	if d.Singly {
		determinations *= d.Cores
	}
	return c.Core/float64(d.Cores) + c.Laboratory/float64(determinations)
}

// GreenMean is the estimate of one green's organic matter on the day: variance σ_c²/cores + σ_l²/determinations, and the
// cores' own degrees of freedom where they are burnt singly. A composite hides their scatter: 0 then.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 10.
func (c Components) GreenMean(d Design) (Estimate, error) {
	if err := first(c.check(), d.check()); err != nil {
		return Estimate{}, err
	}
	e := Estimate{Variance: d.within(c)}
	if d.Singly {
		e.DF = float64(d.Cores - 1)
	}
	return e, nil
}

// CourseMean is the estimate of the course's mean on the day, from one round:
//
//	Var = (1 − g/G)·σ_g²/g + (σ_c²/cores + σ_l²/determinations)/g      ν = g − 1
//
// with the correction 1 − g/G only where exactly these G greens are the target. What the date does to all greens is part
// of that day's mean and not counted; GreenTime neither, unless it is put into Green.
// Ignored: where all greens are sampled, ν is that of their spread, although only cores and laboratory are then in doubt.
// Source: Cochran, Sampling Techniques, 3rd ed. 1977, ch. 10, eq. 10.16 and following (number from memory).
func (c Components) CourseMean(d Design, target Target) (Estimate, error) {
	if err := first(c.check(), d.check(), target.check(d.Greens)); err != nil {
		return Estimate{}, err
	}
	return c.courseMean(d, target), nil
}

func (c Components) courseMean(d Design, target Target) Estimate {
	g := float64(d.Greens)
	return Estimate{Variance: (target.left(d.Greens)*c.Green + d.within(c)) / g, DF: g - 1}
}

// GreensForHalfWidth is the smallest number of greens, 2 at least, whose mean is known to ± half [points] at the given
// confidence, with the cores and determinations of the design; its own number of greens is not looked at. It stops at the
// number of greens on the course, where that is known.
// Source: as CourseMean, n solved for; Cochran, Sampling Techniques, 3rd ed. 1977, ch. 4.
func (c Components) GreensForHalfWidth(d Design, target Target, half, confidence float64) (int, error) {
	const doing = "greens for a half width"
	d.Greens = 1
	if err := first(c.check(), d.check(), target.check(1), positive(doing, "half width", half), checkConfidence(confidence)); err != nil {
		return 0, err
	}
	most := math.MaxInt32
	if d.OnCourse > 0 {
		most = d.OnCourse
	}
	if target > 0 {
		most = min(most, int(target))
	}
	if most < 2 {
		return 0, fmt.Errorf("%s: one green on the course has no scatter to judge by: ask for the mean of that green", doing)
	}
	width := func(greens int) float64 {
		d.Greens = greens
		return c.courseMean(d, target).halfWidth(confidence)
	}
	n, ok := smallest(2, most, func(n int) bool { return width(n) <= half })
	if !ok {
		return 0, fmt.Errorf("%s: ± %g points cannot be reached: all %s give ± %s; take more cores", doing, half, count(most, "green"), upTo(width(most)))
	}
	return n, nil
}

// Change is the estimate of the change of the course's mean between two rounds of this design:
//
//	Var = 2(σ_gt² + σ_c²/cores + σ_l²/determinations)/g + 2σ_r²      + 2σ_g²/g with other greens
//	ν = g − 1 with the same greens, each against itself; 2(g − 1) with others
//
// No finite population correction. Ignored: the greens' own slopes (a change that differs from green to green goes into
// GreenTime), and that two rounds cannot show what σ_r² is: it must be known from elsewhere.
// Source: derived; two-sample and paired comparison as in Cochran, Sampling Techniques, 3rd ed. 1977, ch. 2.
func (c Components) Change(d Design) (Estimate, error) {
	if err := first(c.check(), d.check()); err != nil {
		return Estimate{}, err
	}
	return c.change(d), nil
}

func (c Components) change(d Design) Estimate {
	g := float64(d.Greens)
	e := Estimate{Variance: 2*(c.GreenTime+d.within(c))/g + 2*c.Round, DF: g - 1}
	if d.NewGreens {
		e.Variance += 2 * c.Green / g
		e.DF *= 2
	}
	return e
}

// Slope is the estimate of the course's change a year from rounds of this design at the given times [years], the same
// greens every time:
//
//	Var = (σ_r² + (σ_gt² + σ_c²/cores + σ_l²/determinations)/g)/S_tt + (1 − g/G)·σ_b²/g      S_tt = Σ(t − t̄)²
//	ν = rounds − 2: the rounds are the evidence about a trend, not the composites
//
// with the correction only where exactly these G greens are the target. With other greens every time the round means
// are independent, with variance σ_r² + (σ_g² + 2·cov·t + σ_b²t² + σ_gt² + …)/g at time t, and the slope through them is
// weighted by that; the target is then greens like these. For rotating and missing greens see Trend.
// Source: generalised least squares, worked out for the balanced panel in docs/model/sampling.md.
func (c Components) Slope(d Design, times []float64, target Target) (Estimate, error) {
	if err := first(c.check(), d.check(), target.check(d.Greens), checkTimes(times)); err != nil {
		return Estimate{}, err
	}
	if d.NewGreens && target != GreensLikeThese {
		return Estimate{}, errors.New("slope: other greens in every round speak for greens like these, not for exactly the ones on the course")
	}
	return c.slope(d, times, target), nil
}

func (c Components) slope(d Design, times []float64, target Target) Estimate {
	g := float64(d.Greens)
	var w, wt, wtt float64
	weighted := func(center float64) {
		w, wt, wtt = 0, 0, 0
		for _, t := range times {
			weight := 1 / c.roundMean(d, t)
			w, wt, wtt = w+weight, wt+weight*(t-center), wtt+weight*(t-center)*(t-center)
		}
	}
	weighted(times[0])
	weighted(times[0] + wt/w) // about the mean time, so that nothing is lost to large years
	e := Estimate{Variance: 1 / (wtt - wt*wt/w), DF: float64(len(times) - 2)}
	if !d.NewGreens {
		e.Variance += target.left(d.Greens) * c.GreenSlope / g
	}
	return e
}

// roundMean is the variance of one round's mean about the line that the slope is of.
func (c Components) roundMean(d Design, t float64) float64 {
	v := c.GreenTime + d.within(c)
	if d.NewGreens {
		t -= c.Origin
		v += c.Green + 2*c.LevelSlope*t + c.GreenSlope*t*t
	}
	return max(least, c.Round+v/float64(d.Greens))
}

func checkTimes(times []float64) error {
	const doing = "slope"
	if len(times) == 0 {
		return fmt.Errorf("%s: no rounds: give the years of at least 2, of 3 to tell a trend from chance", doing)
	}
	apart := false
	for _, t := range times {
		if !isYear(t) {
			return fmt.Errorf("%s: a round at year %g: give its date", doing, t)
		}
		apart = apart || t != times[0]
	}
	if !apart {
		return fmt.Errorf("%s: %s, all on one date: give rounds of at least 2 dates", doing, count(len(times), "round"))
	}
	return nil
}

// first is the first error there is.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
