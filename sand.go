package underfoot

import "strings"

// Sand is a sand that lies in a root zone or is put on as topdressing.
type Sand struct {
	Course          string       // every course of the package
	ID              string       `col:"sand" key:"1" about:"Short name of the sand."`
	Name            string       `col:"name" about:"Name as people say it."`
	Role            string       `col:"role" oneof:"rootzone,topdressing,other" about:"What it is used for."`
	BulkDensity     Opt[float64] `col:"bulk_density_kg_m3" unit:"kg/m³" above:"0" max:"5000" about:"Dry bulk density as it lies."`
	MoisturePercent Opt[float64] `col:"moisture_percent" unit:"%" min:"0" max:"100" about:"Water in it as delivered, % of dry mass."`
	PricePerT       Opt[float64] `col:"price_per_t" min:"0" about:"Price of a tonne as delivered."`
	Currency        string       `col:"currency" about:"Currency of the price, ISO 4217."`
	LoadT           Opt[float64] `col:"load_t" unit:"t" above:"0" max:"1000" about:"Tonnes in one load."`
	Extra           Extra
}

// Sands describes the table of sands.
var Sands = newTable[Sand]("sands", "Sands")

// Table returns [Sands].
func (*Sand) Table() *Table { return Sands }

// Check finds nothing beyond the limits of the columns.
func (*Sand) Check() []Fault { return nil }

// Title returns the name, or the key where there is none.
func (s *Sand) Title() string {
	if s.Name != "" {
		return s.Name
	}
	return s.ID
}

// Sieve is what one sieve kept back of a sand or of the ash of a sample.
type Sieve struct {
	Course    string  // follows from the sample; for a sand, every course of the package
	Source    string  `col:"source" key:"1" about:"sample:NAME for the ash of a sample, sand:NAME for a sand."`
	SieveMM   float64 `col:"sieve_mm" key:"1" unit:"mm" min:"0" max:"200" about:"Opening of the sieve; 0 is the pan."`
	RetainedG float64 `col:"retained_g" need:"1" unit:"g" min:"0" max:"1000000" about:"Mass left on it."`
	Extra     Extra
}

// SieveMasses describes the table of sieve masses.
var SieveMasses = newTable[Sieve]("sieve", "Sieve masses")

// Table returns [SieveMasses].
func (*Sieve) Table() *Table { return SieveMasses }

// Check refuses a source that is neither a sample nor a sand.
func (s *Sieve) Check() []Fault {
	if table, name := s.Of(); table == nil || name == "" {
		return []Fault{{"source", quote(s.Source) + " is not allowed: write sample:NAME or sand:NAME"}}
	}
	return nil
}

// Of returns the table and name of what was sieved; nil when the source is of neither form.
func (s *Sieve) Of() (*Table, string) {
	if name, ok := strings.CutPrefix(s.Source, "sample:"); ok {
		return Samples, name
	}
	if name, ok := strings.CutPrefix(s.Source, "sand:"); ok {
		return Sands, name
	}
	return nil, ""
}
