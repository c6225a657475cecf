package report

import (
	"time"

	"underfoot/internal/figure"
	"underfoot/internal/say"
)

// Options are what the standing does not know about the report.
type Options struct {
	PreparedBy string    // who answers for it; empty leaves the name out
	Recipient  string    // whom it is for; empty means the greens committee
	When       time.Time // day it was prepared, in the course's zone; zero leaves the date out
	Currency   string    // of costs, such as GBP; empty takes that of the dressing sand
	Version    string    // of the program; empty leaves it out

	Paper Paper     // it will be set for: a short document has lower pictures on Letter, which is less high
	Style say.Style // units, order of dates and, where neither Currency nor the sand names one, the currency

	Kind     Kind     // empty is the full report
	Sections []string // keys of the sections to set, in this order; none takes those of the kind. See [Parts]
	Note     string   // a word of one's own, set first; a line is a paragraph
	Logo     []byte   // PNG or JPEG, set at the head of the first page. See [Options.CheckLogo]
}

// Model is the report as it will be set, before any markup: words ready to print, pictures ready to draw.
type Model struct {
	Kind      Kind
	Course    string
	Subject   string // what it is about and when that held
	Recipient string
	Prepared  string // by whom, when, with what
	Statement string // the answer in a sentence or two
	Because   []string
	Strip     []Answer
	Sections  []Section

	Language string // tag of its language; empty is English
	Author   string // who answers for it; may be empty
	When     time.Time
	Version  string
	Logo     []byte
}

// Title is what the document is called: "Varrowmere Links, client report".
func (m Model) Title() string { return m.Course + ", " + m.word(m.Kind.Title()) }

// lang is the tag of the model's language; english where it is that.
func (m Model) lang(english string) string {
	if m.Language == "" || m.Language == "en" {
		return english
	}
	return m.Language
}

// word says what a document says of itself in the model's language; the model's own words were said when it was built.
func (m Model) word(english string) string {
	return say.Style{Language: m.Language}.Text(english)
}

// Answer is one of the few figures everybody should leave with.
type Answer struct {
	Name, Value, Note string
	Way               *figure.Way // the arrow before the value, if it is a direction
	Chance            *Chance
}

// Chance is a probability in words, with its dots.
type Chance struct {
	Words    string
	HalfDots int // 0 to 20
}

// Section is a part of the report under its own heading.
type Section struct {
	Key    string // stays the same whatever the title says
	Title  string // empty for a box that stands alone
	Blocks []Block
}

// Block is one thing in a section, set beneath the one before.
type Block interface{ block() }

// Text is a paragraph.
type Text struct {
	Words string
	Fine  bool
}

// List is a list of sentences.
type List struct {
	Title string
	Items []string
	Steps bool // in order
	Fine  bool
}

// Notice is a boxed word: something to decide or to beware of.
type Notice struct {
	Title string
	Words []string
}

// Figure is one or more pictures under one sentence that says what they mean and one that says how sure.
type Figure struct {
	Number     int
	Says, Sure string
	Panels     []Panel
}

// Panel is one picture of a figure.
type Panel struct {
	Title, Unit string
	Says        string
	Scene       *figure.Scene
}

// Strata is the figure of the layers: each row a piece of the core beside what is known of it.
type Strata struct {
	Number     int
	Says, Sure string
	Rows       []Stratum
}

// Stratum is one layer of [Strata].
type Stratum struct {
	Layer        string
	Core, Trend  *figure.Scene
	Level, Range string
	Says         string // in two or three words
	Figures      string
	Chance       *Chance
	Note         string
}

// Table is a ruled table. Columns of numbers are set to the right.
type Table struct {
	Caption string
	Says    string // what it comes to, above it
	Columns []Column
	Rows    [][]string
	Total   []string // a last row, in bold; nil for none
	Note    string
	Fine    bool
	Write   []int // columns whose empty cells are boxes to write in
	Tick    bool  // a box to tick before each row
}

// label is what the table is called where it is scrolled by itself.
func (t Table) label() string {
	if t.Caption == "" {
		return "Table"
	}
	return t.Caption
}

// Column is the head of a column.
type Column struct {
	Head   string
	Number bool
}

// Pair is two columns of blocks side by side.
type Pair struct{ Left, Right []Block }

func (Pair) block()   {}
func (Text) block()   {}
func (List) block()   {}
func (Notice) block() {}
func (Figure) block() {}
func (Strata) block() {}
func (Table) block()  {}
