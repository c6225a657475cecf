package app

import (
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

// respond adds what organic matter goes with to the reasons of the direction.
func (s *Standing) respond(ours map[string]bool) error {
	var err error
	if s.Responses, err = responsesOf(s.Records, ours, s.Layers, s.AsOf); err != nil {
		return err
	}
	for _, r := range s.Responses {
		if why := r.Because(); why != "" && s.Direction.FromReadings != findings.Unknown {
			s.Direction.Because = append(s.Direction.Because, why)
		}
	}
	return nil
}
