package mixed

import (
	"cmp"
	"slices"
)

// front is a supernode with its numbers: k pivot columns, m later columns, then the p columns of the fixed part and the response.
// Its entries are k rows of width k+m+p+1, row-major, at the same place of three arenas: products (Z̃'WZ̃, Z̃'WQ, Z̃'Wr),
// factor (rows of L') and inverse (rows of M⁻¹).
type front struct {
	at     int      // first entry in the arenas
	k, m   int32    // pivot and later columns
	width  int32    // k + m + p + 1
	runs   []run    // the columns by term
	pivots int32    // how many of the runs' nodes are pivots
	index  []int32  // k + m: place of each column in vectors over all random effects
	owners []owner  // whose columns the later ones are
	nodes  []placed // pivots with their column, in order
	last   bool     // the dense end of its block, of some size
	dense  bool     // its later columns end with all pivots of a last front
}

// run is a stretch of a front's columns that belong to one term.
type run struct {
	term       int16
	from, upto int32
}

// owner is a front that holds some of the later columns as its pivots: columns from…upto, and where every column from there on
// lies in the owner's rows.
type owner struct {
	front      int32
	from, upto int32
	place      []segment
}

// segment moves n columns starting at from to columns starting at to.
type segment struct{ from, to, n int32 }

// placed is a pivot node: its term and its first column in the front.
type placed struct {
	term int16
	col  int32
}

// structure is how the random part is laid out for factoring: which does not depend on the variances.
type structure struct {
	p       int
	fronts  []front
	blocks  [][2]int32 // ranges of fronts that hang together
	entries int        // length of each arena
	node    []int32    // first node of each term
	front   []int32    // of each node: its front, −1 for a level without rows
	column  []int32    // and its first column there
	effect  []int32    // of each node: its place in vectors over all random effects
	effects int
	sizes   []int // k of each term
}

func newStructure(terms []Term, p int) *structure {
	g := newGraph(terms)
	s := &structure{p: p, node: g.first}
	for t := range terms {
		s.sizes = append(s.sizes, len(terms[t].Names))
		for range terms[t].Levels {
			s.effect = append(s.effect, int32(s.effects))
			s.effects += s.sizes[t]
		}
	}
	s.front = make([]int32, len(s.effect))
	s.column = make([]int32, len(s.effect))
	for i := range s.front {
		s.front[i] = -1
	}
	for _, block := range g.blocks() {
		start := len(s.fronts)
		super := g.eliminate(block)
		for _, n := range super {
			s.number(n.pivots)
		}
		for i, n := range super {
			s.arrange(int32(start+i), n)
		}
		for i, n := range super {
			s.own(&s.fronts[start+i], n.later, super, int32(start))
		}
		s.markDense(s.fronts[start:], int32(len(s.fronts)-1))
		s.blocks = append(s.blocks, [2]int32{int32(start), int32(len(s.fronts))})
	}
	return s
}

func (s *structure) term(node int32) int16 {
	t := 0
	for int(t) < len(s.sizes)-1 && node >= s.node[t+1] {
		t++
	}
	return int16(t)
}

// number gives the pivots of the next front their columns.
func (s *structure) number(pivots []int32) {
	f := front{nodes: make([]placed, len(pivots))}
	for i, u := range pivots {
		t := s.term(u)
		f.nodes[i] = placed{t, f.k}
		s.front[u] = int32(len(s.fronts))
		s.column[u] = f.k
		f.k += int32(s.sizes[t])
	}
	s.fronts = append(s.fronts, f)
}

// arrange lays out the columns of a front, once every node of its block has a number.
func (s *structure) arrange(at int32, n supernode) {
	f := &s.fronts[at]
	slices.SortFunc(n.later, func(a, b int32) int {
		return cmp.Or(cmp.Compare(s.front[a], s.front[b]), cmp.Compare(s.column[a], s.column[b]))
	})
	columns := f.k
	for _, v := range n.later {
		columns += int32(s.sizes[s.term(v)])
	}
	f.m = columns - f.k
	f.index = make([]int32, 0, columns)
	for _, list := range [2][]int32{n.pivots, n.later} {
		for _, u := range list {
			t := s.term(u)
			from := int32(len(f.index))
			for j := range s.sizes[t] {
				f.index = append(f.index, s.effect[u]+int32(j))
			}
			upto := int32(len(f.index))
			if last := len(f.runs) - 1; last >= 0 && f.runs[last].term == t && from != f.k {
				f.runs[last].upto = upto
			} else {
				f.runs = append(f.runs, run{t, from, upto})
			}
			if upto == f.k {
				f.pivots = int32(len(f.runs))
			}
		}
	}
	f.width = columns + int32(s.p) + 1
	f.at = s.entries
	s.entries += int(f.k * f.width)
}

// own notes for each front that owns later columns where these and all after them lie in its rows; the block's supernodes begin at front
// start.
func (s *structure) own(f *front, later []int32, super []supernode, start int32) {
	col := f.k
	for i := 0; i < len(later); {
		o := owner{front: s.front[later[i]], from: col}
		for j := i; j < len(later) && s.front[later[j]] == o.front; j++ {
			col += int32(s.sizes[s.term(later[j])])
		}
		o.upto = col
		at, to := o.from, int32(0)
		n := super[o.front-start]
		theirs, rest := n.pivots, n.later // in the order of their columns, as the later ones here are
		for _, v := range later[i:] {
			k := int32(s.sizes[s.term(v)])
			for {
				if len(theirs) == 0 {
					theirs, rest = rest, nil
				}
				w := theirs[0]
				theirs = theirs[1:]
				if w == v {
					break
				}
				to += int32(s.sizes[s.term(w)])
			}
			if last := len(o.place) - 1; last >= 0 && o.place[last].to+o.place[last].n == to {
				o.place[last].n += k
			} else {
				o.place = append(o.place, segment{at, to, k})
			}
			at += k
			to += k
		}
		f.owners = append(f.owners, o)
		for i < len(later) && s.front[later[i]] == o.front {
			i++
		}
	}
}

// markDense notes the fronts of a block whose later columns end with all of its last front.
func (s *structure) markDense(fronts []front, last int32) {
	end := &fronts[len(fronts)-1]
	if end.k < 8 {
		return
	}
	for i := range fronts {
		f := &fronts[i]
		if n := len(f.owners); n > 0 && f.owners[n-1].front == last && f.owners[n-1].upto-f.owners[n-1].from == end.k {
			f.dense, end.last = true, true
		}
	}
}

// place is the first column of node v in the rows of a front.
func (s *structure) place(at int32, v int32) int32 {
	if s.front[v] == at {
		return s.column[v]
	}
	f := &s.fronts[at]
	target := s.effect[v]
	later := f.index[f.k:]
	// later columns are sorted by (front, column) of their node, as effects of one node are together
	lo, hi := 0, len(later)
	for lo < hi {
		mid := (lo + hi) / 2
		w := s.nodeOf(later[mid])
		if c := cmp.Or(cmp.Compare(s.front[w], s.front[v]), cmp.Compare(s.column[w], s.column[v])); c < 0 {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	if lo == len(later) || later[lo] != target {
		return -1
	}
	return f.k + int32(lo)
}

// nodeOf is the node an effect belongs to.
func (s *structure) nodeOf(effect int32) int32 {
	t := 0
	for t < len(s.sizes)-1 && int(effect) >= int(s.effect[s.node[t+1]]) {
		t++
	}
	return s.node[t] + (effect-s.effect[s.node[t]])/int32(s.sizes[t])
}
