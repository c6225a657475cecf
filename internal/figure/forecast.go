package figure

import (
	"math"
	"strings"
	"time"
)

// FanPoint is the modelled organic matter at one date [%].
type FanPoint struct {
	At time.Time
	Estimate
}

// ForecastLayer is one layer: what the rounds measured, what the model says of the past and of the future, and, for rounds
// that were left out, what it had predicted before.
type ForecastLayer struct {
	Name         string // "0–20 mm"
	Rounds       []Round
	Past, Future []FanPoint
	Hindcast     []FanPoint
	Wanted       *Interval
}

// Forecast shows a panel a layer: rounds as dots, the model as a line with its 90 % band, the future as a fan of 50 % and
// 90 % bands, each named at its end. All panels share the time axis and the span of organic matter, so that slopes compare.
// Panels stand side by side where each gets 300 px, else below one another.
type Forecast struct {
	Layers        []ForecastLayer // from the surface down
	Now           time.Time
	Work          []time.Time // planned work
	Width, Height float64     // 960 wide and 236 a row of panels if zero
}

const fanHead, fanFoot, fanRight, leastPanel = 36, 36, 86, 300

// Scene draws the panels.
func (f Forecast) Scene() *Scene {
	layers := f.usable()
	n := max(1, len(layers))
	w, _ := sized(f.Width, 0, box{960, 0}, box{240, 0})
	across := max(1, min(n, int((w+24)/(leastPanel+24))))
	rows := (n + across - 1) / across
	w, h := sized(f.Width, f.Height, box{960, float64(30 + 236*rows)}, box{240, float64(30 + 130*rows)})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: w <= 480, Title: "Organic matter by layer, measured and forecast"}
	s.Values = f.Table
	from, to := f.span(layers)
	if len(layers) == 0 || !from.Before(to) {
		return s.blank("no forecast yet: it needs a calibrated model and a layer")
	}
	f.words(s, layers)
	top := f.keys(s, layers)
	wide := float64(panelSpan)
	for _, l := range layers {
		lo, hi := l.reach()
		wide = max(wide, math.Ceil(hi)-math.Floor(lo))
	}
	const gap = 24.0
	pw, ph := (w-gap*float64(across-1))/float64(across), (h-top)/float64(rows)
	for i, l := range layers {
		left, head := float64(i%across)*(pw+gap), top+float64(i/across)*ph
		p := fanPanel{
			s: s, l: l, left: left, head: head,
			x: scale{seconds(from), seconds(to), left + 28, left + pw - fanRight},
			y: scale{l.floor(wide), l.floor(wide) + wide, head + ph - fanFoot, head + fanHead},
		}
		p.draw(f, from, to)
	}
	return s
}

// usable keeps layers with something to draw, and of them what can be drawn.
func (f Forecast) usable() []ForecastLayer {
	var out []ForecastLayer
	for _, l := range f.Layers {
		l.Rounds = usable(l.Rounds)
		l.Past, l.Future, l.Hindcast = usableFan(l.Past), usableFan(l.Future), usableFan(l.Hindcast)
		if len(l.Rounds)+len(l.Past)+len(l.Future)+len(l.Hindcast) > 0 {
			out = append(out, l)
		}
	}
	return out
}

// usableFan keeps what can be drawn and goes forward in time.
func usableFan(all []FanPoint) []FanPoint {
	var out []FanPoint
	for _, p := range all {
		if datable(p.At) && drawable(p.Mid) && (len(out) == 0 || p.At.After(out[len(out)-1].At)) {
			out = append(out, p)
		}
	}
	return out
}

// reach gives the least and greatest values that have to lie inside of the panel: all medians, and the fan.
func (l ForecastLayer) reach() (lo, hi float64) {
	var e extent
	for _, r := range l.Rounds {
		if r.Kind != Held {
			e.take(r.Mid)
		}
	}
	for _, list := range [][]FanPoint{l.Past, l.Hindcast} {
		for _, p := range list {
			e.take(p.Mid)
		}
	}
	for _, p := range l.Future {
		e.takeAll(p.Estimate)
	}
	return e.lo, e.hi
}

