package outline

import (
	"math"
	"slices"
)

// exactWalk is up to how many places the shortest walk is found exactly.
const exactWalk = 12

// Walk gives the order in which places are visited on a short walk from the first to the last, whichever they are. Up to 12
// places it is the shortest there is; beyond, what reversing stretches cannot shorten. It starts at the end farther south,
// then west.
// Source: Held & Karp, Journal of SIAM 10 (1962) 196–210; Croes, Operations Research 6 (1958) 791–812 (both from memory).
func Walk(places []Point) []int {
	var order []int
	switch n := len(places); {
	case n == 0:
		return nil
	case n <= exactWalk:
		order = shortest(places)
	default:
		order = shortened(places)
	}
	a, b := places[order[0]], places[order[len(order)-1]]
	if b.North < a.North || b.North == a.North && b.East < a.East {
		slices.Reverse(order)
	}
	return order
}

// Length is how far the walk over the places is [m].
func Length(places []Point, order []int) float64 {
	var sum float64
	for i := 1; i < len(order); i++ {
		sum += places[order[i-1]].Distance(places[order[i]])
	}
	return sum
}

// shortest is the shortest open walk, by dynamic programming over sets of places.
func shortest(p []Point) []int {
	n := len(p)
	cost := make([][]float64, 1<<n)
	from := make([][]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		cost[set], from[set] = make([]float64, n), make([]int, n)
		for last := range n {
			cost[set][last], from[set][last] = math.Inf(1), -1
			rest := set &^ (1 << last)
			switch {
			case set&(1<<last) == 0:
			case rest == 0:
				cost[set][last] = 0
			default:
				for k := range n {
					if rest&(1<<k) == 0 {
						continue
					}
					if c := cost[rest][k] + p[k].Distance(p[last]); c < cost[set][last] {
						cost[set][last], from[set][last] = c, k
					}
				}
			}
		}
	}
	set, last := 1<<n-1, 0
	for k := range n {
		if cost[set][k] < cost[set][last] {
			last = k
		}
	}
	var order []int
	for last >= 0 {
		order = append(order, last)
		set, last = set&^(1<<last), from[set][last]
	}
	return order
}

// shortened walks to the nearest place each time, then reverses stretches while that makes it shorter.
func shortened(p []Point) []int {
	first := 0
	for i := range p {
		if p[i].North < p[first].North {
			first = i
		}
	}
	order, left := []int{first}, map[int]bool{}
	for i := range p {
		left[i] = i != first
	}
	for len(order) < len(p) {
		at, next := p[order[len(order)-1]], -1
		for i := range p {
			if left[i] && (next < 0 || at.Distance(p[i]) < at.Distance(p[next])) {
				next = i
			}
		}
		order, left[next] = append(order, next), false
	}
	for better := true; better; {
		better = false
		for i := 0; i < len(order)-1; i++ {
			for j := i + 1; j < len(order); j++ {
				if gain(p, order, i, j) > 1e-9 {
					slices.Reverse(order[i : j+1])
					better = true
				}
			}
		}
	}
	return order
}

// gain is how much shorter the walk gets when the stretch from i to j is reversed [m].
func gain(p []Point, order []int, i, j int) float64 {
	var g float64
	if i > 0 {
		g += p[order[i-1]].Distance(p[order[i]]) - p[order[i-1]].Distance(p[order[j]])
	}
	if j < len(order)-1 {
		g += p[order[j]].Distance(p[order[j+1]]) - p[order[i]].Distance(p[order[j+1]])
	}
	return g
}
