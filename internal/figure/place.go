package figure

import "sort"

// endLabel is a label of one or two lines that stands beside the end of what it names.
type endLabel struct {
	y           float64 // where the thing is
	style       Style
	first, then string
}

// height is how much of the column the label takes [px].
func (l endLabel) height() float64 {
	if l.then == "" {
		return 16
	}
	return 33
}

// spread moves spans of the given heights, wished at centres, apart so that none overlap, each group that had to
// move staying centred on where its members wished to be, and all inside lo..hi as far as they fit.
// It returns the new centres in the order given.
func spread(centres, heights []float64, lo, hi float64) []float64 {
	order := make([]int, len(centres))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return centres[order[a]] < centres[order[b]] })
	type pile struct {
		from, n   int
		size, top float64
	}
	settle := func(p *pile) { // centre the pile on the mean of its wishes, within the column
		sum, off := 0.0, 0.0
		for _, i := range order[p.from : p.from+p.n] {
			sum += centres[i] - (off + heights[i]/2)
			off += heights[i]
		}
		p.top = max(lo, min(sum/float64(p.n), hi-p.size))
	}
	var piles []pile
	for k, i := range order {
		p := pile{from: k, n: 1, size: heights[i]}
		settle(&p)
		for len(piles) > 0 && piles[len(piles)-1].top+piles[len(piles)-1].size > p.top {
			q := piles[len(piles)-1]
			piles = piles[:len(piles)-1]
			p = pile{from: q.from, n: q.n + p.n, size: q.size + p.size}
			settle(&p)
		}
		piles = append(piles, p)
	}
	out := make([]float64, len(centres))
	for _, p := range piles {
		y := p.top
		for _, i := range order[p.from : p.from+p.n] {
			out[i] = y + heights[i]/2
			y += heights[i]
		}
	}
	return out
}

// ends writes the names of the first and the last below an axis, within its ends where both fit there, else within those of
// the drawing.
func (s *Scene) ends(x scale, y float64, first, last string) {
	left, right := x.r0, x.r1
	if room := (right-left)/2 - 8; textWidth(first, tick) > room || textWidth(last, tick) > room {
		left, right = 0, s.Width
	}
	room := (right-left)/2 - 8
	s.text(left, y, fitted(first, tick, room), tick, Start)
	if last != "" {
		s.text(right, y, fitted(last, tick, room), tick, End)
	}
}

// nook is a place where words may stand: a rectangle in pixels.
type nook struct{ x, y, w, h float64 }

func (a nook) meets(b nook) bool {
	return a.x < b.x+b.w && b.x < a.x+a.w && a.y < b.y+b.h && b.y < a.y+a.h
}

// meetsAny tells whether words would stand on something.
func (a nook) meetsAny(list []nook) bool {
	for _, b := range list {
		if a.meets(b) {
			return true
		}
	}
	return false
}

// endLabels writes the labels in a column at x, moved apart where they would touch.
func (s *Scene) endLabels(x, lo, hi float64, labels []endLabel) {
	ys, hs := make([]float64, len(labels)), make([]float64, len(labels))
	for i, l := range labels {
		hs[i] = l.height()
		ys[i] = l.y + (hs[i]-16)/2 // the first line is what stands beside the thing
	}
	room := s.Width - x
	for i, y := range spread(ys, hs, lo, hi) {
		l := labels[i]
		base := y - hs[i]/2 + 12.5
		s.add(Text{Style: l.style, X: x, Y: base, Words: fitted(l.first, l.style, room), Halo: true})
		if l.then != "" {
			s.add(Text{Style: wordQuiet, X: x, Y: base + 16, Words: fitted(l.then, wordQuiet, room)})
		}
	}
}
