package page

import (
	"fmt"
	"net/url"
)

// Custody is the page of the chain of custody, round by round.
type Custody struct {
	Frame     Frame
	Course    string
	Statement string
	Because   string
	Rounds    []CustodyRound
}

// CustodyRound is one round.
type CustodyRound struct {
	Label, When string
	Open        bool // shown in full
	Kept        bool
	Says        string
	Behind      []string // what stands out
	Gaps        []string
	Faults      []string
	Steps       []string
	Rows        []CustodyRow
	Quick       []CustodyQuick
	Date, By    Field
	Note        Field
	Read        Field // names as a reader of codes types them
	Error       string
	ErrorAt     string // the field it is about
}

// ID is the anchor of the round on the page.
func (r CustodyRound) ID() string { return "round-" + r.Label }

// CustodyRow is one composite.
type CustodyRow struct {
	Sample, Green string
	Layer         Depths
	Where         string // "sent 2 Oct 2026, Crew one"
	Wait          string // "missing: not received", "next: received"
	State         State
	Ticked        bool
	Cells         []CustodyCell
}

// CustodyCell is one step of a composite.
type CustodyCell struct {
	State State
	Word  string // "2 Oct 2026", "as the weighings show"
	By    string
	Bad   string // what is out of order
	Open  bool   // nothing to say yet
}

// CustodyQuick marks all composites that wait for a step at once.
type CustodyQuick struct {
	Step, Text string
}

func custodyID(r CustodyRound, row int) string { return fmt.Sprintf("where-%s-%d", r.Label, row) }

// SampleID is the anchor of a composite on the page.
func SampleID(sample string) string { return "bag-" + url.PathEscape(sample) }

// CustodyPath is the address of the chain of custody, opened at a round.
func CustodyPath(course, round string) string {
	return CoursePath(course, "custody") + "?round=" + url.QueryEscape(round)
}
