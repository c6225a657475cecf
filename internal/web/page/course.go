package page

// Course is the page of where a course stands.
type Course struct {
	Frame     Frame
	Direction Direction
	Chance    *Chance
	Statement string
	Because   string
	Acts      []Link
	Working   string // what is still being worked out; empty when nothing is
	Outlook   string // where the layer at the surface will be, when that has been worked out
	Course    string
	Next      []Step
	Records   []Link
	Readings  []ReadingPanel
	ReadNote  string
	Layers    []Stratum
	Core      Drawing // the whole core, to take away
	LayerNote string
	Sand      Sand
	Answer    Answer
	Accounts  []Account
	NoAccount string
	Notes     []string
}

// Step is one line of what comes next in the circle.
type Step struct {
	When  string
	State State
	Text  string
	Quiet string
	Href  string
	Now   bool
}

// Stratum is one layer's row beside its piece of the core.
type Stratum struct {
	Depths  Depths
	Core    Drawing
	Colour  string // of its organic matter
	Now     string // "7.2"
	Range   string // "6.6 to 7.8 %"
	Stock   string // "1.66 kg/m² of OM"
	Trend   Drawing
	Says    string
	Figures string
	Chances []Chance
	Note    string
	Table   Table
}

// Sand is what was put on beside what holding needs.
type Sand struct {
	Figure *Figure
	Table  Table
	Note   string
	Why    string // why there is nothing to show
}

// Answer is the advice in full.
type Answer struct {
	Lead     string // one sentence
	Facts    []Fact
	Steps    []string
	Chance   *Chance
	Warnings []string
	Cautions []string
	Layer    string
}

// Fact is one figure of the answer.
type Fact struct {
	Name, Value, Unit, Note string
}

// Account is what happened in one layer between the first round and the last.
type Account struct {
	Depths Depths
	Says   string
	Sure   string
	Note   string
	Table  Table
	By     Table // interval by interval
	Budget *Figure
	Reason string
}

// Plan is the page of the answer in full.
type Plan struct {
	Course    string
	Direction Direction
	Statement string
	Because   string
	Answer    Answer
	Sand      Sand
	Planned   []Entry
	Total     *Entry
	Season    Season
}
