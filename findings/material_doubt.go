package findings

import "underfoot/unit"

// doubt lists the standard uncertainties of the inputs: of all densities together, relative; for each round the organic
// shares and relative densities of its layers and then what is read at its marks [kg/m²]; of the work of a kind in a
// calendar year, relative. A list v beside it counts each in its own standard uncertainties.
func (m *mover) doubt(f Following) {
	m.inputs = append(m.inputs, float64(f.Doubt.Density))
	for _, p := range m.rounds {
		m.doubts = append(m.doubts, len(m.inputs))
		for _, l := range p.Layers {
			m.inputs = append(m.inputs, float64(l.OMSE)/100, float64(l.DensitySE/l.Density))
		}
		for range len(m.rounds[0].Layers) + 1 {
			m.inputs = append(m.inputs, 0)
		}
	}
	m.addWork(f, m.yearly(f.Doubt.Sand), m.yearly(f.Doubt.Backfill), m.yearly(f.Doubt.Area))
	m.doubtMarks()
}

// doubtMarks sets how far the reading at each mark may be off, from where the marks come to lie.
func (m *mover) doubtMarks() {
	for j, bands := range m.follow(nil) {
		if j == 0 {
			continue // the marks are bottoms of layers
		}
		col := m.column(j, nil)
		m.inputs[m.markAt(j, 0)] = col.lean(bands[0].top)
		for k, b := range bands {
			m.inputs[m.markAt(j, k+1)] = col.lean(b.bottom)
		}
	}
}

func (m *mover) markAt(round, mark int) int {
	return m.doubts[round] + 2*len(m.rounds[round].Layers) + mark
}

// yearly gives the input of a kind of work in each calendar year.
func (m *mover) yearly(u unit.Fraction) func(int) int {
	at := map[int]int{}
	return func(year int) int {
		i, ok := at[year]
		if !ok {
			i = len(m.inputs)
			at[year] = i
			m.inputs = append(m.inputs, float64(u))
		}
		return i
	}
}

// layer is by how much the organic share of a layer departs from its value, and its density as a share of it.
func (m *mover) layer(v []float64, round, layer int) (om, density float64) {
	if v == nil {
		return 0, 0
	}
	at := m.doubts[round] + 2*layer
	return v[at] * m.inputs[at], (1+v[at+1]*m.inputs[at+1])*(1+v[0]*m.inputs[0]) - 1
}

// mark is by how much the organic mass read at a mark departs from the curve [kg/m²].
func (m *mover) mark(v []float64, round, mark int) float64 {
	if v == nil {
		return 0
	}
	at := m.markAt(round, mark)
	return v[at] * m.inputs[at]
}

// scale is by how much a piece of work departs from what was logged, as a share of it; input −1 is in no doubt.
func (m *mover) scale(v []float64, input int) float64 {
	if v == nil || input < 0 {
		return 0
	}
	return v[input] * m.inputs[input]
}

// effect is what one standard uncertainty of an input does to a band in a round.
type effect struct{ om, organic float64 } // points; kg/m², of what organic is in moved

// effects gives, input by input, half the difference that one standard uncertainty up and down makes to each band in
// each round: the finite-step form of sensitivity times uncertainty.
func (m *mover) effects() [][][]effect {
	v := make([]float64, len(m.inputs))
	var out [][][]effect
	for i, u := range m.inputs {
		if u == 0 {
			continue
		}
		v[i] = 1
		up := m.follow(v)
		v[i] = -1
		down := m.follow(v)
		v[i] = 0
		rounds := make([][]effect, len(up))
		for j := range up {
			rounds[j] = make([]effect, len(up[j]))
			for k, a := range up[j] {
				b := down[j][k]
				rounds[j][k] = effect{(a.om() - b.om()) / 2, (a.organic - b.organic) / 2}
			}
		}
		out = append(out, rounds)
	}
	return out
}
