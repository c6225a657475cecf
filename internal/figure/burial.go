package figure

import (
	"math"
	"strings"
	"time"
)

// Burial is the chart of a profile through time: time goes across, depth below the surface of each date goes down, colour is
// organic matter. Lines are the surfaces of past seasons as they sink. What lies after Now is planned, and drawn softer.
type Burial struct {
	Dates         []time.Time     // the columns, rising
	Depths        []float64       // edges of the rows, rising from the surface [mm]
	OM            [][]float64     // organic matter by date and row [%]; NaN is left blank
	Seasons       []SunkenSurface // oldest first
	Cores         []CoringMark    // holes made, and planned
	Rounds        []time.Time     // sampling rounds
	Layers        []float64       // edges of the layers sampled [mm]
	Now           time.Time       // zero: nothing is planned
	Until         time.Time       // the end of the axis; the last date if zero
	Width, Height float64         // 960 × 420 if zero
	Measure       Measure         // of the depths as they are read
}

// SunkenSurface is where the surface of the start of one season lies at each date [mm], NaN before it existed.
type SunkenSurface struct {
	Label string // "2023"
	Depth []float64
}

// CoringKind is what a coring leaves behind.
type CoringKind int

// Kinds of coring.
const (
	HollowTines CoringKind = iota // takes a core out; drawn as an open hole
	SolidTines                    // opens a hole; drawn as a dashed line
	Injection                     // puts sand in at depth; drawn as a dashed line
)

// CoringMark is one coring: when, how deep [mm], and the share of the surface it opened (0 to 1).
type CoringMark struct {
	At      time.Time
	DepthMM float64
	Opened  float64
	Kind    CoringKind
}

const burialRow = 21 // height of a row of keys above the chart [px]

// Scene draws the chart.
func (b Burial) Scene() *Scene {
	w, h := sized(b.Width, b.Height, box{960, 420}, box{240, 180})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: w <= 480, Title: "Organic matter by depth and time"}
	s.Values = b.Table
	b, f := b.usable()
	if len(f.x) < 2 || len(f.y) == 0 {
		return s.blank("no modelled profile to show yet: it needs two dates and a depth")
	}
	b.words(s, f)
	top := b.keys(s) + 28
	right := 108.0
	if w <= 480 {
		right = 46
	}
	x := scale{seconds(b.Dates[0]), seconds(b.Dates[len(b.Dates)-1]), 30, w - right}
	y := scale{0, b.Depths[len(b.Depths)-1], top, h - 26}
	b.soil(s, f, x, y)
	b.rounds(s, x, y)
	b.holes(s, x, y)
	b.future(s, x, y)
	labels := b.surfaces(s, x, y)
	b.axes(s, x, y)
	b.named(s, labels, x, y)
	return s
}

// usable keeps the dates and depths that can stand on the axes, thinned to what can be told apart; the field holds organic
// matter clamped to the scale of colours, by column and row, its places in seconds and mm.
func (b Burial) usable() (Burial, field) {
	var f field
	rows := b.rows()
	if len(rows) == 0 {
		return b, f
	}
	var keep []int
	for i, t := range b.Dates {
		late := datable(b.Until) && t.After(b.Until)
		if datable(t) && !late && (len(keep) == 0 || t.After(b.Dates[keep[len(keep)-1]])) {
			keep = append(keep, i)
		}
	}
	keep = everySoMany(keep, 240)
	out := b
	out.Dates, out.Seasons, out.Depths = nil, make([]SunkenSurface, len(b.Seasons)), []float64{0}
	for k, z := range b.Seasons {
		out.Seasons[k].Label = z.Label
	}
	some := false
	for _, i := range keep {
		out.Dates = append(out.Dates, b.Dates[i])
		f.x = append(f.x, seconds(b.Dates[i]))
		col := make([]float64, len(rows))
		for k, j := range rows {
			col[k] = math.NaN()
			if i < len(b.OM) && j < len(b.OM[i]) && drawable(b.OM[i][j]) {
				col[k] = clamp(b.OM[i][j], 0, 10)
				some = true
			}
		}
		f.at = append(f.at, col)
		for k, z := range b.Seasons {
			d := math.NaN()
			if i < len(z.Depth) {
				d = z.Depth[i]
			}
			out.Seasons[k].Depth = append(out.Seasons[k].Depth, d)
		}
	}
	if !some {
		return out, field{}
	}
	for _, j := range rows {
		f.y = append(f.y, (b.Depths[j]+b.Depths[j+1])/2)
	}
	out.Depths = append(out.Depths, b.Depths[rows[len(rows)-1]+1])
	return out, f
}

// rows gives the rows with a thickness, from the surface down.
func (b Burial) rows() []int {
	var out []int
	for j := 0; j+1 < len(b.Depths); j++ {
		d0, d1 := b.Depths[j], b.Depths[j+1]
		if !drawable(d0) || !drawable(d1) || d0 < 0 || d1 <= d0 {
			return out
		}
		out = append(out, j)
	}
	return everySoMany(out, 100)
}

// everySoMany thins a list to at most n, evenly, and keeps its last.
func everySoMany(all []int, n int) []int {
	if len(all) <= n {
		return all
	}
	out := make([]int, n)
	for k := range out {
		out[k] = all[k*(len(all)-1)/(n-1)]
	}
	return out
}

