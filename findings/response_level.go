package findings

import (
	"math"
	"time"
)

// reach is how far beyond the organic matter that was seen a level is told, as a share of its range (common practice, no source): a straight line
// through readings says nothing far from them.
const reach = 0.5

// OMLevel is the organic matter at which readings would stand at a value, with its doubt.
type OMLevel struct {
	Reading            float64 // the value [unit of the kind]; infinite where that side is open
	Told               bool
	Beyond             int     // −1 and 1: it lies at less or at more organic matter than is told of; 0 else
	OM                 float64 // %
	Lower95, Upper95   float64 // %
	LowOpen, UpperOpen bool    // that end lies beyond what is told of, and stands where telling ends
}

// lineAt is a straight line f(x) = a + b·(x − at) with its covariance.
type lineAt struct {
	at, a, b      float64
	vaa, vab, vbb float64
	df            float64
}

// line takes the line of readings on organic matter at the typical water content and season from a fit. What moves the organic
// matter of all greens and days together moves the line sideways: its variance times b² goes to that of a.
func (r *Response) line(s *responseRows, m *responseModel) error {
	level, err := m.estimate(map[string]float64{"(Intercept)": 1})
	if err != nil {
		return err
	}
	both, err := m.estimate(map[string]float64{"(Intercept)": 1, "om": 1})
	if err != nil {
		return err
	}
	l := lineAt{at: r.TypicalOM, a: level.Value, b: r.Direct.Value, vaa: level.SE * level.SE, vbb: r.Direct.SE * r.Direct.SE, df: r.Direct.DF}
	l.vab = (both.SE*both.SE - l.vaa - l.vbb) / 2
	first, last := s.rows[0].date, s.rows[len(s.rows)-1].date
	l.vaa += l.b * l.b * s.days.shared(first.Add(last.Sub(first)/2).Round(24*time.Hour))
	r.along = l
	return nil
}

// fieller solves a + b·(x − at) = value for x, with its 95 % interval: all x for which
//
//	(a + b·(x − at) − value)² ≤ t²·(V_aa + 2(x − at)·V_ab + (x − at)²·V_bb)
//
// t is Student's at 0.975 with the slope's degrees of freedom. Bounded exactly where the interval of b leaves zero out; else ok is false.
// Source: Fieller, J. R. Stat. Soc. B 16:175–185, 1954 (from memory).
func (l lineAt) fieller(value float64) (x, low, high float64, ok bool) {
	t := quantile(0.975, l.df)
	above := l.a - value
	a := l.b*l.b - t*t*l.vbb
	b := l.b*above - t*t*l.vab
	c := above*above - t*t*l.vaa
	if !(a > 0) {
		return math.NaN(), math.Inf(-1), math.Inf(1), false
	}
	half := math.Sqrt(math.Max(0, b*b-a*c))
	return l.at - above/l.b, l.at + (-b-half)/a, l.at + (-b+half)/a, true
}

// reckonLevels finds the organic matter at the edges and the middle of the band.
func (r *Response) reckonLevels(*responseRows) {
	margin := reach * (r.SeenHigh - r.SeenLow)
	r.ReachLow, r.ReachHigh = math.Max(0, r.SeenLow-margin), r.SeenHigh+margin
	r.Low, r.High = r.level(r.Band.Low), r.level(r.Band.High)
	r.Middle = r.level((r.Band.Low + r.Band.High) / 2)
}

// level is the organic matter at a value of the reading, told only near what was seen and where the records tell.
func (r *Response) level(value float64) OMLevel {
	out := OMLevel{Reading: value}
	if math.IsInf(value, 0) || math.IsNaN(value) || !r.Tells || r.Against {
		return out
	}
	x, low, high, ok := r.along.fieller(value)
	switch {
	case !ok:
		return out
	case x < r.ReachLow:
		out.Beyond = -1
		return out
	case x > r.ReachHigh:
		out.Beyond = 1
		return out
	}
	out.Told, out.OM, out.Lower95, out.Upper95 = true, x, low, high
	if low < r.ReachLow {
		out.Lower95, out.LowOpen = r.ReachLow, true
	}
	if high > r.ReachHigh {
		out.Upper95, out.UpperOpen = r.ReachHigh, true
	}
	if out.LowOpen && out.UpperOpen { // it may lie anywhere
		return OMLevel{Reading: value}
	}
	return out
}

// Range gives the organic matter at which the readings would be in their band: where it begins (less organic matter) and where it ends
// (more). An end whose edge is open, or that the records cannot tell, is not Told.
func (r Response) Range() (less, more OMLevel) {
	if wordsOf(r.Kind).underAsks == Raise {
		return r.Low, r.High
	}
	return r.High, r.Low
}
