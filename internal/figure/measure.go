package figure

// Measure is the unit a figure of lengths is read in, where that is not the millimetre its numbers are given in.
type Measure struct {
	Unit     string  // "in"; empty is mm
	Per      float64 // units a millimetre
	Decimals int     // more than a number in mm has
}

// unit names it.
func (m Measure) unit() string {
	if m.Unit == "" {
		return "mm"
	}
	return m.Unit
}

// of converts a number in mm.
func (m Measure) of(mm float64) float64 {
	if m.Per == 0 {
		return mm
	}
	return mm * m.Per
}

// estimate converts an estimate in mm.
func (m Measure) estimate(e *Estimate) *Estimate {
	if e == nil || m.Per == 0 {
		return e
	}
	return &Estimate{Mid: m.of(e.Mid), Inner: Interval{m.of(e.Inner.Low), m.of(e.Inner.High)}, Outer: Interval{m.of(e.Outer.Low), m.of(e.Outer.High)}}
}

// places is how many decimals a number has that has d of them in mm.
func (m Measure) places(d int) int { return d + m.Decimals }
