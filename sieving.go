package underfoot

import "fmt"

// Sieving is what was weighed around one sieving: before it, and what washing took away. The masses on the sieves are
// [Sieve] rows of the same source.
type Sieving struct {
	Course     string       // follows from the sample; for a sand, every course of the package
	Source     string       `col:"source" key:"1" about:"sample:NAME for the ash of a sample, sand:NAME for a sand, as in sieve.csv."`
	Date       Opt[Date]    `col:"date" about:"Day of sieving."`
	By         string       `col:"by" about:"Who sieved."`
	StartMassG Opt[float64] `col:"start_mass_g" unit:"g" above:"0" max:"1000000" about:"Dry mass before washing and sieving; for ash the ash mass of the composite where all of it was sieved and this is empty."`
	WashedG    Opt[float64] `col:"washed_g" unit:"g" min:"0" max:"1000000" about:"Dry mass that washing took away: finer than the finest sieve. It is counted with the pan." default:"0, not washed"`
	Note       string       `col:"note" about:"Remark."`
	Extra      Extra
}

// Sievings describes the table of what was weighed around sievings.
var Sievings = newTable[Sieving]("sievings", "Sievings")

// Table returns [Sievings].
func (*Sieving) Table() *Table { return Sievings }

// Check refuses a source that is neither a sample nor a sand, and more washed away than there was.
func (s *Sieving) Check() []Fault {
	faults := (&Sieve{Source: s.Source}).Check()
	if s.StartMassG.Known && s.WashedG.Known && s.WashedG.Value > s.StartMassG.Value {
		faults = append(faults, Fault{"washed_g", fmt.Sprintf("%g g were washed out of %g g at the start: at most the start mass is allowed", s.WashedG.Value, s.StartMassG.Value)})
	}
	return faults
}

// Of returns the table and name of what was sieved; nil when the source is of neither form.
func (s *Sieving) Of() (*Table, string) { return (&Sieve{Source: s.Source}).Of() }
