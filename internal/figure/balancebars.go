package figure

import (
	"strings"
)

// TermKind says what a term of the balance is, and so its texture.
type TermKind int

// Kinds of term.
const (
	Made        TermKind = iota // by growth: blades
	Decayed                     // diagonal
	TakenOut                    // by coring and scarifying: upright tines
	Buried                      // out of the layer by sand above: stipple
	BroughtDown                 // from the layer above: plain
	Diluted                     // by sand put in: stipple
)

// BalanceTerm is one term with its uncertainty: gains above 0, losses below.
type BalanceTerm struct {
	Name string // "made by growth"
	Kind TermKind
	Estimate
}

// BalanceGroup is the balance of one layer, or of one season of it.
type BalanceGroup struct {
	Name  string // "0–20 mm, 2025"
	Terms []BalanceTerm
	Net   *Estimate // the change of all together
}

// BalanceBars shows where organic matter came from and went: a signed bar a term, with its 90 % interval, the value at the
// end, and the net change below. All groups share the axis.
type BalanceBars struct {
	Title    string // "Balance of organic matter"
	Unit     string // "points", "kg/m²"
	Decimals int
	Groups   []BalanceGroup
	Width    float64 // 720 if zero; the height follows the rows
}

const balanceHead, balanceGap, balanceFoot = 24, 14, 42

// Scene draws the bars.
func (b BalanceBars) Scene() *Scene {
	w, _ := sized(b.Width, 0, box{720, 0}, box{240, 0})
	groups := b.usable()
	row := 26.0
	if w <= 480 {
		row = 44 // the name stands above its bar
	}
	h := 80.0
	if len(groups) > 0 {
		h = balanceFoot
	}
	for _, g := range groups {
		h += balanceHead + balanceGap + row*float64(len(g.Terms))
	}
	s := &Scene{Width: w, Height: min(h, 4000), Class: "chart", Shrink: w <= 480, Title: b.Title}
	s.Values = b.Table
	if len(groups) == 0 {
		return s.blank("no balance yet: it needs a calibrated model")
	}
	b.words(s, groups)
	x := b.across(groups, w)
	y := 0.0
	b.axis(s, x)
	for _, g := range groups {
		s.text(0, y+15, fitted(g.Name, wordBold, w), wordBold, Start)
		y += balanceHead
		s.line(0, y-3, w, y-3, grid)
		for _, t := range g.Terms {
			b.term(s, t, x, y, row)
			y += row
		}
		y += balanceGap
	}
	return s
}

// netKind marks the row of the net change.
const netKind TermKind = -1

// usable keeps the terms that can be drawn, the net change as the last row of each group.
func (b BalanceBars) usable() []BalanceGroup {
	var out []BalanceGroup
	for _, g := range b.Groups {
		var terms []BalanceTerm
		for _, t := range g.Terms {
			if drawable(t.Mid) && t.Kind >= Made {
				terms = append(terms, t)
			}
		}
		if g.Net != nil && drawable(g.Net.Mid) {
			terms = append(terms, BalanceTerm{Name: "net change", Kind: netKind, Estimate: *g.Net})
		}
		if g.Terms = terms; len(terms) > 0 {
			out = append(out, g)
		}
	}
	const most = 60 // rows; more would outgrow the drawing
	n := 0
	for i, g := range out {
		if n += len(g.Terms); n > most {
			return out[:max(i, 1)]
		}
	}
	return out
}

func (b BalanceBars) decimals() int { return min(max(b.Decimals, 0), 6) }

func (b BalanceBars) words(s *Scene, groups []BalanceGroup) {
	var parts []string
	for _, g := range groups {
		var terms []string
		for _, t := range g.Terms {
			terms = append(terms, t.Name+" "+b.value(t.Mid)+" "+b.Unit+b.bounds(t.Estimate))
		}
		parts = append(parts, spoken(g.Name)+": "+strings.Join(terms, "; "))
	}
	s.Label = strings.TrimPrefix(b.Title+". "+strings.Join(parts, ". "), ". ")
	s.Desc = "Bars to the right add organic matter, bars to the left take it away. Whiskers hold 9 chances in 10."
}

// value writes a term with its sign.
func (b BalanceBars) value(v float64) string {
	words := number(v, b.decimals())
	if v > 0 && strings.Trim(words, "0.") != "" {
		return "+" + words
	}
	return words
}

func (b BalanceBars) bounds(e Estimate) string {
	if !e.Outer.known() {
		return ""
	}
	return " (" + b.span(e) + ")"
}

// across leaves room for the names on the left and the intervals on the right where there is some, and for the values at both
// ends of the bars: as much as the longest of them needs where its bar ends.
func (b BalanceBars) across(groups []BalanceGroup, w float64) scale {
	var e extent
	names, column := 40.0, 0.0
	e.take(0)
	for _, g := range groups {
		for _, t := range g.Terms {
			e.takeAll(t.Estimate)
			names = max(names, textWidth(t.Name, word)+14)
			column = max(column, textWidth(b.span(t.Estimate), wordQuiet)+14)
		}
	}
	if e.hi == e.lo {
		e.lo, e.hi = -1, 1
	}
	left, right := min(names, w*.36), w-min(column, w*.25)
	if !b.ranges(w) {
		right = w
	}
	if w <= 480 {
		left = 0
	}
	x := scale{e.lo, e.hi, left, right}
	for range 8 { // room given at one end moves the bars at the other
		low, high := left, right
		for _, g := range groups {
			for _, t := range g.Terms {
				from, to := b.row(t, x)
				low, high = min(low, from), max(high, to)
			}
		}
		x.r0, x.r1 = x.r0+left-low, x.r1-(high-right)
		if x.r1 < x.r0+20 {
			mid := clamp((x.r0+x.r1)/2, left, right-20)
			return scale{e.lo, e.hi, mid, mid + 20}
		}
	}
	return x
}

