package mixed

import (
	"container/heap"
	"math"
	"slices"
)

// A node is one level of one term: a small block of columns of Z. Two nodes are neighbours when a row belongs to both.
// Groups that hang together through rows are factored together; groups that do not (the courses of a portfolio) are
// blocks of their own, and the cost is the sum over blocks.

// graph is the neighbours of every node; nodes are numbered term by term.
type graph struct {
	first      []int32 // first node of each term, and one past the last
	neighbours [][]int32
	used       []bool // nodes with at least one row
	crowd      *crowd // room for the nodes of a block that are joined with very many others
}

func newGraph(terms []Term) *graph {
	g := &graph{first: make([]int32, len(terms)+1)}
	for t := range terms {
		g.first[t+1] = g.first[t] + int32(len(terms[t].Levels))
	}
	nodes := g.first[len(terms)]
	g.used = make([]bool, nodes)
	g.neighbours = make([][]int32, nodes)
	for t := range terms {
		for _, l := range terms[t].Level {
			g.used[g.first[t]+l] = true
		}
	}
	for s := range terms {
		for t := s + 1; t < len(terms); t++ {
			g.join(s, t, &terms[s], &terms[t])
		}
	}
	for _, n := range g.neighbours {
		slices.Sort(n)
	}
	return g
}

// join notes which levels of two terms meet in a row; each pair once.
func (g *graph) join(s, t int, a, b *Term) {
	count := make([]int32, len(a.Levels)+1)
	for _, l := range a.Level {
		count[l+1]++
	}
	for i := 1; i < len(count); i++ {
		count[i] += count[i-1]
	}
	rows := make([]int32, len(a.Level))
	at := slices.Clone(count)
	for i, l := range a.Level {
		rows[at[l]] = b.Level[i]
		at[l]++
	}
	last := make([]int32, len(b.Levels))
	for l := range a.Levels {
		u := g.first[s] + int32(l)
		for _, m := range rows[count[l]:count[l+1]] {
			if last[m] == int32(l)+1 {
				continue
			}
			last[m] = int32(l) + 1
			v := g.first[t] + m
			g.neighbours[u] = append(g.neighbours[u], v)
			g.neighbours[v] = append(g.neighbours[v], u)
		}
	}
}

// supernode is a set of nodes eliminated together and the later nodes they are joined with.
type supernode struct {
	pivots []int32
	later  []int32
}

// blocks are the connected sets of used nodes, each in ascending order, by first node.
func (g *graph) blocks() [][]int32 {
	seen := make([]bool, len(g.used))
	var out [][]int32
	var stack []int32
	for start := range g.used {
		if seen[start] || !g.used[start] {
			continue
		}
		seen[start] = true
		stack = append(stack[:0], int32(start))
		var block []int32
		for len(stack) > 0 {
			u := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			block = append(block, u)
			for _, v := range g.neighbours[u] {
				if !seen[v] {
					seen[v] = true
					stack = append(stack, v)
				}
			}
		}
		slices.Sort(block)
		out = append(out, block)
	}
	return out
}

// eliminate orders one block by least degree (Tinney & Walker 1967, Proc IEEE 55:1801–1809, scheme 2), the first node first
// among equals. Nodes joined with very many others wait to the end, and what is left once the rest is almost complete goes
// with them as one dense supernode. It consumes the neighbours of the block.
func (g *graph) eliminate(block []int32) []supernode {
	if len(block) == 1 {
		return []supernode{{pivots: block}}
	}
	crowded := g.crowded(block)
	alive := len(block)
	var out []supernode
	queue := make(byDegree, 0, len(block))
	for _, u := range block {
		if crowded != nil && crowded.is[u] {
			alive--
			continue
		}
		queue = append(queue, degree{int32(len(g.neighbours[u])), u})
	}
	heap.Init(&queue)
	var merged []int32
	for alive > 0 {
		least := queue[0]
		u := least.node
		if !g.used[u] || int(least.degree) != len(g.neighbours[u]) {
			heap.Pop(&queue)
			continue
		}
		if alive > 8 && 10*int(least.degree) >= 7*(alive-1) {
			break
		}
		heap.Pop(&queue)
		near := g.neighbours[u]
		g.neighbours[u], g.used[u] = nil, false
		alive--
		for _, v := range near {
			merged = merge(merged[:0], g.neighbours[v], near, u, v)
			if len(merged) != len(g.neighbours[v]) {
				heap.Push(&queue, degree{int32(len(merged)), v})
			}
			if len(merged) <= cap(g.neighbours[v]) {
				g.neighbours[v] = append(g.neighbours[v][:0], merged...)
			} else {
				g.neighbours[v] = slices.Clone(merged)
			}
			if crowded != nil {
				if !slices.Equal(crowded.near[v], crowded.near[u]) {
					crowded.near[v] = merge(nil, crowded.near[v], crowded.near[u], -1, -1)
				}
			}
		}
		if crowded != nil {
			near = append(near, crowded.near[u]...)
		}
		out = append(out, supernode{pivots: []int32{u}, later: near})
	}
	var rest []int32
	for _, u := range block {
		if g.used[u] {
			rest = append(rest, u)
			g.neighbours[u], g.used[u] = nil, false
		}
	}
	if len(rest) > 0 {
		out = append(out, supernode{pivots: rest})
	}
	return out
}