// bands is how many bands of colour a point of organic matter has: one for each half percent, as the scale has.
const bands = 2

// soil paints the bands of colour, each over the one below it.
func (b Burial) soil(s *Scene, f field, x, y scale) {
	p := field{}
	for i, v := range f.x {
		p.x = append(p.x, x.at(v))
		p.at = append(p.at, ends(f.at[i])) // the first and last row go on to the edges, half a row away
	}
	for _, v := range f.y {
		p.y = append(p.y, y.at(v))
	}
	p.y = append(append([]float64{y.r0}, p.y...), y.r1)
	p = p.padded()
	var e extent
	for _, col := range f.at {
		e.take(col...)
	}
	g := Group{Name: "soil"}
	from, to := int(e.lo*bands), min(int(e.hi*bands), 10*bands-1)
	from = min(from, to)
	for k := from; k <= to; k++ {
		level := float64(k) / bands
		if k == from {
			level = -1 // all that has a value, whatever rounding does
		}
		var segs []Seg
		for _, ring := range p.outlines(level) {
			segs = append(segs, segments(ring, true)...)
		}
		if len(segs) > 0 {
			g.Parts = append(g.Parts, Path{Style: soil, Segs: segs, Fill: OMColour((float64(k) + .5) / bands)})
		}
	}
	s.add(g)
}

// words says in the label what the chart shows: organic matter now at the middle of each layer, where the surfaces lie at
// the end, and how much was done.
func (b Burial) words(s *Scene, f field) {
	n := len(b.Dates) - 1
	i := n
	if datable(b.Now) {
		for i > 0 && b.Dates[i].After(b.Now) {
			i--
		}
	}
	parts := []string{s.Title + ", " + b.Dates[0].Format("Jan 2006") + " to " + b.Dates[n].Format("Jan 2006")}
	var now []string
	for _, d := range b.middles() {
		if v := f.nearest(i, d); drawable(v) {
			now = append(now, number(v, 1)+" % at "+bare(d)+" mm")
		}
	}
	if len(now) > 0 {
		parts = append(parts, b.Dates[i].Format("Jan 2006")+": "+strings.Join(now, ", "))
	}
	var sunk []string
	for _, z := range b.Seasons {
		if d := z.Depth[n]; drawable(d) {
			sunk = append(sunk, z.Label+" at "+number(d, 0)+" mm")
		}
	}
	if len(sunk) > 0 {
		parts = append(parts, "Surfaces in "+b.Dates[n].Format("Jan 2006")+": "+strings.Join(sunk, ", "))
	}
	s.Label = strings.Join(parts, ". ")
	s.Desc = "Time goes across, depth goes down, colour is organic matter from 0 to 10 %, the same scale everywhere. " +
		"Lines are the surface at the start of each season as it sinks. Holes hang from the surface to their depth."
	if b.planned() {
		s.Desc += " What lies after today is planned, and softer."
	}
}

// middles gives the middle of each layer, or of the column where no layer is told.
func (b Burial) middles() []float64 {
	var out []float64
	for k := 0; k+1 < len(b.Layers); k++ {
		if m := (b.Layers[k] + b.Layers[k+1]) / 2; drawable(m) && m > 0 && m < b.bottom() {
			out = append(out, m)
		}
	}
	if len(out) == 0 {
		out = []float64{b.bottom() / 2}
	}
	return out
}

func (b Burial) bottom() float64 { return b.Depths[len(b.Depths)-1] }

// planned tells whether a part of the chart lies after today.
func (b Burial) planned() bool {
	return datable(b.Now) && b.Now.Before(b.Dates[len(b.Dates)-1])
}

// nearest gives the value of a column at the row nearest to a depth.
func (f field) nearest(i int, depth float64) float64 {
	best := 0
	for j := range f.y {
		if math.Abs(f.y[j]-depth) < math.Abs(f.y[best]-depth) {
			best = j
		}
	}
	return f.at[i][best]
}

// Table gives organic matter by date and depth as it is drawn, the surfaces that were buried, and what was opened.
func (b Burial) Table() Table {
	out := newTable("Organic matter by depth and time", wordColumn("Day"), wordColumn("What"), numberColumn("Depth", "mm"), numberColumn("OM", "%"))
	thin, f := b.usable()
	for _, i := range everySoMany(counted(len(f.x)), 60) { // a month or so apart: neighbours of the drawing hardly differ
		for j, d := range f.y {
			out.row(dayIn(thin.Dates[i]), cellOf("soil"), numberIn(d, 1), numberIn(f.at[i][j], 2))
		}
		for _, z := range thin.Seasons {
			if drawable(z.Depth[i]) {
				out.row(dayIn(thin.Dates[i]), cellOf("surface of "+z.Label), numberIn(z.Depth[i], 1), Cell{})
			}
		}
	}
	for _, c := range b.Cores {
		if datable(c.At) {
			out.row(dayIn(c.At), cellOf(c.Kind.name()), numberIn(c.DepthMM, 0), Cell{})
		}
	}
	for _, t := range b.Rounds {
		out.row(dayIn(t), cellOf("round taken"), Cell{}, Cell{})
	}
	return *out
}

// counted gives 0 to n − 1.
func counted(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}
