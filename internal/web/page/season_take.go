package page

// Replace asks whether planned work is to make room for a plan.
type Replace struct {
	Course    string
	Statement string
	Entries   []Entry
	Hidden    []Hidden
	Back      string
}

// Crew is the crew sheet of a plan.
type Crew struct {
	Frame     Frame
	Over      string
	Statement string
	Sand      string
	Back      string
	Tasks     []CrewTask
	Cautions  []string
}

// CrewTask is one piece of work for the crew.
type CrewTask struct {
	Day, What, Kind, Setup, Facts string
	Days                          []string // with a box to tick for each
	Table                         Table
	Unsized                       int // greens without an area
}
