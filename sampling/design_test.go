package sampling

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"underfoot/internal/reference"
)

// sums are the letters the reference cases use.
type sums struct {
	G, C, M                       int
	SG2, SGT2, SR2, SB2, SC2, SL2 float64
}

func (s sums) components() Components {
	return Components{Green: s.SG2, GreenTime: s.SGT2, Round: s.SR2, GreenSlope: s.SB2, Core: s.SC2, Laboratory: s.SL2}
}

func TestNestedVariance(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/nested.json") {
		var in struct {
			OnCourse      int `json:"G"`
			Greens        int `json:"g"`
			C, M          int
			SG2, SC2, SL2 float64
			Composite     bool
			FPC           bool `json:"fpc_for_greens"`
		}
		var want struct {
			Course   float64 `json:"var_course_mean"`
			CourseSD float64 `json:"sd_course_mean"`
			Green    float64 `json:"var_green_mean"`
			GreenSD  float64 `json:"sd_one_composite"`
			Likeness float64 `json:"icc_core"`
			Effect   float64 `json:"design_effect"`
		}
		c.Decode(t, &in, &want)
		k := Components{Green: in.SG2, Core: in.SC2, Laboratory: in.SL2}
		d := Design{Greens: in.Greens, OnCourse: in.OnCourse, Cores: in.C, Determinations: in.M, Singly: !in.Composite}
		target := GreensLikeThese
		if in.FPC {
			target = Target(in.OnCourse)
		}
		course, err := k.CourseMean(d, target)
		fatal(t, err)
		green, err := k.GreenMean(d)
		fatal(t, err)
		c.Near(t, "variance of the course mean", course.Variance, want.Course)
		c.Near(t, "its standard error", course.SE(), want.CourseSD)
		c.Near(t, "variance of a green", green.Variance, want.Green)
		likeness, err := k.Likeness()
		fatal(t, err)
		c.Near(t, "likeness", likeness, want.Likeness)
		effect, err := k.DesignEffect(in.C)
		fatal(t, err)
		c.Near(t, "design effect", effect, want.Effect)
		// The reference gives the standard deviation of one composite, whatever else the case is about.
		d.Singly = false
		one, err := k.GreenMean(d)
		fatal(t, err)
		if in.Composite {
			c.Near(t, "standard deviation of a composite", one.SE(), want.GreenSD)
		}
	}
}

func TestCompositeVariance(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/composite.json") {
		var in sums
		var want struct{ Variance float64 }
		c.Decode(t, &in, &want)
		e, err := in.components().CourseMean(Design{Greens: in.G, Cores: in.C, Determinations: in.M}, GreensLikeThese)
		fatal(t, err)
		c.Near(t, "variance", e.Variance, want.Variance)
	}
}

func TestChange(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/change.json") {
		var in struct {
			OnCourse                 int `json:"G"`
			Greens                   int `json:"g"`
			C, M                     int
			SG2, SGT2, SR2, SC2, SL2 float64
			Delta                    float64
			Same                     bool `json:"same_greens"`
		}
		var want struct {
			Variance, DF, NCP, Power, Smallest float64
			TCrit                              float64 `json:"t_crit"`
		}
		c.Decode(t, &in, &want)
		k := Components{Green: in.SG2, GreenTime: in.SGT2, Round: in.SR2, Core: in.SC2, Laboratory: in.SL2}
		d := Design{Greens: in.Greens, OnCourse: in.OnCourse, Cores: in.C, Determinations: in.M}
		if !in.Same {
			// Some cases take other greens than the course has left; the formula does not know the course's size.
			d.NewGreens, d.OnCourse = true, 0
		}
		e, err := k.Change(d)
		fatal(t, err)
		c.Near(t, "variance", e.Variance, want.Variance)
		c.Near(t, "degrees of freedom", e.DF, want.DF)
		c.Near(t, "critical t", UsualTest().critical(e.DF), want.TCrit)
		c.Near(t, "offset", in.Delta/e.SE(), want.NCP)
		power, err := e.Power(in.Delta, UsualTest())
		fatal(t, err)
		c.Near(t, "power", power, want.Power)
		smallest, err := e.SmallestVisible(UsualTest())
		fatal(t, err)
		c.Near(t, "smallest visible change", smallest, want.Smallest)
	}
}

