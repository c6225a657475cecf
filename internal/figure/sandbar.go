package figure

// SandBar is the sand of a season small enough for a list [mm]: a stippled bar for what was put
// on, under it what holding needed. All bars of a list get the same Max.
type SandBar struct {
	Applied       float64
	Needed        *Estimate
	Max           float64 // end of the scale; 8 mm, or more if the season needs it, if zero
	Width, Height float64 // 146 × 46 if zero
	Measure       Measure
}

// Scene draws the bar.
func (b SandBar) Scene() *Scene {
	w, h := sized(b.Width, b.Height, box{146, 46}, box{80, 44})
	s := &Scene{Width: w, Height: h, Class: "chart", Title: "Sand put on"}
	s.Values = b.Table
	if b.Needed != nil && !drawable(b.Needed.Mid) {
		b.Needed = nil
	}
	if !drawable(b.Applied) {
		s.Label = "Sand put on: not known"
		s.text(0, 13, "not known", wordQuiet, Start)
		return s
	}
	z := Season{Name: s.Title, Applied: max(b.Applied, 0), Needed: b.Needed}
	m := b.Measure
	z.Applied, z.Needed = m.of(z.Applied), m.estimate(z.Needed)
	s.Label = z.said(m)

	e := extent{0, m.of(8), true}
	if drawable(b.Max) && b.Max > 0 {
		e.hi = m.of(b.Max)
	}
	e.take(z.Applied)
	if z.Needed != nil {
		e.takeAll(*z.Needed)
	}
	x := scale{0, e.hi, 0, w - 4}
	if len := x.at(z.Applied); len > 0 {
		s.rect(.5, h-26, len, 13, sandBar)
	}
	s.text(0, 13, number(z.Applied, m.places(1))+" "+m.unit(), wordBold, Start)
	s.line(.5, h-28, .5, h-8, zero)
	if z.Needed == nil {
		s.text(w, 13, "need not known", wordQuiet, End)
		return s
	}
	s.across(h-5, z.Needed.Outer, x, mWhisker)
	s.across(h-5, z.Needed.Inner, x, mThick)
	s.circle(clamp(x.at(z.Needed.Mid), 5, w-5), h-5, 4, mDotOpen)
	s.text(w, 13, "of "+number(z.Needed.Mid, m.places(1)), wordModel, End)
	return s
}

// Table gives the one season.
func (b SandBar) Table() Table {
	out := newTable("Sand put on", joined([]Column{numberColumn("Put on", "mm")}, estimated("Needed", "mm", nineInTen)...)...)
	out.row(joined([]Cell{numberIn(b.Applied, 2)}, cellsOf(b.Needed, 2)...)...)
	return *out
}
