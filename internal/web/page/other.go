package page

// Round is one sampling occasion.
type Round struct {
	Label, When string
	State       State
	Says        string // "6 greens × 3 layers, 5 cores each, 18 composites"
	Table       RoundTable
	Checks      []string // what to look at
	Good        []string
}

// RoundTable shows greens against layers.
type RoundTable struct {
	Layers []Depths
	Rows   []RoundRow
}

// RoundRow is one green of a round.
type RoundRow struct {
	Green string
	Cells []RoundCell
}

// RoundCell is one composite, or none.
type RoundCell struct {
	Taken   bool
	Text    string // "5 cores, 31 cm³"
	Missing string // what it still waits for
}

// Rounds is the page of the rounds.
type Rounds struct {
	Frame     Frame
	Course    string
	Statement string
	Because   string
	Rounds    []Round
	Planned   []PlannedRound
}

// History is the page of what was changed.
type History struct {
	Frame     Frame
	Course    string
	Statement string
	Changes   []HistoryLine
	More      string // address of a longer list
}

// HistoryLine is one change.
type HistoryLine struct {
	ID                   int64
	When, Who, What      string
	Counts               string
	Undone, Undo, IsUndo bool
}

// Sands is the page of sands and methods.
type Sands struct {
	Frame   Frame
	Courses []CourseSands
	Pages   []Link // the pages before and after
	Methods []Table
}

// CourseSands are the sands of one course.
type CourseSands struct {
	ID, Name string
	Table    Table
	Methods  Table
	Controls Table
	Grains   *Table   // what the sieves say of each sand; nil where none was sieved
	Drift    []string // and of the ash
	Notes    []string
}

// Help is the page of words and marks.
type Help struct {
	Frame Frame
	Marks []Word
	Keys  []Word
	Care  []string
	Depth Depths
}

// Word is a word and what it means.
type Word struct {
	Word, Means string
}