func TestSlope(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/slope.json") {
		var in struct {
			T                        []float64
			G, C, M                  int
			SB2, SGT2, SR2, SC2, SL2 float64
			Beta                     float64
		}
		var want struct {
			Variance, SE, SXX, DF, NCP, Power float64
			GLS                               float64 `json:"gls_variance"`
			TCrit                             float64 `json:"t_crit"`
		}
		c.Decode(t, &in, &want)
		k := Components{GreenSlope: in.SB2, GreenTime: in.SGT2, Round: in.SR2, Core: in.SC2, Laboratory: in.SL2}
		d := Design{Greens: in.G, Cores: in.C, Determinations: in.M}
		e, err := k.Slope(d, in.T, GreensLikeThese)
		fatal(t, err)
		c.Near(t, "variance", e.Variance, want.Variance)
		c.Near(t, "standard error", e.SE(), want.SE)
		c.Near(t, "degrees of freedom", e.DF, want.DF)
		c.Near(t, "critical t", UsualTest().critical(e.DF), want.TCrit)
		c.Near(t, "offset", math.Abs(in.Beta)/e.SE(), want.NCP)
		power, err := e.Power(in.Beta, UsualTest())
		fatal(t, err)
		c.Near(t, "power", power, want.Power)
		trend, err := k.Trend(balanced(d, in.T), GreensLikeThese)
		fatal(t, err)
		slope, err := trend.Slope()
		fatal(t, err)
		c.Near(t, "variance by generalised least squares", slope.Variance, want.GLS)
	}
}

func TestTrendOfArbitraryPanels(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/gls.json") {
		var in struct {
			Components struct{ SG2, SB2, SGB, SR2, SGT2, SC2, SL2 float64 }
			Green      []int
			Round, K   []int
			T          []float64
		}
		var want struct {
			VCov [2][2]float64
			SE   float64 `json:"se_slope"`
		}
		c.Decode(t, &in, &want)
		s := in.Components
		k := Components{Green: s.SG2, GreenSlope: s.SB2, LevelSlope: s.SGB, Round: s.SR2, GreenTime: s.SGT2, Core: s.SC2, Laboratory: s.SL2}
		var panel []Composite
		for i := range in.T {
			panel = append(panel, Composite{fmt.Sprint(in.Green[i]), fmt.Sprint(in.Round[i]), in.T[i], in.K[i], 1})
		}
		trend, err := k.Trend(panel, GreensLikeThese)
		fatal(t, err)
		slope, err := trend.Slope()
		fatal(t, err)
		c.Near(t, "standard error of the slope", slope.SE(), want.SE)
		c.Near(t, "variance of the slope", slope.Variance, want.VCov[1][1])
		for _, year := range []float64{0, 1, 2.5, 4} {
			e, err := trend.Level(year)
			fatal(t, err)
			c.Near(t, fmt.Sprint("variance of the level at ", year), e.Variance, want.VCov[0][0]+2*year*want.VCov[0][1]+year*year*want.VCov[1][1])
		}
	}
}

func TestGreensForHalfWidth(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/half_width.json") {
		var in struct {
			SG2, SC2, SL2, H float64
			C, M             int
			OnCourse         int `json:"G"`
			FPC              bool
		}
		var want struct {
			Greens    int
			HalfWidth float64 `json:"half_width"`
			OneFewer  float64 `json:"one_fewer"`
		}
		c.Decode(t, &in, &want)
		k := Components{Green: in.SG2, Core: in.SC2, Laboratory: in.SL2}
		d := Design{OnCourse: in.OnCourse, Cores: in.C, Determinations: in.M}
		target := GreensLikeThese
		if in.FPC {
			target = Target(in.OnCourse)
		}
		greens, err := k.GreensForHalfWidth(d, target, in.H, 0.95)
		fatal(t, err)
		if greens != want.Greens {
			t.Errorf("%s: %d greens, want %d", c.ID, greens, want.Greens)
		}
		for n, w := range map[int]float64{want.Greens: want.HalfWidth, want.Greens - 1: want.OneFewer} {
			d.Greens = n
			e, err := k.CourseMean(d, target)
			fatal(t, err)
			half, err := e.HalfWidth(0.95)
			fatal(t, err)
			c.Near(t, fmt.Sprint("half width of ", n), half, w)
		}
	}
}

