package raster

import "math"

// stroked gives the areas that a pen of a width covers along outlines: a box for each chord and a disc at each bend, all
// turning the same way, so that what overlaps is covered once. Ends are cut square at the end, or rounded.
func stroked(list []outline, width float64, dashes []float64, round bool) []outline {
	var out []outline
	for _, o := range list {
		for _, run := range dashed(o, dashes) {
			out = append(out, pen(run, width/2, round)...)
		}
	}
	return out
}

func pen(o outline, r float64, round bool) []outline {
	var out []outline
	p := o.points
	if o.closed && len(p) > 1 {
		p = append(p[:len(p):len(p)], p[0])
	}
	for i := 1; i < len(p); i++ {
		if box, ok := chord(p[i-1], p[i], r); ok {
			out = append(out, box)
		}
	}
	for i, q := range p {
		end := i == 0 || i == len(p)-1
		if !end && r > 0.6 || end && (round || o.closed) {
			out = append(out, circle(q, r))
		}
	}
	return out
}

// chord is the box about a straight stroke; one of no length covers nothing.
func chord(a, b point, r float64) (outline, bool) {
	dx, dy := b.x-a.x, b.y-a.y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return outline{}, false
	}
	nx, ny := -dy/n*r, dx/n*r
	// with y down, this order turns like circle does
	return outline{closed: true, points: []point{{a.x - nx, a.y - ny}, {b.x - nx, b.y - ny}, {b.x + nx, b.y + ny}, {a.x + nx, a.y + ny}}}, true
}

// dashed cuts an outline into the runs that a pattern of strokes and gaps leaves; without a pattern it is whole.
func dashed(o outline, dashes []float64) []outline {
	sum := 0.0
	for _, d := range dashes {
		sum += max(d, 0)
	}
	if !(sum > 0.1) {
		return []outline{o}
	}
	p := o.points
	if o.closed && len(p) > 1 {
		p = append(p[:len(p):len(p)], p[0])
	}
	var out []outline
	var run []point
	k, left := 0, dashes[0]
	for i := 1; i < len(p); i++ {
		a, b := p[i-1], p[i]
		n := math.Hypot(b.x-a.x, b.y-a.y)
		for done := 0.0; done < n; {
			step := min(left, n-done)
			from, to := along(a, b, done/n), along(a, b, (done+step)/n)
			if k%2 == 0 {
				if len(run) == 0 {
					run = append(run, from)
				}
				run = append(run, to)
			}
			done, left = done+step, left-step
			if left <= 1e-9 {
				if len(run) > 0 {
					out = append(out, outline{points: run})
					run = nil
				}
				k++
				left = max(dashes[k%len(dashes)], 1e-6)
			}
		}
	}
	if len(run) > 0 {
		out = append(out, outline{points: run})
	}
	return out
}

func along(a, b point, t float64) point { return point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)} }
