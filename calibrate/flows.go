package calibrate

import (
	"fmt"
	"slices"

	"underfoot/profile"
)

// Flows is what happened to one layer from one day to another, the mean over the greens: organic matter in kg/m² and
// what each part of it did to the layer's content in mass fraction.
type Flows struct {
	Layer    Layer
	From, To int // days

	Made, Decayed, TakenOut   Estimate // kg/m²: made in the layer, decayed, taken out with cores
	SunkIn, SunkOut           Estimate // kg/m²: come down from above, gone down below; negative when it rose
	SandIn, SandTakenOut      Estimate // kg/m²
	SandSunkIn, SandSunkOut   Estimate // kg/m²
	Start, End                Estimate // mass fraction
	ByMade, ByDecay, ByTaking Estimate // change of the mass fraction by each; taking: cores with their sand
	BySand, BySinking         Estimate // sand put in; what came from above and went below, with its sand
}

// flow is Flows of one member in numbers, in the order of terms, and then organic matter and sand in the layer at the
// end [kg/m²].
type flow [17]float64

// AskFlows is what [Ensemble.Flows] is asked.
type AskFlows struct {
	Layers  []Layer // touching, from the surface down; nil for those sampled that do
	Edges   []int   // days at which leaves of the account begin and end, in order
	Futures []profile.Daily
	Work    [][]profile.Event
	Members int // of the ensemble's to run, spread over them; 0 for 100
	Step    int
}

// Flows follows the layers through time, by ensemble. The answer holds one entry for every leaf and layer.
func (e *Ensemble) Flows(a AskFlows) ([]Flows, error) {
	draws, err := e.flows(&a)
	if err != nil {
		return nil, err
	}
	var list []Flows
	for i, d := range draws {
		leaf, layer := i/len(a.Layers), i%len(a.Layers)
		list = append(list, sumFlows(d, a.Layers[layer], a.Edges[leaf], a.Edges[leaf+1]))
	}
	return list, nil
}

// flows gives what [Ensemble.Flows] sums up: by leaf and layer, by member. It fills in what the ask leaves open.
func (e *Ensemble) flows(a *AskFlows) ([][]flow, error) {
	f := e.Fit
	if a.Layers == nil {
		a.Layers = touching(f.Layers)
	}
	if len(a.Layers) == 0 {
		return nil, fmt.Errorf("accounting for layers: none of those sampled begins at the surface")
	}
	depth := 0.0
	for _, l := range a.Layers {
		if l.Top != depth {
			return nil, fmt.Errorf("accounting for layers: %g–%g mm does not begin at %g mm, where the one above it ends: give layers that touch, from the surface down", l.Top, l.Bottom, depth)
		}
		depth = l.Bottom
	}
	if len(a.Edges) < 2 || !slices.IsSorted(a.Edges) {
		return nil, fmt.Errorf("accounting for layers: give two or more days in order")
	}
	if a.Members == 0 {
		a.Members = 100
	}
	a.Members = min(a.Members, len(e.members))
	ask := Ask{Days: a.Edges, Layers: a.Layers, Futures: a.Futures, Work: a.Work, Step: a.Step, Members: a.Members}
	if err := ask.fill(e); err != nil {
		return nil, err
	}
	u, err := e.whole(&ask)
	if err != nil {
		return nil, err
	}
	leaves := len(a.Edges) - 1
	draws := make([][]flow, leaves*len(a.Layers))
	for i := range draws {
		draws[i] = make([]flow, a.Members)
	}
	runs := e.runs(&ask)
	for r, first := range runs[:len(runs)-1] {
		if err := u.follow(ask.of(e, first), first, draws); err != nil {
			return nil, err
		}
		for _, d := range draws {
			for m := first + 1; m < runs[r+1]; m++ {
				d[m] = d[first]
			}
		}
	}
	return draws, nil
}

