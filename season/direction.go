package season

// Toward is what the surface asks of organic matter.
type Toward int

// The directions. Unknown is the zero value: no readings and no judgement.
const (
	Unknown Toward = iota
	Lower
	Hold
	Raise
)

func (t Toward) String() string {
	switch t {
	case Lower:
		return "lower"
	case Hold:
		return "hold"
	case Raise:
		return "raise"
	}
	return "unknown"
}

// Direction is a direction with what it rests on.
type Direction struct {
	Toward Toward
	Chance float64 // that the readings point this way, 0..1; not used when Judged
	Judged bool    // the manager's stated judgement, which overrides the readings
	Reason string  // what decided, or why it is unknown; a phrase without a full stop
}

// sureEnough is the chance from which a direction is followed without a word; working default, no source.
const sureEnough = 0.8
