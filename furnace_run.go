package underfoot

import (
	"fmt"
	"strconv"
)

// FurnaceRun is one load of the furnace as it was set up: who, when, with what, and the tray it stood on.
type FurnaceRun struct {
	Course      string       // every course of the package
	ID          string       `col:"furnace_run" key:"1" about:"Name of the furnace run, as in weighings."`
	Date        Opt[Date]    `col:"date" about:"Day it was burnt."`
	By          string       `col:"by" about:"Who ran it."`
	Furnace     string       `col:"furnace" about:"Furnace it was burnt in."`
	Balance     string       `col:"balance" about:"Balance it was weighed on."`
	DryC        Opt[float64] `col:"dry_c" unit:"°C" above:"0" max:"300" about:"Temperature of the drying oven."`
	DryHours    Opt[float64] `col:"dry_hours" unit:"h" min:"0" max:"1000" about:"Time in the drying oven."`
	AshC        Opt[float64] `col:"ash_c" unit:"°C" above:"0" max:"1500" about:"Temperature of the furnace."`
	AshHours    Opt[float64] `col:"ash_hours" unit:"h" min:"0" max:"1000" about:"Time in the furnace at that temperature."`
	TrayRows    Opt[int]     `col:"tray_rows" min:"1" max:"26" about:"Rows of places in the furnace, A first."`
	TrayColumns Opt[int]     `col:"tray_columns" min:"1" max:"99" about:"Places in a row, 1 first."`
	Note        string       `col:"note" about:"Anything else."`
	Extra       Extra
}

// Runs describes the table of furnace runs.
var Runs = newTable[FurnaceRun]("runs", "Furnace runs")

// Table returns [Runs].
func (*FurnaceRun) Table() *Table { return Runs }

// Check refuses a tray of which only one side is known.
func (r *FurnaceRun) Check() []Fault {
	switch {
	case r.TrayRows.Known && !r.TrayColumns.Known:
		return []Fault{{"tray_columns", fmt.Sprintf("empty, and tray_rows is %d: give both or neither", r.TrayRows.Value)}}
	case r.TrayColumns.Known && !r.TrayRows.Known:
		return []Fault{{"tray_rows", fmt.Sprintf("empty, and tray_columns is %d: give both or neither", r.TrayColumns.Value)}}
	}
	return nil
}

// TrayPlace is where a crucible stood in the furnace.
type TrayPlace struct {
	Course     string // every course of the package
	FurnaceRun string `col:"furnace_run" key:"1" about:"Name of the furnace run."`
	Place      string `col:"place" key:"1" about:"Place on the tray: the row as a letter, then the number in the row, such as B3."`
	Crucible   string `col:"crucible" need:"1" about:"Number of the crucible that stood there."`
	Extra      Extra
}

// TrayPlaces describes the table of places in the furnace.
var TrayPlaces = newTable[TrayPlace]("tray", "Places in the furnace")

// Table returns [TrayPlaces].
func (*TrayPlace) Table() *Table { return TrayPlaces }

// Check refuses a place that is not a letter and a number.
func (p *TrayPlace) Check() []Fault {
	if _, _, ok := p.At(); !ok {
		return []Fault{{"place", quote(p.Place) + " is not a place on a tray: a letter A to Z and a number 1 to 99 are expected, such as B3"}}
	}
	return nil
}

// At returns the row and the column of the place, both counted from 1; ok is false when it is not of the form B3.
func (p *TrayPlace) At() (row, column int, ok bool) {
	s := p.Place
	if len(s) < 2 || len(s) > 3 || s[0] < 'A' || s[0] > 'Z' || s[1] < '1' || s[1] > '9' {
		return 0, 0, false
	}
	n, err := strconv.Atoi(s[1:])
	if err != nil {
		return 0, 0, false
	}
	return int(s[0]-'A') + 1, n, true
}

// Release is the word of a named person that the results of a furnace run whose checks failed may be used.
type Release struct {
	Course     string // every course of the package
	FurnaceRun string `col:"furnace_run" key:"1" about:"Name of the furnace run."`
	By         string `col:"by" need:"1" about:"Who released it."`
	Date       Date   `col:"date" need:"1" about:"Day it was released."`
	Reason     string `col:"reason" need:"1" about:"Why its results may be used, in words."`
	Extra      Extra
}

// Releases describes the table of released furnace runs.
var Releases = newTable[Release]("releases", "Released furnace runs")

// Table returns [Releases].
func (*Release) Table() *Table { return Releases }

// Check finds nothing beyond the limits of the columns.
func (*Release) Check() []Fault { return nil }
