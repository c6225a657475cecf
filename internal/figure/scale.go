package figure

import (
	"math"
	"time"
)

// scale maps data to pixels along a straight line, and keeps inside its range whatever it is given.
type scale struct{ d0, d1, r0, r1 float64 }

// at gives the pixel of v, clamped to the plot.
func (s scale) at(v float64) float64 {
	if s.d1 == s.d0 {
		return (s.r0 + s.r1) / 2
	}
	p := s.r0 + (v-s.d0)/(s.d1-s.d0)*(s.r1-s.r0)
	if math.IsNaN(p) {
		return s.r0
	}
	return clamp(p, min(s.r0, s.r1), max(s.r0, s.r1))
}

// holds tells whether v lies on the scale.
func (s scale) holds(v float64) bool { return v >= min(s.d0, s.d1) && v <= max(s.d0, s.d1) }

// extent collects the least and greatest of numbers that can be drawn.
type extent struct {
	lo, hi float64
	some   bool
}

func (e *extent) take(vs ...float64) {
	for _, v := range vs {
		switch {
		case !drawable(v):
		case !e.some:
			e.lo, e.hi, e.some = v, v, true
		default:
			e.lo, e.hi = min(e.lo, v), max(e.hi, v)
		}
	}
}

// takeAll takes an estimate and its interval.
func (e *extent) takeAll(v Estimate) {
	e.take(v.Mid)
	if v.Outer.known() {
		e.take(v.Outer.Low, v.Outer.High)
	}
}

// step gives a round distance between ticks so that span holds at most n of them.
func step(span float64, n int) float64 {
	if !(span > 0) {
		return 1
	}
	base := math.Pow(10, math.Floor(math.Log10(span/float64(n))))
	for _, m := range []float64{1, 2, 4, 5, 10, 20} {
		if span/(m*base) <= float64(n)+1e-9 {
			return m * base
		}
	}
	return 50 * base
}

// ticks gives the multiples of step from lo to hi, at most 40.
func ticks(lo, hi, step float64) []float64 {
	var out []float64
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+step*1e-9 && len(out) < 40; k++ {
		out = append(out, k*step)
	}
	return out
}

// seconds is the number a time axis counts in.
func seconds(t time.Time) float64 { return float64(t.Unix()) }

const (
	day  = 24 * 60 * 60
	year = 365.25 * day
)

// timeTick is a label on a time axis.
type timeTick struct {
	x    float64
	word string
}

// yearTicks labels the points of a time axis with their years, a year once, in short where the
// labels stand close and thinned where they would touch; the last is kept.
func yearTicks(ts []time.Time, x scale) []timeTick {
	var all []timeTick
	for _, t := range ts {
		w := t.Format("2006")
		if n := len(all); n > 0 && all[n-1].word == w {
			continue
		}
		all = append(all, timeTick{x.at(seconds(t)), w})
	}
	return thinned(all, true)
}

// thinned keeps every n-th label so that none touch, and the last. Years between the first and last are
// cut to two figures ("’22") where the full ones do not fit and short is set.
func thinned(all []timeTick, short bool) []timeTick {
	if len(all) < 2 {
		return all
	}
	gap := math.Inf(1)
	for i := 1; i < len(all); i++ {
		gap = min(gap, all[i].x-all[i-1].x)
	}
	if short && gap < 44 {
		for i := 1; i < len(all)-1; i++ {
			all[i].word = "’" + all[i].word[2:]
		}
	}
	for every := 1; ; every++ {
		if kept := everyFromLast(all, every); !touching(kept) {
			return kept
		}
	}
}

// everyFromLast keeps every n-th label, counted from the last.
func everyFromLast(all []timeTick, n int) []timeTick {
	var kept []timeTick
	for i := (len(all) - 1) % n; i < len(all); i += n {
		kept = append(kept, all[i])
	}
	return kept
}

func touching(all []timeTick) bool {
	for i := 1; i < len(all); i++ {
		if all[i].x-all[i-1].x < (textWidth(all[i].word, tick)+textWidth(all[i-1].word, tick))/2+3 {
			return true
		}
	}
	return false
}

// monthTicks labels a season: the middles of months (the edge for one that is cut short), every so
// many so that at most n are shown;
// days where the axis is shorter than ten weeks, years where it is longer than three.
func monthTicks(from, to time.Time, x scale, n int) []timeTick {
	var out []timeTick
	span := seconds(to) - seconds(from)
	switch {
	case span < 70*day:
		out = append(out, timeTick{x.at(seconds(from)), from.Format("2 Jan")})
		if span > 0 {
			out = append(out, timeTick{x.at(seconds(to)), to.Format("2 Jan")})
		}
	case span > 3*year:
		for y := from.Year(); y <= to.Year() && len(out) < 400; y++ {
			mid := time.Date(y, 7, 1, 0, 0, 0, 0, time.UTC)
			if x.holds(seconds(mid)) {
				out = append(out, timeTick{x.at(seconds(mid)), mid.Format("2006")})
			}
		}
		return thinned(out, true)
	default:
		var months []time.Time
		for m := time.Date(from.Year(), from.Month(), 15, 0, 0, 0, 0, time.UTC); !m.After(to.AddDate(0, 0, 14)); m = m.AddDate(0, 1, 0) {
			months = append(months, m)
		}
		every := max(1, int(math.Ceil(float64(len(months))/float64(n))))
		for i := 0; i < len(months); i += every {
			out = append(out, timeTick{x.at(seconds(months[i])), months[i].Format("Jan")})
		}
	}
	return thinned(out, false)
}

// timeAxis draws the labels at y, kept inside the drawing.
func (s *Scene) timeAxis(ts []timeTick, y float64) {
	for _, t := range ts {
		half := textWidth(t.word, tick) / 2
		s.text(clamp(t.x, half, max(half, s.Width-half)), y, t.word, tick, Middle)
	}
}
