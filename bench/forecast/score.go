package main

import (
	"fmt"
	"io"
	"math"
	"slices"
)

// score gathers errors by layer top, points.
type score map[float64]*layer

type layer struct {
	model, last, line, average []float64
	inside, cells              float64
	width                      float64
	greenInside, greenCells    float64
}

func sortRounds(list []round) {
	slices.SortFunc(list, func(a, b round) int {
		if a.years < b.years {
			return -1
		}
		return 1
	})
}

// add takes a course in: the mean of all greens against the truth's mean, and each green against its own.
func (s score) add(t truth, rows []row, r records, verbose bool) {
	type key struct {
		date  string
		top   float64
		green string
	}
	known, n := map[key]float64{}, map[key]float64{}
	for _, l := range t.Layers {
		if l.Date < t.Cut {
			continue
		}
		known[key{l.Date, l.Top, l.Green}] = l.OM
		known[key{l.Date, l.Top, ""}] += l.OM
		n[key{l.Date, l.Top, ""}]++
	}
	if verbose {
		fmt.Printf("%s:", t.Course)
	}
	for _, x := range rows {
		k := key{x.Date, x.Top, x.Green}
		y, ok := known[k]
		if !ok {
			continue
		}
		if s[x.Top] == nil {
			s[x.Top] = &layer{}
		}
		l := s[x.Top]
		if x.Green != "" {
			l.greenCells++
			if x.Q05 <= y && y <= x.Q95 {
				l.greenInside++
			}
			continue
		}
		y /= n[k]
		l.cells++
		if x.Q05 <= y && y <= x.Q95 {
			l.inside++
		}
		l.width += x.Q95 - x.Q05
		l.model = append(l.model, x.Mean-y)
		last, line, average := naive(r[x.Top], years(x.Date))
		l.last, l.line, l.average = append(l.last, last-y), append(l.line, line-y), append(l.average, average-y)
		if verbose {
			fmt.Printf("  %s %g mm %+.2f", x.Date, x.Top, x.Mean-y)
		}
	}
	if verbose {
		fmt.Println()
	}
}

// naive gives the last mean, the least-squares line at a day and the mean of all rounds.
func naive(list []round, at float64) (last, line, average float64) {
	var x, y, xx, xy float64
	for _, r := range list {
		x, y = x+r.years/float64(len(list)), y+r.mean/float64(len(list))
	}
	for _, r := range list {
		xx += (r.years - x) * (r.years - x)
		xy += (r.years - x) * (r.mean - y)
	}
	slope := 0.0
	if xx > 0.5 {
		slope = xy / xx
	}
	return list[len(list)-1].mean, y + slope*(at-x), y
}

func rms(errors []float64) float64 {
	var sum float64
	for _, e := range errors {
		sum += e * e
	}
	return math.Sqrt(sum / float64(len(errors)))
}

func (s score) print(w io.Writer, courses int) {
	var tops []float64
	for top := range s {
		tops = append(tops, top)
	}
	slices.Sort(tops)
	fmt.Fprintln(w, "root mean square error, points; share within the 90 % interval of the course mean and of single greens; width of it, points")
	fmt.Fprintln(w, "layer from     n  model   last   line  average  inside  greens  width")
	var all layer
	for _, top := range tops {
		l := s[top]
		fmt.Fprintf(w, "%5g mm  %6.0f  %5.3f  %5.3f  %5.3f    %5.3f   %5.3f   %5.3f   %4.2f\n", top, l.cells, rms(l.model), rms(l.last), rms(l.line), rms(l.average),
			l.inside/l.cells, l.greenInside/l.greenCells, l.width/l.cells)
		all.model, all.last, all.line = append(all.model, l.model...), append(all.last, l.last...), append(all.line, l.line...)
		all.inside, all.cells, all.width = all.inside+l.inside, all.cells+l.cells, all.width+l.width
		all.greenInside, all.greenCells = all.greenInside+l.greenInside, all.greenCells+l.greenCells
	}
	if all.cells == 0 {
		fmt.Fprintln(w, "no course was measured")
		return
	}
	fmt.Fprintf(w, "all %d courses: error over that of the last value %.3f, of the line %.3f; inside %.3f, greens %.3f, width %.2f\n", courses, rms(all.model)/rms(all.last), rms(all.model)/rms(all.line),
		all.inside/all.cells, all.greenInside/all.greenCells, all.width/all.cells)
}
