package mixed

import "math"

// Mode is the conditional mode of one random effect: the level's departure, drawn towards zero by as much as its data are thin.
type Mode struct {
	Group, Level, Name string
	Estimate           float64 // in the unit of the response over that of the column
	SD                 float64 // given the coefficients: σ·√diag(Λ A⁻¹ Λ')
	PredictionSE       float64 // of mode − effect, the coefficients being estimated too (Henderson 1975, Biometrics 31:423–447)
}

// Modes are the conditional modes of every term, level by level, a level without rows having a mode of zero.
func (f *Fitted) Modes() []Mode {
	e := f.equations
	e.settle()
	s := e.s
	b := e.spread(e.u)
	given := &inverted{s: s, entry: make([]float64, s.entries), xx: make([]float64, s.p*s.p)}
	given.invert(e.work, false)
	e.inverse.invert(e.work, true)
	by := math.Sqrt(e.variance()) * e.unit
	var out []Mode
	for t, k := range s.sizes {
		term := &f.Design.Terms[t]
		own := e.bases[t].lower(e.work.lambda[t])
		for l, level := range term.Levels {
			node := s.node[t] + int32(l)
			at := int(s.effect[node])
			for i := range k {
				m := Mode{Group: term.Group, Level: level, Name: term.Names[i]}
				for j := 0; j <= i; j++ {
					m.Estimate += e.bases[t].inverse[i][j] * b[at+j] * e.unit
				}
				row := own[i*k:][:k]
				m.SD = by * math.Sqrt(max(0, given.quadraticOf(node, row)))
				m.PredictionSE = by * math.Sqrt(max(0, e.inverse.quadraticOf(node, row)))
				out = append(out, m)
			}
		}
	}
	return out
}

// quadraticOf is x'M⁻¹x over the effects of one node; without rows M is I.
func (v *inverted) quadraticOf(node int32, x []float64) float64 {
	s := v.s
	sum := 0.0
	if s.front[node] < 0 {
		return product(x, x)
	}
	t := &s.fronts[s.front[node]]
	col := int(s.column[node])
	for i, a := range x {
		row := v.entry[t.at+(col+i)*int(t.width):]
		sum += a * product(x, row[col:])
	}
	return sum
}
