package figure

import "time"

// Spark is the trend of one layer small enough for a list: dots with whiskers around their mean.
// All sparks of a list get the same From and To, and span 3.2 points unless their own dots need
// more, so that slopes compare.
type Spark struct {
	Layer         string
	Rounds        []Round
	From, To      time.Time // the axis; the rounds’ own if zero
	Width, Height float64   // 112 × 28 if zero
}

// sparkSpan is how much organic matter a spark spans [points].
const sparkSpan = 3.2

// Scene draws the spark.
func (k Spark) Scene() *Scene {
	w, h := sized(k.Width, k.Height, box{112, 28}, box{40, 16})
	s := &Scene{Width: w, Height: h, Class: "chart", Title: spoken(k.Layer)}
	s.Values = k.Table
	rounds := usable(k.Rounds)
	s.Label = s.Title + ": no released rounds"
	if len(rounds) > 0 {
		s.Label = s.Title + ": " + roundsSaid(rounds)
	}
	s.line(8, h/2, w-8, h/2, grid)
	x, y := k.axes(rounds, w, h)
	var pts []Point
	for _, r := range rounds {
		if r.Kind != Held {
			p := Point{x.at(seconds(r.At)), y.at(r.Mid)}
			pts = append(pts, p)
			s.upright(p.X, r.Outer, y, whisker)
		}
	}
	s.polyline(pts, thin)
	for i, p := range pts {
		r := 1.9
		if i == len(pts)-1 {
			r = 3
		}
		s.circle(p.X, p.Y, r, dot)
	}
	for _, r := range rounds {
		if r.Kind == Held {
			s.rect(x.at(seconds(r.At))-4, h/2-4, 8, 8, held)
		}
	}
	return s
}

func (k Spark) axes(rounds []Round, w, h float64) (x, y scale) {
	var t, v extent
	for _, at := range []time.Time{k.From, k.To} {
		if datable(at) {
			t.take(seconds(at) / day)
		}
	}
	sum, n := 0.0, 0.0
	for _, r := range rounds {
		t.take(seconds(r.At) / day)
		if r.Kind != Held {
			v.take(r.Mid)
			sum, n = sum+r.Mid, n+1
		}
	}
	mid := (v.lo + v.hi) / 2
	if mean := sum / max(n, 1); v.hi-mean <= sparkSpan/2 && mean-v.lo <= sparkSpan/2 {
		mid = mean
	}
	half := max(sparkSpan/2, v.hi-mid)
	return scale{t.lo * day, t.hi * day, 7, w - 7}, scale{mid - half, mid + half, h - 2, 2}
}

// Table gives the rounds.
func (k Spark) Table() Table { return Trend{Layer: k.Layer, Rounds: k.Rounds}.Table() }
