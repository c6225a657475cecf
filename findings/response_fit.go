package findings

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"underfoot/mixed"
)

// yearsApart is how many years the readings must cover for what one year does to all its days to be told from what its days do (common
// practice, no source).
const yearsApart = 3

// fit fits the models of Respond and reads slopes, spreads and shares off them.
func (r *Response) fit(s *responseRows) error {
	typical := s.typical(r.Band)
	r.TypicalWater, r.TypicalOM = typical(waterOf), typical(omOf)
	om, water := centred(s.column(omOf), r.TypicalOM), centred(s.column(waterOf), r.TypicalWater)
	r.SeenLow, r.SeenHigh = slices.Min(s.column(omOf)), slices.Max(s.column(omOf))
	r.Reliability = s.days.reliability(s.omDays())
	wave := s.wave(typical, om)
	both, err := s.model(s.column(firmOf), []string{"om", "water", "water of the day", "water of the green in the quarter"},
		[][]float64{om, water, s.meansOf(water, dayOf), s.meansOf(water, greenQuarter)}, wave)
	if err != nil {
		return err
	}
	if r.Water, err = both.slope("water"); err != nil {
		return err
	}
	if r.Season = both.wave != nil; !r.Season {
		wave = nil
	}
	dry := s.column(firmOf)
	for i := range dry {
		dry[i] -= r.Water.Value * water[i]
	}
	var fits [3]*responseModel
	for k, y := range [][]float64{dry, s.column(firmOf), s.column(waterOf)} {
		if fits[k], err = s.plain(y, append([]string{"om"}, both.wave...), append([][]float64{om}, wave...)); err != nil {
			return err
		}
	}
	direct, total := fits[0], fits[1]
	for k, to := range []*OMSlope{&r.Direct, &r.Total, &r.WaterOnOM} {
		if *to, err = fits[k].slope("om"); err != nil {
			return err
		}
		*to = to.capped(s.pieces()).along(s.lean(fits[k]))
	}
	r.Direct = r.Direct.with(r.WaterOnOM.Value, r.Water)
	r.Through = through(r.Water, r.WaterOnOM)
	r.Beyond, r.All = direct.explained(r.Direct, water, r.Water.Value), total.explained(r.Total, nil, 0)
	r.GreenSD, r.DaySD, r.Sigma = direct.spread("green"), direct.spread("day"), direct.fitted.Sigma
	r.Tells = !r.Direct.zero()
	r.Against = r.Tells && (r.Direct.Value < 0) != (wordsOf(r.Kind).underAsks == Lower)
	return r.line(s, direct)
}

// pieces is how many differences in organic matter there are to judge a slope by, the slope itself taken off: between greens and between
// years, however many readings lie in them.
func (s *responseRows) pieces() float64 {
	years := map[string]bool{}
	for _, r := range s.rows {
		years[yearOf(r)] = true
	}
	return math.Max(1, float64(s.greens-1+len(years)-1-1))
}

// capped holds the degrees of freedom to at most so many.
func (b OMSlope) capped(df float64) OMSlope {
	b.DF = math.Min(b.DF, df)
	return b.bounded()
}

// lean is the relative variance of a slope on organic matter that comes from the slope of the trend it rests on:
//
//	γ²·se²    γ = slope of t on x, weighted as the slope of the readings is
//
// t is time [years], x organic matter [%], se the standard error of the trend [points a year]: a trend that is too steep by one point a year makes
// a slope too flat by the share γ. It is no scatter about x, which the readings would show. To first order in se.
func (s *responseRows) lean(m *responseModel) float64 {
	if !s.days.top.Trend.Estimated {
		return 0
	}
	d := *m.design
	d.Y, d.Weights = s.column(func(r responseRow) float64 { return r.om.years }), ones(len(d.Y))
	om := combination{fixed: make([]float64, len(d.Names))}
	om.fixed[slices.Index(d.Names, "om")] = 1
	for _, t := range d.Terms {
		om.random = append(om.random, make([]float64, len(t.Levels)))
	}
	gamma, _, ok := newEquations(&d, m.fitted).covariance([]combination{om}, variancesOf(m.design, m.fitted))
	if !ok {
		return 0
	}
	return math.Pow(gamma[0]*s.days.top.Trend.SE, 2)
}

