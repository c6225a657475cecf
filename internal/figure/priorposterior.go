package figure

import (
	"math"
	"strings"
)

// ParameterRow is one unknown of a model: what was assumed of it, what is known now, and a word on which of the two decides.
type ParameterRow struct {
	Name, Unit       string
	Decimals         int
	Log              bool // the axis is logarithmic: each unknown has its own
	Prior, Posterior Estimate
	Verdict          string // "the rounds decided", "half and half", "still the prior"
}

// PriorPosterior shows what the rounds taught: one row a parameter, what was assumed in grey above, what is known now in
// blue below, on an axis of its own that the prior spans.
type PriorPosterior struct {
	Rows  []ParameterRow
	Width float64 // 860 if zero; the height follows the rows
}

// Scene draws the rows.
func (p PriorPosterior) Scene() *Scene {
	w, _ := sized(p.Width, 0, box{860, 0}, box{280, 0})
	rows := p.usable()
	narrow := w < 640
	row := 66.0
	if narrow {
		row = 124
	}
	head := 22.0
	h := 80.0
	if len(rows) > 0 {
		h = head + row*float64(len(rows))
	}
	s := &Scene{Width: w, Height: min(h, 4000), Class: "chart", Shrink: w <= 480, Title: "What was assumed and what the rounds taught"}
	s.Values = p.Table
	if len(rows) == 0 {
		return s.blank("no calibration yet: nothing to compare")
	}
	words := make([]string, len(rows))
	for i, r := range rows {
		words[i] = r.said()
	}
	s.Label = s.Title + ". " + strings.Join(words, ". ")
	s.Desc = "Grey: assumed before. Blue: known now. The wide band and the whisker hold 9 chances in 10, the thick part 5 in 10. Each row has its own axis."
	k := keyRow{s: s, y: 14}
	k.add("assumed before", func(x, y float64) {
		s.rect(x, y-9, 12, 9, prior90)
		s.rect(x+3, y-9, 6, 9, prior50)
	})
	k.add("known now", func(x, y float64) {
		s.line(x, y-4.5, x+12, y-4.5, mWhisker)
		s.line(x+3, y-4.5, x+9, y-4.5, mThick)
	})
	for i, r := range rows {
		y := head + row*float64(i)
		s.line(0, y, w, y, grid)
		if narrow {
			r.narrow(s, y)
		} else {
			r.wide(s, y)
		}
	}
	return s
}

// usable keeps rows with a median of either; a logarithmic axis needs values above 0.
func (p PriorPosterior) usable() []ParameterRow {
	var out []ParameterRow
	for _, r := range p.Rows {
		r.Decimals = min(max(r.Decimals, 0), 6)
		if !drawable(r.Prior.Mid) && !drawable(r.Posterior.Mid) {
			continue
		}
		for _, e := range r.both() {
			low := e.Mid
			if e.Outer.known() {
				low = min(low, e.Outer.Low)
			}
			if e.Inner.known() {
				low = min(low, e.Inner.Low)
			}
			r.Log = r.Log && low > 1e-9
		}
		out = append(out, r)
	}
	return out[:min(len(out), 34)]
}

// both gives the estimates that can be drawn.
func (r ParameterRow) both() []Estimate {
	var out []Estimate
	for _, e := range []Estimate{r.Prior, r.Posterior} {
		if drawable(e.Mid) {
			out = append(out, e)
		}
	}
	return out
}

func (r ParameterRow) said() string {
	return r.Name + ": assumed " + r.value(r.Prior) + ", now " + r.value(r.Posterior) + strings.TrimSuffix("; "+r.Verdict, "; ")
}

// value writes an estimate with its unit and range.
func (r ParameterRow) value(e Estimate) string {
	if !drawable(e.Mid) {
		return "not known"
	}
	words := strings.TrimSpace(number(e.Mid, r.Decimals) + " " + r.Unit)
	if e.Outer.known() {
		words += ", " + e.Outer.prose(r.Decimals)
	}
	return words
}

// short is value without the unit, for beside the picture.
func (r ParameterRow) short(e Estimate) string {
	if !drawable(e.Mid) {
		return "not known"
	}
	if !e.Outer.known() {
		return number(e.Mid, r.Decimals)
	}
	return number(e.Mid, r.Decimals) + ", " + e.Outer.prose(r.Decimals)
}

// wide sets name, picture, values and verdict beside one another.
func (r ParameterRow) wide(s *Scene, y float64) {
	const verdict, values, gap = 136.0, 160.0, 18.0
	names := clamp(s.Width*.24, 120, 230)
	lines := wrapped(r.Name, word, names-gap)
	lines = lines[:min(len(lines), 2)]
	for i, l := range lines {
		s.text(0, y+19+float64(i)*17, l, word, Start)
	}
	if len(lines) < 3 {
		s.text(0, y+19+float64(len(lines))*17, fitted(r.Unit, wordQuiet, names-gap), wordQuiet, Start)
	}
	left := names
	right := s.Width - verdict - values - 2*gap
	r.picture(s, left, max(right, left+40), y+6)
	at := right + gap
	s.text(at, y+19, fitted(r.short(r.Prior), wordQuiet, values), wordQuiet, Start)
	s.text(at, y+37, fitted(r.short(r.Posterior), wordModel, values), wordModel, Start)
	for i, l := range wrapped(r.Verdict, word, verdict) {
		if i < 2 {
			s.text(s.Width-verdict, y+28+float64(i)*17, l, word, Start)
		}
	}
}

