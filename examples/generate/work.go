package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// entry is one row of work.csv; a zero number is an empty cell.
type entry struct {
	green       string // empty: all greens
	date        time.Time
	planned     bool
	kind        string
	sand        string
	mm, kg      float64 // of sand: mm, kg/m²
	tine, a, b  float64 // mm
	pattern     string
	passes      int
	blade, gap  float64 // mm
	depth       float64 // mm
	backfill    float64 // 0..1 of the volume opened
	coresGone   string
	nitrogen    float64 // kg/ha
	clippings   float64 // L/100 m²
	cost, hours float64
	note        string
}

const workColumns = "entry,course,green,date,status,kind,sand,sand_mm,sand_kg_m2,tine_diameter_mm,spacing_along_mm," +
	"spacing_across_mm,pattern,passes,blade_width_mm,blade_spacing_mm,depth_mm,backfill,cores_removed,nitrogen_kg_ha," +
	"clippings_l_100m2,cost,labour_h,note"

// workTable prints the entries by date, numbered in that order.
func workTable(course, prefix string, entries []entry) *table {
	t := newTable("work.csv", workColumns)
	for i, e := range entries {
		status, passes := "done", ""
		if e.planned {
			status = "planned"
		}
		if e.passes > 0 {
			passes = fmt.Sprint(e.passes)
		}
		t.add(fmt.Sprintf("%s-w%04d", prefix, i+1), course, e.green, date(e.date), status, e.kind, e.sand,
			known(e.mm, 2), known(e.kg, 2), plain(e.tine), plain(e.a), plain(e.b), e.pattern, passes,
			plain(e.blade), plain(e.gap), plain(e.depth), plain(e.backfill), e.coresGone,
			known(e.nitrogen, 1), known(e.clippings, 1), known(e.cost, 0), known(e.hours, 1), e.note)
	}
	return t
}

// byDate puts entries in the order in which they happened.
func byDate(entries []entry) {
	slices.SortStableFunc(entries, func(x, y entry) int {
		return cmp.Or(x.date.Compare(y.date), cmp.Compare(x.kind, y.kind), cmp.Compare(x.green, y.green))
	})
}

// apply does to a column what an entry says, with the sand that really landed: kg/m² times landed.
func (e entry) apply(c *column, landed float64) {
	opened := 0.0
	switch {
	case e.tine > 0:
		opened = 1 - math.Pow(1-cored(e.tine, e.a, e.b), float64(e.passes))
	case e.blade > 0:
		opened = e.blade / e.gap
	}
	if e.coresGone == "yes" {
		c.remove(opened, e.depth)
	}
	if e.backfill > 0 {
		c.fill(sandKind[e.sand], opened*e.depth*e.backfill*bulkDensity[e.sand]/1000*landed, e.depth*(1-opened))
	}
	laid := e.kg
	if laid == 0 {
		laid = e.mm * bulkDensity[e.sand] / 1000
	}
	switch {
	case laid > 0 && e.kind == "inject_sand":
		c.fill(sandKind[e.sand], laid*landed, e.depth)
	case laid > 0:
		c.dress(sandKind[e.sand], laid*landed)
	}
}
