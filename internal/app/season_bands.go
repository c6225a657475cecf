package app

import (
	"fmt"
	"math"

	"underfoot"
	"underfoot/findings"
)

// goal is where the layers are wanted at the end of a plan, and why there.
type goal struct {
	bands     []SeasonBand
	direction string // empty where the bands were given
	notes     []string
}

// step is how far one plan takes the layer at the surface, as shares of what it holds now.
type step struct{ low, high float64 }

// steps are the steps of a direction where the readings do not tell better: working defaults, no source.
var steps = map[string]step{"hold": {0.88, 1.12}, "lower": {0.65, 0.82}, "raise": {1.1, 1.4}}

// The narrowest band that is aimed at, and how far a plan goes at the most and at the least, as shares of what the layer
// holds now (working defaults, no source): beyond that another round should have its say first.
const (
	narrowestBand = 0.17
	furthestDown  = 0.65
	furthestUp    = 1.4
)

// goal gives the bands asked for, or those that follow from the direction: through the readings model where it can tell,
// else by the stated step.
func (m *Model) goal(a SeasonAsk) (goal, error) {
	if len(a.Bands) > 0 {
		return goal{bands: a.Bands}, nil
	}
	g := goal{direction: a.Direction}
	if g.direction == "" {
		g.direction = directionFound(m.s.Direction).Verdict
	}
	by, known := steps[g.direction]
	if !known {
		return goal{}, underfoot.Errorf(underfoot.Invalid, "season: there is no direction to plan for: no readings say it and nobody has stated it; give bands, or state hold, lower or raise")
	}
	layers := m.Fit.Layers
	now := m.s.Layer(layers[0].Top, layers[0].Bottom)
	if now == nil || layers[0].Top != 0 {
		return goal{}, underfoot.Errorf(underfoot.Invalid, "season: no layer at the surface was sampled: give bands")
	}
	level := float64(now.Last().Mean)
	band := SeasonBand{TopMM: layers[0].Top, BottomMM: layers[0].Bottom, Low: level * by.low, High: level * by.high}
	why := fmt.Sprintf("the band of %s is the usual step: %.0f to %.0f %% of the %.1f %% it holds (ours, no source)", now.Name(), 100*by.low, 100*by.high, level)
	if r := telling(m.s.Responses(), band.TopMM, band.BottomMM); r != nil {
		if low, high, says := bandOfReadings(r, g.direction, level); says == "" {
			band.Low, band.High = low, high
			why = fmt.Sprintf("the band of %s, %.1f to %.1f %%, follows from the readings: %s", now.Name(), low, high, r.Levels())
		} else {
			why += "; " + says
		}
	} else {
		why += "; the readings cannot tell at which organic matter they would be in their band"
	}
	g.bands, g.notes = []SeasonBand{band}, []string{why}
	return g, nil
}

// telling picks the way of reading firmness that says most narrowly which organic matter of this layer its band goes with.
func telling(list []findings.Response, top, bottom float64) *findings.Response {
	var best *findings.Response
	narrowest := math.Inf(1)
	for i := range list {
		r := &list[i]
		if !r.Known || !r.Tells || r.Against || float64(r.TopMM) != top || float64(r.BottomMM) != bottom {
			continue
		}
		less, more := r.Range()
		for _, l := range []findings.OMLevel{less, more} {
			if wide := (l.Upper95 - l.Lower95) / l.OM; l.Told && wide < narrowest {
				best, narrowest = r, wide
			}
		}
	}
	return best
}

// bandOfReadings gives the organic matter a direction leads to by the readings model, percent, level being what the layer
// holds now; or says why the usual step is kept. The end that the direction leads to must be told. The far end is the other edge of the readings'
// band where that is told, else the narrowest band away.
func bandOfReadings(r *findings.Response, direction string, level float64) (low, high float64, why string) {
	less, more := r.Range()
	narrow := narrowestBand * level
	switch direction {
	case "lower":
		switch {
		case !more.Told:
			return 0, 0, "the readings do not tell below which organic matter they would be in their band"
		case more.OM >= level:
			return 0, 0, fmt.Sprintf("by the readings alone it need not go down: they would be in their band up to %.1f %%", more.OM)
		case more.OM < level*(furthestDown+narrowestBand):
			return 0, 0, fmt.Sprintf("the readings ask for %.1f %% or less, further than one plan goes: sample again on the way", more.OM)
		}
		high = more.OM
		low = high - narrow
		if less.Told && less.OM < high {
			low = min(low, less.OM)
		}
		return max(low, level*furthestDown), high, ""
	case "raise":
		switch {
		case !less.Told:
			return 0, 0, "the readings do not tell above which organic matter they would be in their band"
		case less.OM <= level:
			return 0, 0, fmt.Sprintf("by the readings alone it need not go up: they would be in their band from %.1f %% on", less.OM)
		case less.OM > level*(furthestUp-narrowestBand):
			return 0, 0, fmt.Sprintf("the readings ask for %.1f %% or more, further than one plan goes: sample again on the way", less.OM)
		}
		low = less.OM
		high = low + narrow
		if more.Told && more.OM > low {
			high = max(high, more.OM)
		}
		return low, min(high, level*furthestUp), ""
	}
	if !less.Told && !more.Told {
		return 0, 0, "the readings do not tell where that would be too much or too little"
	}
	low, high = level*steps["hold"].low, level*steps["hold"].high
	switch { // the readings narrow what holding means, and never widen it
	case less.Told && less.OM > level:
		return 0, 0, fmt.Sprintf("by the readings alone it would not be held: they would be in their band from %.1f %% on", less.OM)
	case more.Told && more.OM < level:
		return 0, 0, fmt.Sprintf("by the readings alone it would not be held: they would be in their band up to %.1f %%", more.OM)
	}
	if less.Told {
		low = max(low, less.OM)
	}
	if more.Told {
		high = min(high, more.OM)
	}
	if high-low < narrow {
		return 0, 0, fmt.Sprintf("the readings would narrow it to %.1f to %.1f %%, more than a plan can promise", low, high)
	}
	return low, high, ""
}