// floor gives the whole percent at the foot of a panel of the given span, so that what is drawn stands in its middle; not
// below 0 unless a value is.
func (l ForecastLayer) floor(wide float64) float64 {
	lo, hi := l.reach()
	foot := clamp(math.Round((lo+hi-wide)/2), math.Ceil(hi)-wide, math.Floor(lo))
	if foot < 0 && lo >= 0 {
		return 0
	}
	return foot
}

// span gives the time axis of all layers, with a little air.
func (f Forecast) span(layers []ForecastLayer) (from, to time.Time) {
	take := func(t time.Time) {
		if from.IsZero() || t.Before(from) {
			from = t
		}
		if to.IsZero() || t.After(to) {
			to = t
		}
	}
	for _, l := range layers {
		for _, r := range l.Rounds {
			take(r.At)
		}
		for _, list := range [][]FanPoint{l.Past, l.Future, l.Hindcast} {
			for _, p := range list {
				take(p.At)
			}
		}
	}
	if from.IsZero() {
		return from, to
	}
	air := max(to.Sub(from)/60, 20*24*time.Hour)
	if len(layers) > 0 {
		from = from.Add(-air)
	}
	return from, to.Add(air / 3)
}

func (f Forecast) words(s *Scene, layers []ForecastLayer) {
	var parts []string
	for _, l := range layers {
		words := spoken(l.Name) + ": "
		var own []string
		if n := len(l.Rounds); n > 0 {
			own = append(own, "last round "+l.Rounds[n-1].said())
		}
		if n := len(l.Future); n > 0 {
			own = append(own, "forecast "+l.Future[n-1].said())
		}
		for _, p := range l.Hindcast {
			own = append(own, "predicted before it was measured, "+p.said())
		}
		if l.Wanted != nil && l.Wanted.known() {
			own = append(own, "wanted "+l.Wanted.prose(1)+" %")
		}
		parts = append(parts, words+strings.Join(own, "; "))
	}
	s.Label = s.Title + ". " + strings.Join(parts, ". ")
	s.Desc = "Black: rounds, with their 90 % interval. Blue: the model, its line the median, its bands 9 and 5 chances in 10."
}

func (p FanPoint) said() string {
	return p.At.Format("Jan 2006") + ": " + p.Estimate.said("%", 1)
}

// keys names what is drawn, once for all panels, and gives where the keys end.
func (f Forecast) keys(s *Scene, layers []ForecastLayer) float64 {
	k := keyRow{s: s, y: burialRow - 6}
	var rounds, back, fan, want bool
	for _, l := range layers {
		rounds, back, fan = rounds || len(l.Rounds) > 0, back || len(l.Hindcast) > 0, fan || len(l.Future)+len(l.Past) > 0
		want = want || l.Wanted != nil && l.Wanted.known()
	}
	if rounds {
		k.add("measured", func(x, y float64) {
			s.line(x+5, y-13, x+5, y+4, whisker)
			s.circle(x+5, y-4.5, 4, dot)
		})
	}
	if fan {
		k.add("model, 5 and 9 in 10", func(x, y float64) {
			s.rect(x, y-12, 12, 15, band90)
			s.rect(x, y-8, 12, 7, band50)
			s.line(x, y-4.5, x+12, y-4.5, model)
		})
	}
	if back {
		k.add("predicted before it was measured", func(x, y float64) {
			s.line(x+5, y-13, x+5, y+4, mWhisker)
			s.circle(x+5, y-4.5, 4, mDotOpen)
		})
	}
	if want {
		k.add("wanted", func(x, y float64) {
			s.rect(x, y-11, 12, 13, wanted)
			s.line(x, y-11, x+12, y-11, wantedEdge)
			s.line(x, y+2, x+12, y+2, wantedEdge)
		})
	}
	if len(f.Work) > 0 {
		k.add("planned work", func(x, y float64) { s.line(x+5, y-10, x+5, y+1, whisker) })
	}
	return k.y + 2
}

// fanPanel is the panel of one layer and its place.
type fanPanel struct {
	s          *Scene
	l          ForecastLayer
	left, head float64
	x, y       scale
}

