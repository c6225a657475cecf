package figure

import "math"

// field is a quantity at the nodes of a grid, between which it is taken as linear: at[i][j] stands at x[i], y[j].
// NaN is a node without a value.
type field struct {
	x, y []float64
	at   [][]float64
}

// padded surrounds the field with nodes that hold nothing and stand on its edge, so that every outline closes along it.
func (f field) padded() field {
	nx, ny := len(f.x), len(f.y)
	p := field{x: ends(f.x), y: ends(f.y), at: make([][]float64, nx+2)}
	for i := range p.at {
		p.at[i] = make([]float64, ny+2)
		for j := range p.at[i] {
			p.at[i][j] = math.NaN()
			if i > 0 && i <= nx && j > 0 && j <= ny {
				p.at[i][j] = f.at[i-1][j-1]
			}
		}
	}
	return p
}

func ends(v []float64) []float64 {
	out := make([]float64, 0, len(v)+2)
	out = append(out, v[0])
	out = append(out, v...)
	return append(out, v[len(v)-1])
}

// outlines gives the rings around what is at or above a level in a padded field: marching squares, the saddles resolved by the
// mean of their corners. Outlines of a higher level lie inside those of a lower one, so that painting them in order leaves
// neither gaps nor hairlines. The rings come in the order of the grid.
func (f field) outlines(level float64) [][]Point {
	nx, ny := len(f.x), len(f.y)
	next := make([]int32, 2*nx*ny) // from the crossing of one edge to that of the next; 0 is none, else edge + 1
	for i := range nx - 1 {
		for j := range ny - 1 {
			f.link(next, i, j, level)
		}
	}
	var rings [][]Point
	for e := range next {
		var ring []Point
		for at := int32(e); next[at] != 0; {
			ring = append(ring, f.crossing(int(at), level))
			to := next[at] - 1
			next[at] = 0
			at = to
		}
		if ring = simplified(ring); len(ring) > 2 {
			rings = append(rings, ring)
		}
	}
	return rings
}

// edges numbers the edges of a cell: top, right, bottom, left.
func (f field) edges(i, j int) [4]int32 {
	n := func(i, j, down int) int32 { return int32(2*(i*len(f.y)+j) + down) }
	return [4]int32{n(i, j, 0), n(i+1, j, 1), n(i, j+1, 0), n(i, j, 1)}
}

// link joins the crossings of one cell, what is above the level on the same hand throughout.
func (f field) link(next []int32, i, j int, level float64) {
	v := [4]float64{f.at[i][j], f.at[i+1][j], f.at[i+1][j+1], f.at[i][j+1]}
	var in [4]bool
	n, sum := 0, 0.0
	for k := range v {
		in[k] = v[k] >= level
		sum += v[k]
		if in[k] {
			n++
		}
	}
	if n == 0 || n == 4 {
		return
	}
	e := f.edges(i, j)
	saddle := in[0] == in[2] && in[1] == in[3]
	for k := range 4 { // leaving across edge k, from corner k to corner k+1
		if !in[k] || in[(k+1)%4] {
			continue
		}
		back := 0 // the edge by which the outline comes in again
		switch {
		case saddle && sum/4 >= level:
			back = (k + 1) % 4 // round the low corner
		case saddle:
			back = (k + 3) % 4 // round the high corner
		default:
			for back = (k + 1) % 4; in[back] || !in[(back+1)%4]; back = (back + 1) % 4 {
				continue
			}
		}
		next[e[k]] = e[back] + 1
	}
}

// crossing is the place on an edge where the field passes the level; half way to a node without a value.
func (f field) crossing(edge int, level float64) Point {
	i, j, down := edge/2/len(f.y), edge/2%len(f.y), edge%2
	i1, j1 := i+1-down, j+down
	a, b := f.at[i][j], f.at[i1][j1]
	t := (level - a) / (b - a)
	if math.IsNaN(t) {
		t = .5
	}
	t = clamp(t, 0, 1)
	tenth := func(v float64) float64 { return math.Round(v*10) / 10 }
	return Point{tenth(f.x[i] + t*(f.x[i1]-f.x[i])), tenth(f.y[j] + t*(f.y[j1]-f.y[j]))}
}

// simplified leaves out points that lie within a fifth of a pixel of the stroke without them.
func simplified(ring []Point) []Point {
	const near, reach = .2, 40
	var out []Point
	for i := 0; i < len(ring); {
		out = append(out, ring[i])
		k := i + 1
		for k+1 < len(ring) && k-i < reach && alongside(ring[i+1:k+1], ring[i], ring[k+1], near) {
			k++
		}
		i = k
	}
	if n := len(out); n > 1 && out[n-1] == out[0] {
		out = out[:n-1]
	}
	return out
}

// alongside tells whether all points lie near the straight line from a to b.
func alongside(pts []Point, a, b Point, near float64) bool {
	dx, dy := b.X-a.X, b.Y-a.Y
	long := math.Hypot(dx, dy)
	for _, p := range pts {
		d := math.Hypot(p.X-a.X, p.Y-a.Y)
		if long > 0 {
			along := ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / long
			if along < 0 || along > long {
				return false
			}
			d = math.Abs((p.X-a.X)*dy-(p.Y-a.Y)*dx) / long
		}
		if d > near {
			return false
		}
	}
	return true
}