// crowd is the nodes of a block that are joined with very many others, and for every other node which of them it is joined with.
type crowd struct {
	is   []bool
	near [][]int32
}

// crowded takes the nodes with more than 8·√(nodes of the block) neighbours, at least 64, and those of the term that is crossed with nearly
// everything else, out of the lists of the others: eliminating around them one by one would cost their whole list each time (as dense rows
// in Amestoy, Davis & Duff 1996, SIAM J Matrix Anal Appl 17:886–905, §5). Nil when there are none.
func (g *graph) crowded(block []int32) *crowd {
	limit := max(64, 8*int(math.Sqrt(float64(len(block)))))
	from, upto := g.crossed(block)
	var c *crowd
	for _, u := range block {
		if len(g.neighbours[u]) > limit || u >= from && u < upto {
			if c == nil {
				if g.crowd == nil {
					g.crowd = &crowd{make([]bool, len(g.used)), make([][]int32, len(g.used))}
				}
				c = g.crowd
			}
			c.is[u] = true
		}
	}
	if c == nil {
		return nil
	}
	for _, u := range block {
		if c.is[u] {
			continue
		}
		kept := g.neighbours[u][:0]
		for _, v := range g.neighbours[u] {
			if c.is[v] {
				c.near[u] = append(c.near[u], v)
			} else {
				kept = append(kept, v)
			}
		}
		g.neighbours[u] = kept
	}
	return c
}

// crossed is the range of nodes of the term whose levels meet the largest share, above 0.6, of the nodes of the other terms of a block; among
// equals the term with the fewest.
func (g *graph) crossed(block []int32) (from, upto int32) {
	best, fewest := 0.6, 0
	for t := range g.first[1:] {
		first, next := g.first[t], g.first[t+1]
		nodes, joined := 0, 0
		for _, u := range block {
			if u >= first && u < next {
				nodes++
				joined += len(g.neighbours[u])
			}
		}
		others := len(block) - nodes
		if nodes == 0 || others == 0 {
			continue
		}
		share := float64(joined) / float64(nodes*others)
		if share > best || share == best && nodes < fewest {
			best, fewest, from, upto = share, nodes, first, next
		}
	}
	return from, upto
}

// merge is the union of two sorted lists without u and v.
func merge(into, a, b []int32, u, v int32) []int32 {
	i, j := 0, 0
	for i < len(a) || j < len(b) {
		var next int32
		switch {
		case j == len(b) || i < len(a) && a[i] < b[j]:
			next = a[i]
			i++
		case i == len(a) || b[j] < a[i]:
			next = b[j]
			j++
		default:
			next = a[i]
			i++
			j++
		}
		if next != u && next != v {
			into = append(into, next)
		}
	}
	return into
}

type degree struct{ degree, node int32 }

type byDegree []degree

func (q byDegree) Len() int { return len(q) }
func (q byDegree) Less(i, j int) bool {
	if q[i].degree != q[j].degree {
		return q[i].degree < q[j].degree
	}
	return q[i].node < q[j].node
}
func (q byDegree) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *byDegree) Push(x any)   { *q = append(*q, x.(degree)) }
func (q *byDegree) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