// Published simulations, and ours: greens drawn from a course without putting back, cores from each, determinations of the
// composite. The variance of the mean over rounds must be the formula's, within 4 of its own standard errors.
func TestSimulatedRounds(t *testing.T) {
	for i, c := range reference.Load(t, "testdata/reference/simulated.json") {
		var in struct {
			OnCourse          int `json:"G"`
			Greens            int `json:"g"`
			C, M              int
			SG2, SC2, SL2, SE float64
			FPC               bool
		}
		var want struct{ Simulated, Formula float64 }
		c.Decode(t, &in, &want)
		k := Components{Green: in.SG2, Core: in.SC2, Laboratory: in.SL2}
		d := Design{Greens: in.Greens, OnCourse: in.OnCourse, Cores: in.C, Determinations: in.M}
		target := GreensLikeThese
		if in.FPC {
			target = Target(in.OnCourse)
		}
		e, err := k.CourseMean(d, target)
		fatal(t, err)
		c.Near(t, "variance", e.Variance, want.Formula)
		if off := math.Abs(e.Variance - want.Simulated); off > 4*in.SE {
			t.Errorf("%s: %g off the simulated variance, whose standard error is %g", c.ID, off, in.SE)
		}
		rng := rand.New(rand.NewPCG(20260101, uint64(i)))
		simulated, se := simulate(40_000, func() float64 { return k.simulateMean(d, target, rng) })
		if off := math.Abs(e.Variance - simulated); off > 4*se {
			t.Errorf("%s: variance %g by formula, %g ± %g simulated", c.ID, e.Variance, simulated, se)
		}
	}
}

// simulateMean draws the error of one round's mean: about the wider mean, or about that of exactly the target's greens.
func (c Components) simulateMean(d Design, target Target, rng *rand.Rand) float64 {
	all := max(d.Greens, int(target))
	var truth, sampled float64
	for i := range all {
		level := math.Sqrt(c.Green) * rng.NormFloat64()
		truth += level / float64(all)
		if i < d.Greens { // greens are alike beforehand: the first ones are as good as any
			sampled += (level + math.Sqrt(d.within(c))*rng.NormFloat64()) / float64(d.Greens)
		}
	}
	if target == GreensLikeThese {
		truth = 0
	}
	return sampled - truth
}

// simulate gives the mean square of n draws whose mean is 0, and its standard error.
func simulate(n int, draw func() float64) (variance, se float64) {
	var sum, sum2 float64
	for range n {
		v := draw()
		sum, sum2 = sum+v*v, sum2+v*v*v*v
	}
	variance = sum / float64(n)
	return variance, math.Sqrt((sum2/float64(n) - variance*variance) / float64(n))
}

// Trends simulated from the components, fitted by ordinary least squares through the round means, tested against their
// own scatter: the share that the test calls must be the power worked out, within 4 of its standard errors.
func TestSimulatedTrends(t *testing.T) {
	k := Components{Green: 0.2, GreenTime: 0.03, Round: 0.02, Core: 0.6, Laboratory: 0.01}
	d := Design{Greens: 6, Cores: 5, Determinations: 1}
	times := []float64{0, 0.5, 1, 1.5, 2, 2.5}
	const beta, n = 0.25, 40_000
	e, err := k.Slope(d, times, GreensLikeThese)
	fatal(t, err)
	want, err := e.Power(beta, UsualTest())
	fatal(t, err)
	rng := rand.New(rand.NewPCG(20260102, 0))
	seen, crit := 0, UsualTest().critical(e.DF)
	for range n {
		means := make([]float64, len(times))
		for j, at := range times {
			means[j] = beta*at + math.Sqrt(k.Round)*rng.NormFloat64()
			for range d.Greens {
				green := math.Sqrt(k.GreenTime) * rng.NormFloat64()
				var cores float64
				for range d.Cores {
					cores += math.Sqrt(k.Core) * rng.NormFloat64() / float64(d.Cores)
				}
				means[j] += (green + cores + math.Sqrt(k.Laboratory)*rng.NormFloat64()) / float64(d.Greens)
			}
		}
		if math.Abs(tOfLine(times, means)) > crit {
			seen++
		}
	}
	got := float64(seen) / n
	if se := math.Sqrt(want * (1 - want) / n); math.Abs(got-want) > 4*se {
		t.Errorf("a slope of %g was called in %g of simulated courses, %g worked out (± %g)", beta, got, want, se)
	}
}

// tOfLine is the slope of y on x over its standard error.
func tOfLine(x, y []float64) float64 {
	var mx, my, sxx, sxy, rss float64
	n := float64(len(x))
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		sxx, sxy = sxx+(x[i]-mx)*(x[i]-mx), sxy+(x[i]-mx)*(y[i]-my)
	}
	for i := range x {
		r := y[i] - my - sxy/sxx*(x[i]-mx)
		rss += r * r
	}
	return sxy / sxx / math.Sqrt(rss/(n-2)/sxx)
}

// balanced is the panel of a design with the same greens in every round, or with others where it says so.
func balanced(d Design, times []float64) []Composite {
	var panel []Composite
	for j, at := range times {
		for i := range d.Greens {
			green := fmt.Sprint("green ", i)
			if d.NewGreens {
				green = fmt.Sprint("green ", i, " of round ", j)
			}
			panel = append(panel, Composite{green, fmt.Sprint("round ", j), at, d.Cores, d.Determinations})
		}
	}
	return panel
}
