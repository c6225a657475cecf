package label

import (
	"fmt"
	"strings"

	"underfoot/internal/numeral"
)

// heading sets what the sheet is, what holds for every green, who cut the cores and when, and the cautions.
func (d *sheetPress) heading() {
	s := d.sheet
	d.font("", 9)
	d.y += 3
	d.say(edge, d.y, "Field sheet, in walking order")
	d.font("B", 17)
	d.para(edge, d.right-edge, 7.5, titled(s.Course, s.Round))
	d.y += 2
	facts := s.Facts
	if s.Date != "" {
		facts = append([]Fact{{"Day", s.Date}}, facts...)
	}
	var names []string
	for _, l := range s.Layers {
		names = append(names, l.Name)
	}
	if len(names) > 0 {
		facts = append(facts, Fact{"Layers", strings.Join(names, ", ")})
	}
	facts = append(facts, Fact{"Greens", fmt.Sprintf("%d, with %d bags", len(s.Stops), d.bags())})
	for _, f := range facts {
		d.font("B", 9.5)
		d.say(edge, d.y+4.4, f.Name)
		d.font("", 9.5)
		d.para(edge+26, d.right-edge-26, 4.4, f.Value)
		d.y += 0.4
	}
	d.y += 6
	half := edge + (d.right-edge)/2
	d.blank(edge, half-3, d.y, "Cut by")
	d.blank(half+3, d.right, d.y, "Day and time")
	d.y += 7.5
	d.blank(edge, d.right, d.y, "Weather, wetness of the ground, who was told")
	d.y += 4
	d.font("", 8.5)
	for _, c := range s.Cautions {
		d.para(edge, d.right-edge, 3.8, c)
		d.y += 0.6
	}
	d.y += 3
}

func titled(course, round string) string {
	if plain(round) == "" {
		return course
	}
	return course + ", round " + round
}

func (d *sheetPress) bags() int {
	n := 0
	for _, s := range d.sheet.Stops {
		n += len(s.Bags)
	}
	return n
}

const (
	rowHigh  = 6.0  // of a row with a box, mm
	boxSide  = 3.6  // of a box to tick, mm
	planSide = 44.0 // of the small plan, mm
	perRow   = 10   // boxes for cores without a place
)

// stop sets one green: its box, its bags, its cores and room to write. It stands on one page where a page holds it.
func (d *sheetPress) stop(n int, s Stop) {
	inner := d.right
	if s.Plan != nil {
		inner -= planSide + 4
	}
	if h := d.stopHigh(s, inner); h <= d.paperH-footHigh-edge {
		d.room(h)
	} else {
		d.room(4 * rowHigh)
	}
	d.rule(edge, d.right, d.y, 0.4, 0)
	top, page := d.y, d.PageNo()
	d.y += 6.6
	d.box(edge, d.y-4.2, 4.6)
	d.font("B", 13)
	d.say(edge+7, d.y, fmt.Sprintf("%d", n))
	for _, l := range d.lines(s.Green, inner-edge-16) {
		d.say(edge+16, d.y, l)
		d.y += 5.6
	}
	d.y -= 4
	for _, b := range s.Bags {
		d.bag(b, inner)
	}
	d.cores(s, inner)
	if s.Plan != nil && d.PageNo() == page {
		d.plan(*s.Plan, d.right-planSide, top+1.5, planSide)
		d.y = max(d.y, top+planSide+1)
	}
	d.room(9)
	d.y += 7
	d.blank(edge+7, d.right, d.y, "Notes")
	d.y += 4
}

// bag sets a row for a bag to tick.
func (d *sheetPress) bag(b Packed, inner float64) {
	d.room(rowHigh)
	d.y += rowHigh
	d.box(edge+7, d.y-boxSide+0.6, boxSide)
	d.font("B", 10)
	end := d.say(edge+13, d.y, b.Layer)
	end = max(end+3, edge+34)
	d.fit(b.Sample, "", 9.5, 7, inner-end)
	for i, l := range d.lines(b.Sample, inner-end) {
		if i > 0 {
			d.y += 4
		}
		d.say(end, d.y, l)
	}
}

// cores sets where the cores are cut, one row a core with its box and its tapes, or in words with the boxes in a row.
func (d *sheetPress) cores(s Stop, inner float64) {
	if len(s.Places) == 0 {
		d.boxes(s.Cores)
	}
	if s.Walk != "" {
		d.font("", 9)
		d.y += 1
		d.para(edge+7, inner-edge-7, 4.2, s.Walk)
	}
	d.y += 1
	for _, p := range s.Places {
		d.room(rowHigh)
		d.y += rowHigh - 0.6
		d.box(edge+7, d.y-boxSide+0.6, boxSide)
		d.font("B", 9.5)
		d.say(edge+13, d.y, "core "+p.Core)
		text := tapes(p)
		x := edge + 34.0
		d.fit(text, "", 9.5, 7.5, inner-x)
		for i, l := range d.lines(text, inner-x) {
			if i > 0 {
				d.y += 4
			}
			d.say(x, d.y, l)
		}
	}
}

func tapes(p Place) string {
	var parts []string
	for _, t := range p.Tapes {
		parts = append(parts, numeral.Num(t.Metres, 2)+" m from "+t.From)
	}
	if p.Note != "" {
		parts = append(parts, p.Note)
	}
	return strings.Join(parts, "; ")
}

// boxes sets a box for each core, in rows.
func (d *sheetPress) boxes(n int) {
	for i := range n {
		if i%perRow == 0 {
			d.room(rowHigh)
			d.y += rowHigh
			d.font("", 9)
			if i == 0 {
				d.say(edge+7, d.y, "Cores")
			}
		}
		x := edge + 20 + float64(i%perRow)*10.5
		d.box(x, d.y-boxSide+0.6, boxSide)
		d.font("", 7.5)
		d.say(x+boxSide+0.8, d.y, fmt.Sprint(i+1))
	}
}

// stopHigh is the room a stop takes, mm.
func (d *sheetPress) stopHigh(s Stop, inner float64) float64 {
	d.font("B", 13)
	h := 2.6 + 5.6*float64(len(d.lines(s.Green, inner-edge-16)))
	for _, b := range s.Bags {
		d.fit(b.Sample, "", 9.5, 7, inner-edge-34)
		h += rowHigh + 4*float64(len(d.lines(b.Sample, inner-edge-34))-1)
	}
	if len(s.Places) == 0 {
		h += rowHigh*float64((s.Cores+perRow-1)/perRow) + 1
	}
	d.font("", 9)
	h += 2 + 4.2*float64(len(d.lines(s.Walk, inner-edge-7)))
	for _, p := range s.Places {
		text := tapes(p)
		d.fit(text, "", 9.5, 7.5, inner-edge-34)
		h += rowHigh + 4*float64(max(0, len(d.lines(text, inner-edge-34))-1))
	}
	if s.Plan != nil {
		h = max(h, planSide+2)
	}
	return h + 12
}
