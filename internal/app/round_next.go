package app

import (
	"fmt"
	"math"

	"underfoot"
	"underfoot/sampling"
)

// RoundTiming says from when on a round of a design is worth taking.
type RoundTiming struct {
	From   string        `json:"worthwhile_from"` // the first day looked at; "" where none within the years looked ahead
	Now    bool          `json:"already"`
	Layers []LayerTiming `json:"layers"`
	Says   string        `json:"says"`
}

// LayerTiming is what a round measures one layer to, beside how sure the model is of it, in percentage points.
type LayerTiming struct {
	TopMM    float64   `json:"top_mm"`
	BottomMM float64   `json:"bottom_mm"`
	Measured float64   `json:"round_standard_error"`
	Dates    []string  `json:"dates"`
	Foretold []float64 `json:"forecast_sd"`
	Gain     []float64 `json:"share_of_doubt_taken"` // by a round on that day
	From     string    `json:"worthwhile_from"`
}

// monthsLooked is how far ahead a next round is looked for.
const monthsLooked = 48

// RoundTiming says from when on the round of a plan would tell more than the calibrated model already knows: the first month in
// which the forecast of any layer is less sure than the round would measure it. The error says in a sentence what is
// missing.
func (s *Standing) RoundTiming(plan underfoot.RoundPlan) (*RoundTiming, error) {
	r, err := roundOfPlan(&plan)
	if err != nil {
		return nil, err
	}
	m, err := s.Model()
	if err != nil {
		return nil, err
	}
	var dates []underfoot.Date
	start := max(m.LastDay(), s.Today)
	for i := range monthsLooked + 1 {
		dates = append(dates, underfoot.DateOf(start.Time().AddDate(0, i, 0)))
	}
	f, err := m.Forecast(dates)
	if err != nil {
		return nil, err
	}
	out := &RoundTiming{Layers: []LayerTiming{}}
	first := len(dates)
	for i, l := range r.Layers {
		for k, known := range f.Layers {
			if known.Top != float64(l.Top) || known.Bottom != float64(l.Bottom) || r.Of(i) == 0 {
				continue
			}
			measured, err := s.roundError(r, i, l)
			if err != nil {
				return nil, err
			}
			t := LayerTiming{TopMM: known.Top, BottomMM: known.Bottom, Measured: measured}
			from := len(dates)
			for d := range dates {
				sd := 100 * f.Estimate(-1, d, k).SD
				gain, err := sampling.Gain(sd, measured)
				if err != nil {
					return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
				}
				t.Dates, t.Foretold, t.Gain = append(t.Dates, dates[d].String()), append(t.Foretold, sd), append(t.Gain, gain)
				if sd >= measured && from == len(dates) {
					from = d
				}
			}
			if from < len(dates) {
				t.From = dates[from].String()
			}
			first = min(first, from)
			out.Layers = append(out.Layers, t)
		}
	}
	if len(out.Layers) == 0 {
		return nil, underfoot.Errorf(underfoot.Negative, "none of the planned layers was measured before, so nothing is foretold of them: any date will do")
	}
	out.say(dates, first)
	return out, nil
}

// roundError is the standard error with which a round measures a layer [points].
func (s *Standing) roundError(r sampling.Round, i int, l sampling.Layer) (float64, error) {
	c, target, _, _, err := s.planning(l)
	if err != nil {
		return 0, err
	}
	d := sampling.Design{Greens: r.Of(i), Cores: r.Cores, Determinations: 1}
	e, err := c.RoundMean(d, max(target, sampling.Target(d.Greens)))
	if err != nil {
		return 0, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return math.Max(e.SE(), 1e-6), nil
}

// say words the answer: first is the number of the first worthwhile date.
func (t *RoundTiming) say(dates []underfoot.Date, first int) {
	switch {
	case first == len(dates):
		t.Says = fmt.Sprintf("A round within the next %d years would tell little: until %s the model foretells every layer more surely than this round would measure it.",
			monthsLooked/12, monthOf(dates[len(dates)-1]))
	case first == 0:
		t.From, t.Now = dates[0].String(), true
		t.Says = "A round tells more than the model foretells from now on."
	default:
		t.From = dates[first].String()
		t.Says = fmt.Sprintf("A round before %s would tell little: until then the model foretells every layer more surely than this round would measure it.", monthOf(dates[first]))
	}
}

func monthOf(d underfoot.Date) string { return d.Time().Format("January 2006") }

// HasModel says whether the calibrated model has been worked out, so that asking it takes no long.
func (s *Standing) HasModel() bool { return s.fitted() != nil }
