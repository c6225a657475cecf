package calibrate

import "underfoot/profile"

// Leaf is what happened to one layer from one day to another in every member of an ensemble, the mean over the greens:
// the draws behind [Flows]. Masses in kg/m².
type Leaf struct {
	Layer    Layer
	From, To int // days

	Made, Decayed, TakenOut []float64 // organic matter
	SunkIn, SunkOut         []float64 // organic matter come down from above, gone down below
	SandIn, SandTakenOut    []float64
	SandSunkIn, SandSunkOut []float64
	OrganicEnd, SandEnd     []float64 // in the layer at the end
}

// Leaves follows the layers through time like [Ensemble.Flows] and gives every member's numbers.
func (e *Ensemble) Leaves(a AskFlows) ([]Leaf, error) {
	draws, err := e.flows(&a)
	if err != nil {
		return nil, err
	}
	var list []Leaf
	for i, d := range draws {
		leaf, layer := i/len(a.Layers), i%len(a.Layers)
		at := func(k int) []float64 {
			v := make([]float64, len(d))
			for m := range d {
				v[m] = d[m][k]
			}
			return v
		}
		list = append(list, Leaf{
			Layer: a.Layers[layer], From: a.Edges[leaf], To: a.Edges[leaf+1],
			Made: at(0), Decayed: at(1), TakenOut: at(2), SunkIn: at(3), SunkOut: at(4),
			SandIn: at(5), SandTakenOut: at(6), SandSunkIn: at(7), SandSunkOut: at(8), OrganicEnd: at(15), SandEnd: at(16),
		})
	}
	return list, nil
}

// Values gives an unknown of the course in so many of the members, the same ones as forecasts and accounts of that many
// take; 0 for all.
func (e *Ensemble) Values(u profile.Unknown, members int) []float64 {
	if members == 0 || members > len(e.members) {
		members = len(e.members)
	}
	v := make([]float64, members)
	for i := range v {
		v[i] = profile.Table[u].Scale.Value(e.members[i*len(e.members)/members].theta[u])
	}
	return v
}
