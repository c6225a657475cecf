package findings

import (
	"math"
	"time"
)

// heldDays is how far before the first or after the last round a reading may lie, days: three months (common practice, no source). Of virtual
// courses with a known truth the intervals of slopes and levels held it less often with a year.
const heldDays = 92

// omDay is the organic matter of one green on one day.
type omDay struct {
	om    float64 // %
	years float64 // from the first round
	err2  float64 // variance of the green's own departure [points²]
}

// omOfDays gives the organic matter of a layer at a green and day:
//
//	x_i(t) = m(t) + a_i·m(t)/m(t_R)    m(t) = line(t) + r(t)    r_j = (m_j − line(t_j))·σ_r²/(σ_r² + se_j²)
//
// line [%] is the fitted trend of the mean of the greens, r(t) [points] how far rounds stand off it, between two rounds on the straight
// line from one to the next and before the first and after the last as there: m_j the mean of the same greens in round j with its standard error se_j from
// cores and bench, σ_r the scatter of rounds, so that a round is drawn towards the line by as much as its cores are few. Without a line m(t) is the
// mean of the nearest round. a_i [points] is the departure of green i from the mean of the greens at the last round R, drawn
// towards the others (see CompareGreens), as it is where greens differ by points and in proportion to the level where they differ by
// a share. Ignored: what organic matter does between two rounds, greens that drift.
type omOfDays struct {
	top         Layer
	first, last time.Time
	own         map[string]Green
	off         []float64 // of each round, how far it stands off the line, drawn to it [points]
	offErr      float64   // mean variance of that [points²]
}

func newOMOfDays(top Layer) *omOfDays {
	o := &omOfDays{top: top, own: map[string]Green{}}
	if len(top.Rounds) == 0 {
		return o
	}
	o.first, o.last = top.Rounds[0].Date, top.Rounds[len(top.Rounds)-1].Date
	for _, g := range top.Consistency.Greens {
		o.own[g.Green] = g
	}
	for _, r := range top.Rounds {
		if !top.Trend.Estimated {
			break
		}
		line, _ := top.Trend.Line(r.Date)
		between, within := top.Trend.RoundSD*top.Trend.RoundSD, float64(r.SameSE)*float64(r.SameSE)
		share := 0.0
		if between > 0 {
			share = between / (between + within)
		}
		o.off = append(o.off, share*float64(r.Same-line))
		o.offErr += share * within / float64(len(top.Rounds))
	}
	return o
}

// how says how organic matter came to the day of a reading.
func (o *omOfDays) how() string {
	if o.top.Trend.Estimated {
		return "organic matter between rounds along the fitted trend, with rounds and greens as far off it as their cores say"
	}
	return "organic matter of the nearest round, with each green’s own level"
}

// at gives a green's organic matter on a day; false where the green was never sampled or the day is too far from any round.
func (o *omOfDays) at(green string, date time.Time) (omDay, bool) {
	g, ok := o.own[green]
	if !ok || o.first.Sub(date).Hours()/24 > heldDays || date.Sub(o.last).Hours()/24 > heldDays {
		return omDay{}, false
	}
	mean, scale := o.level(date), 1.0
	if then := o.level(o.top.Consistency.AsAt); o.top.Consistency.Share && then > 0 {
		scale = mean / then
	}
	return omDay{om: mean + scale*g.Deviation, years: years(o.first, date), err2: scale * scale * g.FromSE * g.FromSE}, true
}

// level is m(t) [%].
func (o *omOfDays) level(date time.Time) float64 {
	if o.top.Trend.Estimated {
		line, _ := o.top.Trend.Line(date)
		return math.Max(0, float64(line)+o.offAt(date))
	}
	return float64(o.nearest(date).Mean)
}

// offAt is r(t) [points].
func (o *omOfDays) offAt(date time.Time) float64 {
	rs := o.top.Rounds
	i := 0
	for i < len(rs) && !rs[i].Date.After(date) {
		i++
	}
	if i == 0 || i == len(rs) {
		return o.off[min(i, len(rs)-1)]
	}
	share := date.Sub(rs[i-1].Date).Hours() / rs[i].Date.Sub(rs[i-1].Date).Hours()
	return o.off[i-1] + share*(o.off[i]-o.off[i-1])
}

func (o *omOfDays) nearest(date time.Time) RoundMean {
	best := o.top.Rounds[0]
	for _, r := range o.top.Rounds[1:] {
		if r.Date.Sub(date).Abs() < best.Date.Sub(date).Abs() {
			best = r
		}
	}
	return best
}

// shared is the variance of what moves the organic matter of all greens and days together [points²], at the middle of the days.
func (o *omOfDays) shared(middle time.Time) float64 {
	if o.top.Trend.Estimated {
		_, se := o.top.Trend.Line(middle)
		return float64(se) * float64(se)
	}
	r := o.nearest(middle)
	se := float64(r.SameSE)
	if !(se > 0) {
		se = float64(r.SE)
	}
	return se * se
}

// reliability is the share of the variance of organic matter over the readings that the composites know:
//
//	λ = Var x̂/(Var x̂ + mean PEV)
//
// PEV [points²] is the prediction error variance: of the green's departure, of the round's, and of the slope of the
// line about the middle of the days. Source: as Var x = Var x̂ + PEV for a best linear prediction, Searle, Casella & McCulloch, Variance Components 1992, ch. 7 (from memory).
func (o *omOfDays) reliability(days []omDay) float64 {
	n := float64(len(days))
	var om, t, doubt float64
	for _, d := range days {
		om, t, doubt = om+d.om/n, t+d.years/n, doubt+d.err2/n
	}
	var known, spread float64
	for _, d := range days {
		known += (d.om - om) * (d.om - om) / n
		spread += (d.years - t) * (d.years - t) / n
	}
	if o.top.Trend.Estimated {
		doubt += spread*o.top.Trend.SE*o.top.Trend.SE + o.offErr
	}
	if !(known > 0) {
		return 0
	}
	return known / (known + math.Max(0, doubt))
}