// along adds a relative variance.
func (b OMSlope) along(relative float64) OMSlope {
	b.SE = math.Sqrt(b.SE*b.SE + relative*b.Value*b.Value)
	return b.bounded()
}

func (b OMSlope) bounded() OMSlope {
	half := quantile(0.975, b.DF) * b.SE
	b.Lower95, b.Upper95 = b.Value-half, b.Value+half
	return b
}

// with adds the doubt of the slope c that was taken as known: b moves by −d where c moves by 1. Degrees of freedom as for a
// sum of variances. Source: Welch, Biometrika 34:28–35, 1947; Satterthwaite, Biom. Bull. 2:110–114, 1946 (from memory).
func (b OMSlope) with(d float64, c OMSlope) OMSlope {
	own, more := b.SE*b.SE, d*d*c.SE*c.SE
	b.DF = (own + more) * (own + more) / (own*own/b.DF + more*more/c.DF)
	b.SE = math.Sqrt(own + more)
	return b.bounded()
}

func dayOf(r responseRow) string     { return r.date.Format(time.DateOnly) }
func greenOf(r responseRow) string   { return r.green }
func greenYear(r responseRow) string { return r.green + " " + yearOf(r) }
func greenQuarter(r responseRow) string {
	return fmt.Sprint(greenYear(r), " ", (int(r.date.Month())-1)/3)
}
func yearOf(r responseRow) string { return r.date.Format("2006") }

// meansOf gives every row the mean of its group.
func (s *responseRows) meansOf(x []float64, group func(responseRow) string) []float64 {
	sum, n := map[string]float64{}, map[string]float64{}
	for i, r := range s.rows {
		sum[group(r)] += x[i]
		n[group(r)]++
	}
	out := make([]float64, len(x))
	for i, r := range s.rows {
		out[i] = sum[group(r)] / n[group(r)]
	}
	return out
}

// typical gives the mean of a number over the rows in the target's months, over all rows where none lies in them.
func (s *responseRows) typical(t Target) func(func(responseRow) float64) float64 {
	return func(of func(responseRow) float64) float64 {
		var in, all []float64
		for _, r := range s.rows {
			all = append(all, of(r))
			if t.contains(r.date) {
				in = append(in, of(r))
			}
		}
		if len(in) == 0 {
			in = all
		}
		return average(in)
	}
}

func average(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func centred(x []float64, about float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = v - about
	}
	return out
}

func (s *responseRows) omDays() []omDay {
	var out []omDay
	for _, r := range s.rows {
		out = append(out, r.om)
	}
	return out
}

// wave gives the two columns of a wave of the year about the typical time, or nil where days are too few or tangled with the rest.
func (s *responseRows) wave(typical func(func(responseRow) float64) float64, beside ...[]float64) [][]float64 {
	if s.dates < waveDays {
		return nil
	}
	angle := func(r responseRow) float64 { return 2 * math.Pi * float64(r.date.YearDay()) / daysPerYear }
	cosOf := func(r responseRow) float64 { return math.Cos(angle(r)) }
	sinOf := func(r responseRow) float64 { return math.Sin(angle(r)) }
	cos, sin := centred(s.column(cosOf), typical(cosOf)), centred(s.column(sinOf), typical(sinOf))
	if explained(cos, append([][]float64{sin}, beside...)...) >= tangled || explained(sin, append([][]float64{cos}, beside...)...) >= tangled {
		return nil
	}
	return [][]float64{cos, sin}
}

// responseModel is one of the models of Respond with its fit.
type responseModel struct {
	design *mixed.Design
	fitted *mixed.Fitted
	wave   []string // names of its columns of the wave of the year, nil where it has none
}

// errTooExact is what is left to say where greens, days and slopes leave no scatter.
var errTooExact = errors.New("greens, days and slopes leave no scatter to judge by, which readings never do")

// plain fits a reading on columns.
func (s *responseRows) plain(y []float64, names []string, columns [][]float64) (*responseModel, error) {
	d := s.design(y, names, columns)
	f, err := mixed.Fit(d, mixed.Options{})
	if err != nil { // it speaks of rows and terms, to those who design models
		return nil, errTooExact
	}
	m := &responseModel{design: d, fitted: f}
	return m, m.check()
}