// narrow sets them below one another.
func (r ParameterRow) narrow(s *Scene, y float64) {
	verdict := fitted(r.Verdict, wordQuiet, s.Width*.45)
	s.text(0, y+18, fitted(r.Name, word, s.Width), word, Start)
	r.picture(s, 0, s.Width, y+24)
	half := s.Width - textWidth(verdict, wordQuiet) - 10
	s.text(0, y+98, fitted(r.value(r.Prior), wordQuiet, half), wordQuiet, Start)
	s.text(0, y+115, fitted(r.value(r.Posterior), wordModel, half), wordModel, Start)
	s.text(s.Width, y+115, verdict, wordQuiet, End)
}

// axisOf gives the axis: what the prior spans, and what the posterior reaches beyond it. On a logarithmic axis it counts in
// natural logarithms.
func (r ParameterRow) axisOf(left, right float64) scale {
	var e extent
	for _, v := range r.both() {
		e.take(r.on(v.Mid))
		for _, i := range []Interval{v.Outer, v.Inner} {
			if i.known() {
				e.take(r.on(i.Low), r.on(i.High))
			}
		}
	}
	air := (e.hi - e.lo) * .08
	if !(air > 0) {
		air = max(math.Abs(e.hi)*.1, .1)
	}
	return scale{e.lo - air, e.hi + air, left, right}
}

// on is where a value stands on the axis.
func (r ParameterRow) on(v float64) float64 {
	if r.Log {
		return math.Log(v)
	}
	return v
}

// picture draws prior above posterior and the axis below, in 50 px.
func (r ParameterRow) picture(s *Scene, left, right, y float64) {
	x := r.axisOf(left+10, right-10)
	across := func(i Interval, at, thick float64, st Style) {
		if i.known() && x.at(r.on(i.High)) > x.at(r.on(i.Low)) {
			s.rect(x.at(r.on(i.Low)), at, x.at(r.on(i.High))-x.at(r.on(i.Low)), thick, st)
		}
	}
	r.ticks(s, x, y)
	if drawable(r.Prior.Mid) {
		across(r.Prior.Outer, y+2, 13, prior90)
		across(r.Prior.Inner, y+2, 13, prior50)
		at := x.at(r.on(r.Prior.Mid))
		s.line(at, y+2, at, y+15, priorMid)
		r.mark(s, r.Prior, x, y-4, "assumed before")
	}
	if drawable(r.Posterior.Mid) {
		at := y + 25.0
		for _, z := range []struct {
			i  Interval
			st Style
		}{{r.Posterior.Outer, mWhisker}, {r.Posterior.Inner, mThick}} {
			if z.i.known() {
				s.across(at, Interval{r.on(z.i.Low), r.on(z.i.High)}, x, z.st)
			}
		}
		s.circle(x.at(r.on(r.Posterior.Mid)), at, 4.4, mDotOpen)
		r.mark(s, r.Posterior, x, y+14, "known now")
	}
}

func (r ParameterRow) mark(s *Scene, e Estimate, x scale, y float64, when string) {
	lo, hi := x.at(r.on(e.Mid)), x.at(r.on(e.Mid))
	if e.Outer.known() {
		lo, hi = min(lo, x.at(r.on(e.Outer.Low))), max(hi, x.at(r.on(e.Outer.High)))
	}
	s.mark(number(e.Mid, r.Decimals), r.Name+", "+when+": "+r.value(e), lo-4, y, hi-lo+8, 24)
}

// ticks draws the axis with round values: along a logarithmic one the 1, 2 and 5 of each power of ten.
func (r ParameterRow) ticks(s *Scene, x scale, y float64) {
	foot := y + 36
	s.line(x.r0, foot, x.r1, foot, axis)
	room := math.Inf(-1)
	for _, v := range r.rounds(x) {
		at, words := x.at(r.on(v)), bareTo(v, 6)
		s.line(at, foot, at, foot+4, axis)
		half := textWidth(words, tick) / 2
		if at-half > room+6 && at-half >= x.r0-10 && at+half <= x.r1+10 {
			s.text(at, foot+17, words, tick, Middle)
			room = at + half
		}
	}
}

// rounds gives the round values on the axis.
func (r ParameterRow) rounds(x scale) []float64 {
	if !r.Log || x.d1-x.d0 < math.Ln2*1.5 {
		lo, hi := x.d0, x.d1
		if r.Log {
			lo, hi = math.Exp(lo), math.Exp(hi)
		}
		return ticks(lo, hi, step(hi-lo, max(2, int((x.r1-x.r0)/64))))
	}
	each := []float64{1, 2, 5}
	if x.d1-x.d0 > 4*math.Ln10 {
		each = each[:1]
	}
	var out []float64
	for p := int(math.Floor(x.d0 / math.Ln10)); p <= int(x.d1/math.Ln10)+1; p++ {
		for _, m := range each {
			if v := m * math.Pow10(p); x.holds(math.Log(v)) {
				out = append(out, v)
			}
		}
	}
	return out
}

// bareTo writes a number with as few decimals as it needs, at most d.
func bareTo(v float64, d int) string {
	for k := range d {
		if p := v * math.Pow10(k); math.Abs(p-math.Round(p)) < 1e-6 {
			return number(v, k)
		}
	}
	return number(v, d)
}

// Table gives each unknown before and after.
func (p PriorPosterior) Table() Table {
	out := newTable("What was assumed and what the rounds taught", wordColumn("Unknown"), wordColumn("Unit"))
	out.columns(estimated("Assumed before", "", nineInTen)...)
	out.columns(estimated("Known now", "", nineInTen)...)
	out.columns(wordColumn("What decides"))
	for _, r := range p.usable() {
		row := joined(joined([]Cell{cellOf(r.Name), cellOf(r.Unit)}, r.Prior.cells(finer(r.Decimals))...), r.Posterior.cells(finer(r.Decimals))...)
		out.row(append(row, cellOf(r.Verdict))...)
	}
	return *out
}
