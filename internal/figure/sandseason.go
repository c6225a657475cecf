package figure

import (
	"sort"
	"time"
)

// Dressing is one application of sand [mm].
type Dressing struct {
	At     time.Time
	Amount float64
}

// NeedPoint is the sand needed so far to hold, with its 90 % interval [mm].
type NeedPoint struct {
	At             time.Time
	Mid, Low, High float64
}

// SandSeason is the running total of the sand put on in a season, in stippled steps, against the
// band of what holding needed by then.
type SandSeason struct {
	From, To      time.Time // the axis; the records’ own if zero
	Until         time.Time // how far the record reaches (today, or the season’s end); To if zero
	Dressings     []Dressing
	Need          []NeedPoint
	Width, Height float64 // 326 × 300 if zero
	Measure       Measure
}

// Scene draws the season.
func (z SandSeason) Scene() *Scene {
	w, h := sized(z.Width, z.Height, box{326, 300}, box{200, 80})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: "Sand put on so far, " + z.Measure.unit() + ", against what holding needs"}
	s.Values = z.Table
	dressings, need := z.usable()
	from, to := z.axis(dressings, need)
	if len(dressings)+len(need) == 0 || !from.Before(to) {
		return s.blank("no sand entered this season")
	}
	total := 0.0
	var e extent
	e.take(0, z.Measure.of(1))
	for _, d := range dressings {
		total += d.Amount
	}
	e.take(total)
	for _, n := range need {
		e.takeAll(n.estimate())
	}
	top := e.hi * 1.04
	y := scale{min(e.lo, 0), top, h - min(30, h/4), min(14, h/8)}
	left := 24.0
	if z.Measure.Per != 0 {
		left = 36 // its numbers have a point
	}
	x := scale{seconds(from), seconds(to), left, max(40, w-92)}

	s.amounts(x, y)
	z.need(s, need, x, y)
	z.steps(s, dressings, to, x, y)
	s.timeAxis(monthTicks(from, to, x, max(2, int((x.r1-x.r0)/46))), h-9)
	z.words(s, dressings, need, total, x, y)
	return s
}

func (n NeedPoint) estimate() Estimate {
	return Estimate{Mid: n.Mid, Outer: Interval{n.Low, n.High}}
}

func (z SandSeason) usable() ([]Dressing, []NeedPoint) {
	var ds []Dressing
	for _, d := range z.Dressings {
		if datable(d.At) && drawable(d.Amount) && d.Amount > 0 {
			d.Amount = z.Measure.of(d.Amount)
			ds = append(ds, d)
		}
	}
	sort.SliceStable(ds, func(a, b int) bool { return ds[a].At.Before(ds[b].At) })
	var ns []NeedPoint
	for _, n := range z.Need {
		if datable(n.At) && drawable(n.Mid) {
			n.Mid, n.Low, n.High = z.Measure.of(n.Mid), z.Measure.of(n.Low), z.Measure.of(n.High)
			ns = append(ns, n)
		}
	}
	sort.SliceStable(ns, func(a, b int) bool { return ns[a].At.Before(ns[b].At) })
	return ds, ns
}

func (z SandSeason) axis(ds []Dressing, ns []NeedPoint) (from, to time.Time) {
	from, to = z.From, z.To
	if datable(from) && datable(to) && from.Before(to) {
		return from, to
	}
	var all []time.Time
	for _, d := range ds {
		all = append(all, d.At)
	}
	for _, n := range ns {
		all = append(all, n.At)
	}
	for i, t := range all {
		if i == 0 || t.Before(from) {
			from = t
		}
		if i == 0 || t.After(to) {
			to = t
		}
	}
	if len(all) > 0 {
		from, to = from.AddDate(0, 0, -14), to.AddDate(0, 0, 14)
	}
	return from, to
}

func (z SandSeason) need(s *Scene, need []NeedPoint, x, y scale) {
	var mid, up, down []Point
	for _, n := range need {
		px := x.at(seconds(n.At))
		mid = append(mid, Point{px, y.at(n.Mid)})
		if i := (Interval{n.Low, n.High}); drawable(i.Low) && drawable(i.High) && i.Low <= i.High {
			up, down = append(up, Point{px, y.at(i.High)}), append(down, Point{px, y.at(i.Low)})
		}
	}
	s.polygon(ring(up, down), band90)
	s.polyline(mid, model)
}

// steps draws the running total from the start of the axis to Until.
func (z SandSeason) steps(s *Scene, ds []Dressing, to time.Time, x, y scale) {
	until := z.Until
	if !datable(until) || until.After(to) {
		until = to
	}
	pts := []Point{{x.r0, y.at(0)}}
	total := 0.0
	for _, d := range ds {
		px := x.at(seconds(d.At))
		pts = append(pts, Point{px, y.at(total)})
		total += d.Amount
		pts = append(pts, Point{px, y.at(total)})
	}
	end := max(x.at(seconds(until)), pts[len(pts)-1].X)
	pts = append(pts, Point{end, y.at(total)})
	if total > 0 {
		s.polygon(append(append([]Point{}, pts...), Point{end, y.at(0)}), sandArea)
	}
	s.polyline(pts, fitLine)
}

func (z SandSeason) words(s *Scene, ds []Dressing, need []NeedPoint, total float64, x, y scale) {
	m := z.Measure
	s.Label = "Sand put on: " + number(total, m.places(1)) + " " + m.unit() + " in " + number(float64(len(ds)), 0) + " dressings"
	l := []endLabel{{y: y.at(total), style: wordBold, first: number(total, m.places(1)) + " put on"}}
	if n := len(need); n > 0 {
		e := need[n-1].estimate()
		s.Label += "; needed to hold: " + e.said(m.unit(), m.places(1))
		l = append(l, endLabel{y.at(e.Mid), wordModel, number(e.Mid, m.places(1)) + " needed", "to hold"})
	}
	s.Desc = "Steps: each dressing. Line and band: needed so far, 9 chances in 10."
	s.endLabels(x.r1+5, y.r1-10, y.r0+6, l)
	sum := 0.0
	for _, d := range ds {
		before := y.at(sum)
		sum += d.Amount
		words := d.At.Format("2 Jan") + ": " + number(d.Amount, m.places(2)) + " " + m.unit() + ", " + number(sum, m.places(1)) + " so far"
		s.mark(number(d.Amount, m.places(2)), words, x.at(seconds(d.At))-4, y.at(sum)-4, 8, before-y.at(sum)+8)
	}
}

// Table gives the dressings with their sum, and what was needed by when.
func (z SandSeason) Table() Table {
	z.Measure = Measure{} // a file of numbers is metric
	out := newTable("Sand put on so far", wordColumn("What"), wordColumn("Day"), numberColumn("Put on", "mm"), numberColumn("So far", "mm"))
	out.columns(estimated("Needed", "mm", nineInTen)...)
	ds, ns := z.usable()
	sum := 0.0
	for _, d := range ds {
		sum += d.Amount
		out.row(cellOf("dressing"), dayIn(d.At), numberIn(d.Amount, 2), numberIn(sum, 2), Cell{}, Cell{}, Cell{})
	}
	for _, n := range ns {
		out.row(joined([]Cell{cellOf("needed by then"), dayIn(n.At), {}, {}}, n.estimate().cells(2)...)...)
	}
	return *out
}
