package figure

import "strings"

// TradePoint is one plan: what it takes and how likely it does what is wanted.
type TradePoint struct {
	X      float64 // sand, mm
	Chance float64 // 0..1
	Name   string  // empty for a point of the curve
	Chosen bool
}

// Tradeoff shows the chance that a plan does what is wanted against the sand it takes: the chosen plan with less and with
// more sand as a line, other plans as open dots.
type Tradeoff struct {
	XName         string // "mm of sand in all"
	Decimals      int    // of the sand; 1 if zero
	Curve         []TradePoint
	Others        []TradePoint
	Wanted        float64 // chance; 0 leaves the line out
	Width, Height float64 // 560 × 280 if zero
}

// Scene draws the figure.
func (t Tradeoff) Scene() *Scene {
	w, h := sized(t.Width, t.Height, box{560, 280}, box{240, 160})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: w <= 480, Title: "Chance of a plan against its sand"}
	s.Values = t.Table
	curve, others := usableTrades(t.Curve), usableTrades(t.Others)
	if len(curve)+len(others) == 0 {
		return s.blank("no plan to compare")
	}
	var ex extent
	ex.take(0)
	for _, p := range append(append([]TradePoint{}, curve...), others...) {
		ex.take(p.X)
	}
	if ex.hi == ex.lo {
		ex.hi++
	}
	x, y := scale{0, ex.hi * 1.04, 62, w - 14}, scale{0, 1, h - 44, 14}
	t.words(s, curve, others)
	t.grid(s, x, y, h)
	if t.Wanted > 0 && t.Wanted < 1 {
		s.line(x.r0, y.at(t.Wanted), x.r1, y.at(t.Wanted), wantLine)
		s.add(Text{Style: wordQuiet, X: x.r0 + 6, Y: y.at(t.Wanted) - 6, Words: "wanted", Halo: true})
	}
	var line []Point
	for _, p := range curve {
		line = append(line, Point{x.at(p.X), y.at(p.Chance)})
	}
	s.polyline(line, model)
	var taken []nook
	for _, p := range joined(curve, others...) {
		if p.Name != "" || p.Chosen {
			taken = append(taken, nook{x.at(p.X) - 6, y.at(p.Chance) - 6, 12, 12})
		}
	}
	for _, p := range others {
		s.circle(x.at(p.X), y.at(p.Chance), 5, mDotOpen)
	}
	for _, p := range curve {
		if p.Chosen {
			s.circle(x.at(p.X), y.at(p.Chance), 6, mDot)
			taken = t.name(s, p, x, y, wordModel, taken)
		}
	}
	for _, p := range others {
		taken = t.name(s, p, x, y, word, taken)
	}
	for _, p := range append(append([]TradePoint{}, curve...), others...) {
		s.mark(chanceIn(p.Chance), t.said(p), x.at(p.X)-6, y.at(p.Chance)-6, 12, 12)
	}
	return s
}

// name sets the name of a plan beside its dot, where it stands on no other dot and no other name.
func (t Tradeoff) name(s *Scene, p TradePoint, x, y scale, st Style, taken []nook) []nook {
	if p.Name == "" {
		return taken
	}
	px, py := x.at(p.X), y.at(p.Chance)
	words := fitted(p.Name, st, x.r1-x.r0)
	w := textWidth(words, st)
	places := []Point{{px - w/2, py - 10}, {px + 11, py + 4.5}, {px - w/2, py + 20}, {px - w - 11, py + 4.5}, {px + 9, py - 14}, {px - w - 9, py - 14}, {px + 9, py + 24}, {px - w - 9, py + 24}}
	at, found := places[0], false
	for _, q := range places {
		box := nook{q.X, q.Y - 12, w, 14}
		if !found && box.y >= y.r1-12 && box.x >= x.r0 && box.x+w <= s.Width && !box.meetsAny(taken) {
			at, found = q, true
		}
	}
	s.add(Text{Style: st, X: clamp(at.X, x.r0, max(x.r0, s.Width-w)), Y: at.Y, Words: words, Halo: true})
	return append(taken, nook{at.X, at.Y - 12, w, 14})
}

func (t Tradeoff) grid(s *Scene, x, y scale, h float64) {
	for i, v := range ticks(0, 1, 0.2) {
		st := grid
		if i == 0 {
			st = axis
		}
		s.line(x.r0, y.at(v), x.r1, y.at(v), st)
		s.text(x.r0-7, y.at(v)+4.5, chanceIn(v), tick, End)
	}
	each := step(x.d1, max(2, int((x.r1-x.r0)/56)))
	if t.Decimals <= 1 {
		each = max(1, each)
	}
	for _, v := range ticks(0, x.d1, each) {
		s.text(x.at(v), y.r0+18, number(v, decimals(each)), tick, Middle)
	}
	s.text((x.r0+x.r1)/2, h-7, t.XName, wordQuiet, Middle)
}

func (t Tradeoff) said(p TradePoint) string {
	name := p.Name
	if name != "" {
		name += ", "
	}
	return name + number(p.X, max(1, t.Decimals)) + " " + t.XName + ": " + chanceIn(p.Chance)
}

func (t Tradeoff) words(s *Scene, curve, others []TradePoint) {
	var list []string
	for _, p := range append(append([]TradePoint{}, curve...), others...) {
		list = append(list, t.said(p))
	}
	s.Label = s.Title + ": " + strings.Join(list, "; ")
	s.Desc = "Line: the plan with less and with more sand. Open dots: plans of another kind. Dashed: the chance that is wanted."
}

// chanceIn writes a chance as tenths.
func chanceIn(v float64) string { return number(10*v, 0) + " in 10" }

func usableTrades(all []TradePoint) []TradePoint {
	var out []TradePoint
	for _, p := range all {
		if drawable(p.X) && p.X >= 0 && p.Chance >= 0 && p.Chance <= 1 {
			out = append(out, p)
		}
	}
	return out
}

// Table gives the points of the curve and the other plans.
func (t Tradeoff) Table() Table {
	out := newTable("Chance of a plan against its sand", wordColumn("Plan"), numberColumn(t.XName, ""), numberColumn("Chance", "%"))
	curve, others := usableTrades(t.Curve), usableTrades(t.Others)
	for i, p := range joined(curve, others...) {
		name := p.Name
		if name == "" && i < len(curve) {
			name = "with less or more sand"
		}
		out.row(cellOf(name), numberIn(p.X, max(1, t.Decimals)), shareIn(p.Chance, 1))
	}
	if t.Wanted > 0 && t.Wanted < 1 {
		out.row(cellOf("wanted"), Cell{}, shareIn(t.Wanted, 1))
	}
	return *out
}
