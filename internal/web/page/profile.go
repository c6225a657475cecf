package page

// Profile is the page of where sand and organic matter go, and where they will be.
type Profile struct {
	Frame       Frame
	Over        string
	Statement   string
	Because     []string
	Ahead       Table
	AheadNote   string
	Why         string // what is missing; the rest is empty then
	Needs       []Need
	Burial      Figure
	Fan         Figure
	Back        *Figure // foretold against measured
	BackSays    string
	BackTable   *Table
	Account     *Figure
	NoAccount   string
	Masses      *Table
	Levers      *Levers
	NoLevers    string
	Priors      Figure
	Misfits     []string
	LearntLists []string // unknowns by who decided them
	Source      string
	Notes       []string
	Method      []string
	Greens      Table
}

// Need is one thing a calibration takes, and whether it is there.
type Need struct {
	State State
	Text  string
	Href  string
	Link  string
}

// Levers is what one more of each kind of work would do.
type Levers struct {
	Says      string
	Table     Table
	Holds     *Table
	Note      string
	HoldsNote string
}
