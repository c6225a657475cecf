package report

import (
	"underfoot"
	"underfoot/calibrate"
)

// leverNumbers is what the model says of each lever.
type leverNumbers struct {
	Horizons                          []underfoot.Date
	Baseline, CoringName              string
	AppliedMM                         float64
	MoreSand, OneCoring, LessNitrogen []calibrate.Effect
	Holding                           []calibrate.Holding
}

// Levers says what one more of each kind of work would do; the sentence says why there is nothing to say.
func (p Profile) Levers() (*Levers, string) {
	return nil, "What one more of each kind of work would do is not worked out yet."
}