func (p fanPanel) draw(f Forecast, from, to time.Time) {
	s, x, y := p.s, p.x, p.y
	s.text(p.left, y.r1-12, fitted(p.l.Name, wordBold, 120), wordBold, Start)
	titled := p.left + textWidth(p.l.Name, wordBold) + 8
	s.text(titled, y.r1-12, "OM, %", wordQuiet, Start)
	titled += textWidth("OM, %", wordQuiet) + 8
	if w := p.l.Wanted; w != nil && w.known() && y.at(w.High) < y.at(w.Low) {
		s.rect(x.r0, y.at(w.High), x.r1-x.r0, y.at(w.Low)-y.at(w.High), wanted)
		for _, v := range []float64{w.Low, w.High} { // edged, so that it shows through the fan where there is no colour
			if y.holds(v) {
				s.line(x.r0, y.at(v), x.r1, y.at(v), wantedEdge)
			}
		}
	}
	p.grid()
	p.fan(p.l.Past, false)
	p.fan(p.joined(), true)
	if now := seconds(f.Now); datable(f.Now) && x.holds(now) {
		s.line(x.at(now), y.r1-3, x.at(now), y.r0, today)
		if half := textWidth("today", wordQuiet) / 2; x.at(now)-half > titled && x.at(now)+half < p.s.Width {
			s.text(x.at(now), y.r1-12, "today", wordQuiet, Middle)
		}
	}
	p.work(f.Work)
	for _, b := range p.l.Hindcast {
		px := x.at(seconds(b.At)) - aside
		s.upright(px, b.Outer, y, mWhisker)
		s.circle(px, y.at(b.Mid), 4.2, mDotOpen)
	}
	s.rounds(p.l.Rounds, x, y)
	s.yearEdges(from, to, x, y.r0)
	s.timeAxis(p.inside(monthTicks(from, to, x, max(2, int((x.r1-x.r0)/46)))), y.r0+fanFoot-9)
	p.end()
	p.marks()
}

// inside keeps time labels that stand over this panel's own part.
func (p fanPanel) inside(all []timeTick) []timeTick {
	var out []timeTick
	for _, t := range all {
		half := textWidth(t.word, tick) / 2
		t.x = clamp(t.x, p.left+half, max(p.left+half, p.x.r1+fanRight-half))
		out = append(out, t)
	}
	return out
}

// joined lets the fan start where the past ends.
func (p fanPanel) joined() []FanPoint {
	n := len(p.l.Past)
	if n == 0 || len(p.l.Future) == 0 || !p.l.Past[n-1].At.Before(p.l.Future[0].At) {
		return p.l.Future
	}
	return append([]FanPoint{p.l.Past[n-1]}, p.l.Future...)
}

// fan draws the median with its 90 % band, and the 50 % band where wanted.
func (p fanPanel) fan(points []FanPoint, inner bool) {
	p.band(points, band90, func(e Estimate) Interval { return e.Outer })
	if inner {
		p.band(points, band50, func(e Estimate) Interval { return e.Inner })
	}
	var mid []Point
	for _, q := range points {
		mid = append(mid, Point{tenths(p.x.at(seconds(q.At))), tenths(p.y.at(q.Mid))})
	}
	p.s.polyline(simplified(mid), model)
}

func (p fanPanel) band(points []FanPoint, st Style, of func(Estimate) Interval) {
	var up, down []Point
	for _, q := range points {
		if i := of(q.Estimate); i.known() {
			px := tenths(p.x.at(seconds(q.At)))
			up = append(up, Point{px, tenths(p.y.at(i.High))})
			down = append(down, Point{px, tenths(p.y.at(i.Low))})
		}
	}
	p.s.polygon(ring(simplified(up), simplified(down)), st)
}

// work sets a tick under the axis for each piece of planned work.
func (p fanPanel) work(days []time.Time) {
	for _, t := range days {
		if datable(t) && p.x.holds(seconds(t)) {
			p.s.line(p.x.at(seconds(t)), p.y.r0+2, p.x.at(seconds(t)), p.y.r0+12, whisker)
		}
	}
}