// row gives the pixels from the start to the end of what stands in the row of a term, its value included.
func (b BalanceBars) row(t BalanceTerm, x scale) (from, to float64) {
	from, to = min(x.at(0), x.at(t.Mid)), max(x.at(0), x.at(t.Mid))
	if t.Outer.known() {
		from, to = min(from, x.at(t.Outer.Low)), max(to, x.at(t.Outer.High))
	}
	wide := textWidth(b.ending(t), wordBold) + 8
	if t.Mid < 0 {
		return from - wide, to
	}
	return from, to + wide
}

// ending is what stands at the end of a bar.
func (b BalanceBars) ending(t BalanceTerm) string {
	return strings.TrimSpace(b.value(t.Mid) + " " + b.Unit)
}

func (b BalanceBars) axis(s *Scene, x scale) {
	foot := s.Height - balanceFoot
	each := step(max(x.d1-x.d0, 1e-6), max(4, int((x.r1-x.r0)/56)))
	for _, v := range ticks(x.d0, x.d1, each) {
		s.line(x.at(v), balanceHead, x.at(v), foot, grid)
		s.text(x.at(v), foot+16, signed(v, decimals(each)), tick, Middle)
	}
	s.line(x.at(0), balanceHead-3, x.at(0), foot, zero)
	words := fitted(strings.TrimSpace("organic matter, "+b.Unit), wordQuiet, s.Width)
	half := textWidth(words, wordQuiet) / 2
	s.text(clamp((x.r0+x.r1)/2, half, max(half, s.Width-half)), s.Height-6, words, wordQuiet, Middle)
}

// signed writes a tick with its sign.
func signed(v float64, d int) string {
	words := number(v, d)
	if v > 0 && strings.Trim(words, "0.") != "" {
		return "+" + words
	}
	return words
}

// texture gives the style of a bar.
func (k TermKind) texture() Style {
	switch k {
	case Made:
		return growBar
	case Decayed:
		return decayBar
	case TakenOut:
		return tineBar
	case Buried, Diluted:
		return sandBar
	case BroughtDown:
		return plainBar
	}
	return solid
}

// term draws one row: name, bar, interval and value.
func (b BalanceBars) term(s *Scene, t BalanceTerm, x scale, y, row float64) {
	name := word
	if t.Kind == netKind {
		name = wordBold
	}
	mid := y + row/2
	if s.Width > 480 {
		s.text(0, mid+4, fitted(t.Name, name, s.Width*.36-8), name, Start)
	} else {
		s.text(0, y+14, fitted(t.Name, name, s.Width), name, Start)
		mid = y + 29
	}
	const thick = 13.0
	x0, x1 := min(x.at(0), x.at(t.Mid)), max(x.at(0), x.at(t.Mid))
	s.rect(x0, mid-8, max(x1-x0, .75), thick, t.Kind.texture())
	if t.Outer.known() {
		s.across(mid+9, t.Outer, x, whisker) // below the bar, where no texture hides it
		x0, x1 = min(x0, x.at(t.Outer.Low)), max(x1, x.at(t.Outer.High))
	}
	if b.ranges(s.Width) {
		s.text(s.Width, mid+4, b.span(t.Estimate), wordQuiet, End)
	}
	if t.Mid < 0 {
		s.add(Text{Style: wordBold, X: x0 - 7, Y: mid + 4, Anchor: End, Words: b.ending(t), Halo: true})
	} else {
		s.add(Text{Style: wordBold, X: x1 + 7, Y: mid + 4, Words: b.ending(t), Halo: true})
	}
	s.mark(number(t.Mid, b.decimals()), t.Name+": "+b.ending(t)+b.bounds(t.Estimate), x0-4, mid-12, x1-x0+8, 24)
}

// ranges tells whether there is room for a column of the intervals.
func (b BalanceBars) ranges(w float64) bool { return w >= 620 }

// span writes the interval of a term.
func (b BalanceBars) span(e Estimate) string {
	if !e.Outer.known() {
		return ""
	}
	return b.value(e.Outer.Low) + " to " + b.value(e.Outer.High)
}

// Table gives the terms of each group.
func (b BalanceBars) Table() Table {
	out := newTable(b.Title, joined([]Column{wordColumn("Balance of"), wordColumn("Term")}, estimated("Organic matter", b.Unit, nineInTen)...)...)
	for _, g := range b.usable() {
		for _, t := range g.Terms {
			out.row(joined([]Cell{cellOf(g.Name), cellOf(t.Name)}, t.Estimate.cells(finer(b.Decimals))...)...)
		}
	}
	return *out
}
