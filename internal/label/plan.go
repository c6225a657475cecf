package label

import "math"

// plan draws a small picture of a green, north up, in a square of side mm with its upper left corner at x, y.
func (d *sheetPress) plan(p Plan, x, y, side float64) {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	p.each(func(q Point) {
		low = Point{min(low.East, q.East), min(low.North, q.North)}
		high = Point{max(high.East, q.East), max(high.North, q.North)}
	})
	size := max(high.East-low.East, high.North-low.North)
	if !(size > 0) || math.IsInf(size, 0) {
		return
	}
	const rim = 4.0
	scale := (side - 2*rim) / size
	at := func(q Point) (float64, float64) {
		return x + side/2 + (q.East-(low.East+high.East)/2)*scale, y + side/2 - (q.North-(low.North+high.North)/2)*scale
	}
	d.SetDrawColor(greyLine, greyLine, greyLine)
	d.SetLineWidth(0.3)
	for _, ring := range p.Outline {
		for i, q := range ring {
			if px, py := at(q); i == 0 {
				d.MoveTo(px, py)
			} else {
				d.LineTo(px, py)
			}
		}
		if len(ring) > 1 {
			d.ClosePath()
			d.DrawPath("D")
		}
	}
	d.SetDrawColor(0, 0, 0)
	d.SetFillColor(0, 0, 0)
	for _, m := range p.Fixed {
		px, py := at(m.Point)
		d.Rect(px-0.9, py-0.9, 1.8, 1.8, "D")
		d.font("", 7)
		d.say(d.inside(m.Name, px+1.6, x, side), py+0.9, m.Name)
	}
	for _, m := range p.Cores {
		px, py := at(m.Point)
		d.Circle(px, py, 0.8, "F")
		d.font("B", 8)
		d.say(d.inside(m.Name, px+1.3, x, side), py-0.6, m.Name)
	}
	d.font("B", 7)
	d.say(x+side-3.2, y+5.6, "N") // the typeface has no arrow
	d.SetLineWidth(0.25)
	d.Line(x+side-2.4, y+3, x+side-2.4, y+0.4)
	d.Line(x+side-2.4, y+0.4, x+side-3.1, y+1.3)
	d.Line(x+side-2.4, y+0.4, x+side-1.7, y+1.3)
}

// inside moves a name left so that it ends within the picture.
func (d *sheetPress) inside(name string, at, x, side float64) float64 {
	return max(x, min(at, x+side-d.width(name)))
}

func (p Plan) each(f func(Point)) {
	for _, ring := range p.Outline {
		for _, q := range ring {
			f(q)
		}
	}
	for _, list := range [][]Mark{p.Cores, p.Fixed} {
		for _, m := range list {
			f(m.Point)
		}
	}
}