// model fits a reading on columns, with the wave where it is worth its two numbers.
func (s *responseRows) model(y []float64, names []string, columns, wave [][]float64) (*responseModel, error) {
	if wave != nil {
		waved, all := []string{"cos", "sin"}, append(slices.Clone(columns), wave...)
		before, err := mixed.Fit(s.design(y, names, columns), mixed.Options{ML: true})
		if err == nil {
			after, err := mixed.Fit(s.design(y, append(slices.Clone(names), waved...), all), mixed.Options{ML: true})
			k, n := float64(len(names))+2, float64(s.dates) // level, slopes and days
			if err == nil && n > k+3 && aicc(after, k+2, n) < aicc(before, k, n) {
				m, err := s.plain(y, append(slices.Clone(names), waved...), all)
				if m != nil {
					m.wave = waved
				}
				return m, err
			}
		}
	}
	return s.plain(y, names, columns)
}

// check refuses a fit without scatter or without the slopes that are asked for.
func (m *responseModel) check() error {
	f := m.fitted
	for _, name := range []string{"om", "water"} {
		if slices.Contains(m.design.Names, name) && !slices.Contains(f.Names, name) {
			return fmt.Errorf("these records cannot tell %s from the rest", map[string]string{"om": "organic matter", "water": "water content"}[name])
		}
	}
	size := 0.0
	for _, y := range m.design.Y {
		size = math.Max(size, math.Abs(y))
	}
	if !(f.Sigma > 1e-7*size) {
		return errTooExact
	}
	return nil
}

func (s *responseRows) design(y []float64, names []string, columns [][]float64) *mixed.Design {
	n := len(y)
	d := &mixed.Design{Response: "reading", Y: y, Names: append([]string{"(Intercept)"}, names...), Columns: append([][]float64{ones(n)}, columns...)}
	term := func(group string, of func(responseRow) string) mixed.Term {
		t := mixed.Term{Group: group, Names: []string{"(Intercept)"}, Level: make([]int32, n), Z: [][]float64{nil}}
		at := map[string]int32{}
		for i, r := range s.rows {
			l, ok := at[of(r)]
			if !ok {
				l = int32(len(t.Levels)) //nolint:gosec // greens and days are counted in hundreds
				at[of(r)], t.Levels = l, append(t.Levels, of(r))
			}
			t.Level[i] = l
		}
		return t
	}
	d.Terms = []mixed.Term{term("green", greenOf), term("day", dayOf)}
	if year := term("year", yearOf); len(year.Levels) >= yearsApart {
		d.Terms = append(d.Terms, year, term("green in the year", greenYear))
	}
	return d
}

// estimate is a sum of coefficients, after Kenward and Roger, or after Satterthwaite where theirs cannot be had.
func (m *responseModel) estimate(weights map[string]float64) (mixed.Estimate, error) {
	l := make([]float64, len(m.fitted.Names))
	for k, name := range m.fitted.Names {
		l[k] = weights[name]
	}
	e, err := m.fitted.Contrast(l, mixed.KenwardRoger)
	if err != nil || !finite(e.SE, e.DF) || !(e.SE > 0) || !(e.DF > 0) {
		e, err = m.fitted.Contrast(l, mixed.Satterthwaite)
	}
	if err == nil && (!finite(e.SE, e.DF) || !(e.SE > 0) || e.DF < 1) { // below 1 even the interval of a t has no bounds worth telling
		err = fmt.Errorf("these records are too few to say how sure a slope is")
	}
	return e, err
}

func (m *responseModel) slope(name string) (OMSlope, error) {
	e, err := m.estimate(map[string]float64{name: 1})
	return OMSlope{Value: e.Value, SE: e.SE, DF: e.DF, Lower95: e.Lower95, Upper95: e.Upper95}, err
}

// spread is the standard deviation of one random term [unit of the response].
func (m *responseModel) spread(group string) float64 {
	for _, c := range m.fitted.Components {
		if c.Group == group {
			return c.SD
		}
	}
	return 0
}

// through is what passes through water: c·d with standard error √(c²·se_d² + d²·se_c²).
// Source: Sobel, Sociol. Methodol. 13:290–312, 1982 (from memory).
func through(c, d OMSlope) OMSlope {
	out := OMSlope{Value: c.Value * d.Value, SE: math.Hypot(c.Value*d.SE, d.Value*c.SE), DF: math.Min(c.DF, d.DF)}
	return out.bounded()
}
