package page

import "strconv"

// Grains is the page of the sands of a course: what the sieves say of root zone, dressing sand and ash.
type Grains struct {
	Frame     Frame
	Course    string
	Statement string
	Because   string
	Sands     Table // what is written down of the sands
	SandNotes []string
	Layers    []GrainLink // the layers whose ash was sieved
	Figure    *Figure
	Drift     []string
	DriftRows *Table
	Blends    []string
	BlendRows *Table
	Water     []string
	Trust     string
	Formulas  *Table
	Choices   []SandChoice
	Prices    *Table
	Gravels   []GravelCheck
	Sizes     Table
	Classes   Table
	Systems   []Table  // the same by other systems
	Differ    []string // where the systems part
	Limits    Table
	Notes     []string // of single sievings
	Cautions  []string
	Method    string
}

// GrainLink is a layer to look at.
type GrainLink struct {
	Name, Href string
	Current    bool
}

// SandChoice is a sand that may be put on, ranked.
type SandChoice struct {
	Name, Fit string
	State     State
	Says      []string
}

// GravelCheck is a gravel under the root zone.
type GravelCheck struct {
	Name  string
	Table Table
}

// caution gives a sentence of the safety note, "" where there are fewer.
func (p Grains) caution(i int) string {
	if i < len(p.Cautions) {
		return p.Cautions[i]
	}
	return ""
}

func gravelID(i int) string { return "gravel-" + strconv.Itoa(i+1) }