// end names the last value of the forecast, or of the model, or of the rounds.
func (p fanPanel) end() {
	points, st := p.l.Future, wordModel
	if len(points) == 0 {
		points = p.l.Past
	}
	var e Estimate
	switch n := len(p.l.Rounds); {
	case len(points) > 0:
		e = points[len(points)-1].Estimate
	case n > 0 && p.l.Rounds[n-1].Kind != Held:
		e, st = p.l.Rounds[n-1].Estimate, wordBold
	default:
		return
	}
	at := p.y.at(e.Mid)
	at = clamp(at, p.y.r1+8, p.y.r0-20)
	p.s.add(Text{Style: st, X: p.x.r1 + 7, Y: at + 4, Words: number(e.Mid, 1) + " %", Halo: true})
	if e.Outer.known() {
		p.s.add(Text{Style: wordQuiet, X: p.x.r1 + 7, Y: at + 20, Words: fitted(e.Outer.prose(1), wordQuiet, fanRight-7), Halo: true})
	}
}

func (p fanPanel) marks() {
	p.s.roundMarks(p.l.Rounds, p.x, p.y)
	show := func(q FanPoint, dx float64, words string) {
		px := p.x.at(seconds(q.At)) + dx
		top, foot := reachOf(q.Estimate, p.y)
		p.s.mark(number(q.Mid, 1), words, px-6, top-6, 12, foot-top+12)
	}
	for _, q := range p.l.Hindcast {
		show(q, -aside-6, q.said()+", predicted before it was measured")
	}
	if n := len(p.l.Future); n > 0 {
		show(p.l.Future[n-1], 0, spoken(p.l.Name)+", forecast for "+p.l.Future[n-1].said())
	}
}

// grid draws the percent lines of the panel.
func (p fanPanel) grid() {
	each := max(1, step(p.y.d1-p.y.d0, max(2, int((p.y.r0-p.y.r1)/24))))
	for i, v := range ticks(p.y.d0, p.y.d1, each) {
		st := grid
		if i == 0 {
			st = axis
		}
		p.s.line(p.x.r0, p.y.at(v), p.x.r1, p.y.at(v), st)
		p.s.text(p.x.r0-7, p.y.at(v)+4.5, number(v, 0), tick, End)
	}
}

// yearEdges ticks the turns of the years on an axis.
func (s *Scene) yearEdges(from, to time.Time, x scale, y float64) {
	for yr := from.Year() + 1; yr <= to.Year(); yr++ {
		if t := seconds(time.Date(yr, 1, 1, 0, 0, 0, 0, time.UTC)); x.holds(t) {
			s.line(x.at(t), y, x.at(t), y+5, axis)
		}
	}
}

// Table gives, layer by layer, the rounds, what was predicted before they were measured, the model and its forecast with both
// of its intervals, and what is wanted; and the days of planned work.
func (f Forecast) Table() Table {
	out := newTable("Organic matter by layer, measured and forecast", wordColumn("Layer"), wordColumn("What"), wordColumn("Day"))
	out.columns(estimated("OM", "%", nineInTen)...)
	out.columns(numberColumn("OM, 5 in 10 from", "%"), numberColumn("OM, 5 in 10 to", "%"))
	add := func(layer, what string, at time.Time, e Estimate) {
		row := joined([]Cell{cellOf(layer), cellOf(what), dayIn(at)}, e.cells(2)...)
		inner := []Cell{{}, {}}
		if e.Inner.known() {
			inner = []Cell{numberIn(e.Inner.Low, 2), numberIn(e.Inner.High, 2)}
		}
		out.row(append(row, inner...)...)
	}
	for _, l := range f.usable() {
		for _, r := range l.Rounds {
			if r.Kind == Held {
				r.Estimate = Estimate{Mid: math.NaN()}
			}
			add(l.Name, r.Kind.name(), r.At, r.Estimate)
		}
		for _, part := range []struct {
			what string
			of   []FanPoint
		}{{"predicted before it was measured", l.Hindcast}, {"model", l.Past}, {"forecast", l.Future}} {
			for _, p := range part.of {
				add(l.Name, part.what, p.At, p.Estimate)
			}
		}
		if l.Wanted != nil && l.Wanted.known() {
			out.row(cellOf(l.Name), cellOf("wanted"), Cell{}, Cell{}, numberIn(l.Wanted.Low, 2), numberIn(l.Wanted.High, 2), Cell{}, Cell{})
		}
	}
	for _, t := range f.Work {
		out.row(Cell{}, cellOf("planned work"), dayIn(t), Cell{}, Cell{}, Cell{}, Cell{}, Cell{})
	}
	return *out
}