// touching gives the layers that follow one another from the surface down, the deepest such row of them. layers: sorted by their tops.
func touching(layers []Layer) []Layer {
	rows := map[float64][]Layer{0: nil} // by where they end
	deepest := 0.0
	for _, l := range layers {
		row, ok := rows[l.Top]
		if _, had := rows[l.Bottom]; !ok || had {
			continue
		}
		rows[l.Bottom] = append(slices.Clone(row), l)
		deepest = max(deepest, l.Bottom)
	}
	return rows[deepest]
}

// follow runs one member with a ledger and adds it to the draws.
func (l *lane) follow(m, to int, draws [][]flow) error {
	layers := l.ask.Layers
	forcing := l.forcings[m%len(l.forcings)]
	depths := make([]float64, len(layers))
	for i, layer := range layers {
		depths[i] = layer.Bottom
	}
	greens := float64(len(l.tracks))
	for g, track := range l.tracks {
		q := l.e.Fit.problem.params(l.e.members[m].theta, g)
		if g == 0 {
			forcing.Set(q, false)
		}
		leaves, err := track.Ledger(l.columns[g], forcing, q, l.outs[g], depths, l.ask.Days)
		if err != nil {
			return fmt.Errorf("accounting for green %s: %w", l.e.Fit.Course.Greens[g].Name, err)
		}
		for leaf, above := range leaves {
			for i := range layers {
				one := layerFlow(above, i)
				d := &draws[leaf*len(layers)+i][to]
				for k := range one {
					d[k] += one[k] / greens
				}
			}
		}
	}
	return nil
}

// layerFlow takes what happened above a layer's top from what happened above its bottom, and splits the change of its
// mass fraction f = O/T exactly,
//
//	Δf = a·ΔO − b·ΔM,  a = ½[(1−f₀)/T₁ + (1−f₁)/T₀],  b = ½[f₀/T₁ + f₁/T₀]
//
// over the parts of ΔO and ΔM.
func layerFlow(above []profile.Flow, l int) flow {
	in := above[l]
	var up profile.Flow
	if l > 0 {
		up = above[l-1]
	}
	organicOut, sandOut := in.Sunk()
	organicIn, sandIn := up.Sunk()
	made, decayed, taken := in.Made-up.Made, in.Decayed-up.Decayed, in.TakenOut-up.TakenOut
	laid, cut := in.SandIn-up.SandIn, in.SandOut-up.SandOut
	o0, m0 := in.OrganicStart-up.OrganicStart, in.SandStart-up.SandStart
	o1, m1 := in.OrganicEnd-up.OrganicEnd, in.SandEnd-up.SandEnd
	t0, t1 := o0+m0, o1+m1
	f0, f1 := o0/t0, o1/t1
	a := ((1-f0)/t1 + (1-f1)/t0) / 2
	b := (f0/t1 + f1/t0) / 2
	return flow{
		made, decayed, taken, organicIn, organicOut, laid, cut, sandIn, sandOut, f0, f1,
		a * made, -a * decayed, -a*taken + b*cut, -b * laid, o1, m1,
	}
}

func sumFlows(draws []flow, layer Layer, from, to int) Flows {
	pick := func(of func(*flow) float64) Estimate {
		v := make([]float64, len(draws))
		for i := range draws {
			v[i] = of(&draws[i])
		}
		return Sum(v)
	}
	at := func(k int) Estimate { return pick(func(d *flow) float64 { return d[k] }) }
	return Flows{
		Layer: layer, From: from, To: to,
		Made: at(0), Decayed: at(1), TakenOut: at(2), SunkIn: at(3), SunkOut: at(4),
		SandIn: at(5), SandTakenOut: at(6), SandSunkIn: at(7), SandSunkOut: at(8), Start: at(9), End: at(10),
		ByMade: at(11), ByDecay: at(12), ByTaking: at(13), BySand: at(14),
		BySinking: pick(func(d *flow) float64 { return d[10] - d[9] - d[11] - d[12] - d[13] - d[14] }),
	}
}
