package calibrate

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"underfoot/profile"
)

// Course is a course's record in numbers.
type Course struct {
	Settings profile.Settings
	Daily    profile.Daily // weather, growth and nitrogen, from Start on
	Start    int           // day of the first profile, at or before the first round
	Greens   []Green
	Measured []Measured
}

// Green is one green and its work, in the order it was done.
type Green struct {
	Name string
	Work []profile.Event
}

// Measured is one composite.
type Measured struct {
	Green       int     // in Course.Greens
	Round       string  // label; composites of one label and layer share a discrepancy
	Day         int     // days since 1970-01-01
	Top, Bottom float64 // mm
	OM          float64 // organic mass fraction, 0..1
	Mass        float64 // oven-dry mass per area, kg/m²; 0 when no volume is known
	Cores       int     // in the composite; 0 for the usual 5
	BenchSD     float64 // relative standard uncertainty of the bench
}

// usualCores are in a composite of which nobody said (common practice, no source).
const usualCores = 5

// spare is how much of the first column is kept below all that is looked at, mm: the column gets thinner where more decays than is
// made. Working default.
const spare = 20

// Layer is a depth interval, mm.
type Layer struct{ Top, Bottom float64 }

// Layers lists what was ever sampled, from the surface down.
func (c *Course) Layers() []Layer {
	var list []Layer
	for _, m := range c.Measured {
		if l := (Layer{m.Top, m.Bottom}); !slices.Contains(list, l) {
			list = append(list, l)
		}
	}
	slices.SortFunc(list, func(a, b Layer) int { return cmp.Or(cmp.Compare(a.Top, b.Top), cmp.Compare(a.Bottom, b.Bottom)) })
	return list
}

// Last gives the day of the last composite.
func (c *Course) Last() int {
	last := c.Start
	for _, m := range c.Measured {
		last = max(last, m.Day)
	}
	return last
}

// ErrNothingMeasured is returned when there is no composite to learn from.
var ErrNothingMeasured = errors.New("calibrating a course: no composite has been measured: cut and weigh a round first")

// Check refuses a record that no calibration can be made of.
func (c *Course) Check() error {
	if err := c.Settings.Check(); err != nil {
		return err
	}
	if len(c.Measured) == 0 {
		return ErrNothingMeasured
	}
	if err := c.Daily.Check(); err != nil {
		return err
	}
	if c.Start < c.Daily.First || c.Start > c.Daily.Until() {
		return fmt.Errorf("calibrating a course: the first profile of day %d lies outside days %d to %d that weather and growth are known for", c.Start, c.Daily.First, c.Daily.Until())
	}
	for _, m := range c.Measured {
		what := fmt.Sprintf("composite of %g–%g mm on day %d", m.Top, m.Bottom, m.Day)
		switch {
		case m.Green < 0 || m.Green >= len(c.Greens):
			return fmt.Errorf("calibrating a course: %s names green %d of %d", what, m.Green, len(c.Greens))
		case !(m.OM > 0 && m.OM < 1):
			return fmt.Errorf("calibrating a course: %s on green %s has %g %% organic matter: it has to lie between 0 and 100", what, c.Greens[m.Green].Name, 100*m.OM)
		case !(m.Top >= 0 && m.Bottom > m.Top):
			return fmt.Errorf("calibrating a course: %s on green %s: the second depth has to be deeper than the first", what, c.Greens[m.Green].Name)
		case m.Bottom > c.Settings.Depth-spare:
			return fmt.Errorf("calibrating a course: %s on green %s reaches deeper than a column of %g mm allows: %g mm at most, or set a deeper column", what, c.Greens[m.Green].Name, c.Settings.Depth, c.Settings.Depth-spare)
		case m.Cores < 0:
			return fmt.Errorf("calibrating a course: %s on green %s is of %d cores: give 1 or more, or 0 for %d", what, c.Greens[m.Green].Name, m.Cores, usualCores)
		case !(m.Mass >= 0 && m.Mass < 1e4):
			return fmt.Errorf("calibrating a course: %s on green %s weighs %g kg/m²: give a dry mass above 0 and below 10000 kg/m², or 0 where no volume is known", what, c.Greens[m.Green].Name, m.Mass)
		case !(m.BenchSD >= 0 && m.BenchSD <= 1):
			return fmt.Errorf("calibrating a course: %s on green %s has a relative uncertainty of the bench of %g: allowed are 0 to 1", what, c.Greens[m.Green].Name, m.BenchSD)
		case m.Day < c.Start || m.Day > c.Daily.Until():
			return fmt.Errorf("calibrating a course: %s on green %s lies outside the time from day %d to %d that weather and growth are known for", what, c.Greens[m.Green].Name, c.Start, c.Daily.Until())
		}
	}
	return nil
}
