package underfoot

import "encoding/json"

// Mapping is a named rule by which a laboratory's own table is read.
type Mapping struct {
	Course   string // every course of the package
	ID       string `col:"mapping" key:"1" about:"Name of the mapping."`
	Kind     string `col:"kind" need:"1" oneof:"results,weighings,sieve" about:"Table that its rows become."`
	Headings string `col:"headings" about:"Headings of the table it was made for, by which it is found again."`
	Rule     string `col:"rule" need:"1" about:"The rule itself, as JSON."`
	Extra    Extra
}

// Mappings describes the table of mappings.
var Mappings = newTable[Mapping]("mappings", "Mappings of laboratory tables")

// Table returns [Mappings].
func (*Mapping) Table() *Table { return Mappings }

// Check refuses a rule that is not JSON.
func (m *Mapping) Check() []Fault {
	if !json.Valid([]byte(m.Rule)) {
		return []Fault{{"rule", "is not JSON: save the mapping again from its page"}}
	}
	return nil
}
