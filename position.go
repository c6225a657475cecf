package underfoot

// Position is where one core of a round is to be taken, or was.
type Position struct {
	Course    string  `col:"course" key:"1" refers:"courses" about:"Course it is on."`
	Green     string  `col:"green" key:"1" refers:"greens" about:"Green it is on."`
	Round     string  `col:"round" key:"1" about:"Label of the round."`
	Core      int     `col:"core" key:"1" min:"1" max:"1000" about:"Which core, in the order in which they are walked."`
	Longitude float64 `col:"longitude_deg" need:"1" unit:"°" min:"-180" max:"180" about:"Longitude, east positive."`
	Latitude  float64 `col:"latitude_deg" need:"1" unit:"°" min:"-90" max:"90" about:"Latitude, north positive."`
	Extra     Extra
}

// Positions describes the table of core positions.
var Positions = newTable[Position]("positions", "Core positions")

// Table returns [Positions].
func (*Position) Table() *Table { return Positions }

// Check finds nothing beyond the limits of the columns.
func (*Position) Check() []Fault { return nil }

// FixedPoint is a thing beside a green that stays where it is, from which core positions are measured out.
type FixedPoint struct {
	Course    string  `col:"course" key:"1" refers:"courses" about:"Course it is on."`
	Green     string  `col:"green" key:"1" refers:"greens" about:"Green it is beside."`
	Point     string  `col:"point" key:"1" about:"Short name of the point."`
	Longitude float64 `col:"longitude_deg" need:"1" unit:"°" min:"-180" max:"180" about:"Longitude, east positive."`
	Latitude  float64 `col:"latitude_deg" need:"1" unit:"°" min:"-90" max:"90" about:"Latitude, north positive."`
	About     string  `col:"about" about:"What it is, such as: sprinkler head by the bunker."`
	Extra     Extra
}

// FixedPoints describes the table of fixed points.
var FixedPoints = newTable[FixedPoint]("points", "Fixed points")

// Table returns [FixedPoints].
func (*FixedPoint) Table() *Table { return FixedPoints }

// Check finds nothing beyond the limits of the columns.
func (*FixedPoint) Check() []Fault { return nil }
