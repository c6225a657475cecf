package calibrate

import (
	"fmt"
	"math"
	"slices"
)

// Found is what takes long to find of a calibration and its ensemble. With the course and the prior it gives both again to the
// last bit ([Again]), on a machine of the same kind and with the same program.
type Found struct {
	Mode       []float64 // places of all unknowns, in the order of [Fit.Name]
	Spreads    Spreads
	Objective  float64
	Iterations int

	Logs    []float64 // of the draws' weights, posterior over proposal; −∞ for a draw that could not be run
	Members int
	Now     int // day the columns are at
	Seed    uint64
}

// Found gives what [Again] takes. ok is false for members that are not weighed draws about the mode but a sampler's.
func (e *Ensemble) Found() (found Found, ok bool) {
	f := e.Fit
	return Found{
		Mode: f.Mode, Spreads: f.Spreads, Objective: f.Objective, Iterations: f.Iterations, Logs: e.logs, Members: e.asked, Now: e.Now, Seed: e.seed,
	}, e.logs != nil
}

// Again makes a calibration and its ensemble out of what was found before: it runs the course at the mode once, for the curvature
// there and what follows from it, and draws the members anew; their columns are brought up to Now when somebody asks for them, by
// so many workers. What was found of another course, under another prior or by another program is refused as far as the mode's
// own density shows it.
func Again(c *Course, prior Prior, found Found, workers int) (*Ensemble, error) {
	p, err := newProblem(c, true)
	if err != nil {
		return nil, err
	}
	l, err := newLinear(p, prior)
	if err != nil {
		return nil, err
	}
	if len(found.Mode) != p.at.n || len(found.Spreads.Composite) != len(p.layers) || len(found.Logs) == 0 || found.Members < 10 {
		return nil, fmt.Errorf("taking a calibration up again: what was found is of another course")
	}
	f := &Fit{Course: c, Prior: prior, Layers: p.layers, problem: p, Mode: slices.Clone(found.Mode), Iterations: found.Iterations}
	l.spreads = found.Spreads
	l.spreads.Composite = slices.Clone(found.Spreads.Composite)
	if err := f.conclude(l); err != nil {
		return nil, err
	}
	if f.Objective != found.Objective {
		return nil, fmt.Errorf("taking a calibration up again: the mode that was found has an objective of %g and not of %g", f.Objective, found.Objective)
	}
	q, err := f.proposal()
	if err != nil {
		return nil, err
	}
	w := &Weighed{Theta: make([][]float64, len(found.Logs)), logs: slices.Clone(found.Logs)}
	if math.IsInf(slices.Max(w.logs), -1) {
		return nil, fmt.Errorf("taking a calibration up again: none of its draws could be run")
	}
	for i := range w.Theta {
		w.Theta[i], _ = q.draw(drawing(found.Seed, i))
	}
	w.settle()
	return f.gather(w, found.Members, found.Now, found.Seed, workers), nil
}
