package label

import (
	"fmt"

	"underfoot/internal/numeral"
)

const (
	rulerTop  = 30.0 // of the nought of the ruler below the upper edge of the paper, mm
	checkBar  = 50.0 // length of the bar that shows whether the print is to scale, mm
	mostRuler = 210  // longest ruler that leaves room above and below it, mm
)

// ruler draws the depths to scale at the right of a page: every millimetre, the layers with their names.
func (d *sheetPress) ruler() {
	deepest := 0.0
	for _, l := range d.sheet.Layers {
		deepest = max(deepest, l.Bottom)
	}
	if deepest == 0 {
		return
	}
	length := int(min(deepest, mostRuler))
	x := d.paperW - edge - 8 // line of the ruler
	d.SetTextColor(0, 0, 0)
	d.font("B", 8.5)
	d.say(x-17, rulerTop-11, "Depth, mm")
	d.font("", 7.5)
	d.say(x-17, rulerTop-7.6, "Print at 100 %")
	d.say(x-17, rulerTop-4.4, "Surface at 0")
	d.SetDrawColor(0, 0, 0)
	d.SetLineWidth(0.3)
	d.Line(x, rulerTop, x, rulerTop+float64(length))
	for mm := range length + 1 {
		y, tick := rulerTop+float64(mm), 1.5
		switch {
		case mm%10 == 0:
			tick = 5
			d.font("", 7.5)
			d.say(x+5.6, y+0.9, fmt.Sprint(mm))
		case mm%5 == 0:
			tick = 3
		}
		d.SetLineWidth(0.15)
		if mm%10 == 0 {
			d.SetLineWidth(0.3)
		}
		d.Line(x, y, x+tick, y)
	}
	for _, l := range d.sheet.Layers {
		if l.Bottom > float64(length) {
			continue
		}
		d.SetLineWidth(0.5)
		d.Line(x-17, rulerTop+l.Top, x, rulerTop+l.Top)
		d.Line(x-17, rulerTop+l.Bottom, x, rulerTop+l.Bottom)
		d.fit(l.Name, "B", 8.5, 5, 15)
		d.say(x-16.5, rulerTop+(l.Top+l.Bottom)/2+d.size*mmPerPt*0.35, l.Name)
	}
	if deepest > float64(length) {
		d.font("", 7.5)
		d.say(x-17, rulerTop+float64(length)+5, "deeper layers")
		d.say(x-17, rulerTop+float64(length)+8.2, "are not drawn")
	}
}

// feet sets the foot of every page: the bar to check the scale by, and which page it is.
func (d *sheetPress) feet() {
	pages := d.PageCount()
	for n := 1; n <= pages; n++ {
		d.SetPage(n)
		y := d.paperH - 11
		d.SetDrawColor(0, 0, 0)
		d.SetLineWidth(0.3)
		d.Line(edge, y, edge+checkBar, y)
		for mm := 0.0; mm <= checkBar; mm += 10 {
			d.Line(edge+mm, y-2.5, edge+mm, y)
		}
		d.SetTextColor(0, 0, 0)
		d.font("", 8.5)
		d.say(edge+checkBar+3, y, fmt.Sprintf("This bar is %s mm long when printed at 100 %%.", numeral.Num(checkBar, 0)))
		page := fmt.Sprintf("Page %d of %d", n, pages)
		d.say(d.paperW-edge-d.width(page), y, page)
		foot := titled(d.sheet.Course, d.sheet.Round)
		if d.lost {
			foot += ". A ? stands for a letter that the typeface lacks; the records keep it."
		}
		d.fit(foot, "", 8.5, 5, d.paperW-2*edge)
		d.say(edge, y+4.5, foot)
	}
}
