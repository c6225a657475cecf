package app

import (
	"slices"

	"underfoot"
	"underfoot/findings"
	"underfoot/unit"
)

// responsesOf holds the readings of the surface's greens against the organic matter of the layer at the surface. A layer of the
// surface is one that begins at 0 mm; of several, the one with the most rounds.
func responsesOf(rs *underfoot.Records, ours map[string]bool, layers []Layer, asOf underfoot.Date) ([]findings.Response, error) {
	readings, targets := readingsOf(rs, ours)
	var until []findings.Reading
	for _, r := range readings {
		if r.Green != "" && !r.Date.After(asOf.Time().AddDate(0, 0, 1)) {
			until = append(until, r)
		}
	}
	return findings.Respond(until, targets, topOf(layers))
}

func topOf(layers []Layer) findings.Layer {
	var top findings.Layer
	for i := range layers {
		if l := &layers[i]; l.TopMM == 0 && len(l.Rounds) > len(top.Rounds) {
			top = findings.Layer{TopMM: unit.Millimetres(l.TopMM), BottomMM: unit.Millimetres(l.BottomMM), Rounds: l.Rounds, Trend: l.Trend, Consistency: l.Even}
		}
	}
	return top
}

// Responses tells how firmness goes with water content and organic matter, a kind each. It is worked out once, when asked for:
// it takes longer than the rest of a standing.
func (s *Standing) Responses() []findings.Response {
	list, _ := s.responses.get(func() ([]findings.Response, error) {
		ours := map[string]bool{}
		for _, g := range s.Greens {
			ours[g.ID] = true
		}
		return responsesOf(s.Records, ours, s.Layers, s.AsOf)
	})
	return list // what could be wrong with readings was found when the direction was judged by them
}

// Reasons are those of the direction, and what organic matter goes with.
func (s *Standing) Reasons() []string {
	out := slices.Clone(s.Direction.Because)
	if s.Direction.FromReadings == findings.Unknown {
		return out
	}
	for _, r := range s.Responses() {
		if why := r.Because(); why != "" {
			out = append(out, why)
		}
	}
	return out
}
