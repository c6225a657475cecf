package underfoot

import (
	"context"
	"time"
)

// Store keeps records of many courses. Every write is one [Change]: it happens whole or not at all, is named and
// dated, and leaves what was there before in an append-only history. Nothing is ever removed: a deleted record is
// hidden and can be brought back.
//
// Methods return errors of kind [NotFound] for a course, record or change that is not there, [Conflict] for a write
// that clashes with what is stored, [Invalid] for a record that breaks a rule.
type Store interface {
	// Courses returns all courses by key.
	Courses(ctx context.Context) ([]Course, error)
	// Records returns everything live of one course, each table sorted by key.
	Records(ctx context.Context, course string) (*Records, error)
	// Newest returns the course, its greens, and what was sampled in the year up to its newest sample with the weighings
	// and results of that, the blanks and controls burnt along with it, and the control materials, each sorted by key.
	Newest(ctx context.Context, course string) (*Records, error)
	// Get returns one live record.
	Get(ctx context.Context, t *Table, key Key) (Record, error)
	// Change runs write as one change named what by a person, and returns it; if write or the store fails, nothing of
	// it remains. A change that altered nothing leaves no trace and comes back with ID 0.
	Change(ctx context.Context, by, what string, write func(Tx) error) (Change, error)
	// Undo makes a new change that puts every record touched by the change id back as it was before, and returns it.
	// It is a [Conflict] when a record has been changed since, or is needed by others.
	Undo(ctx context.Context, by string, id int64) (Change, error)
	// Changes returns a course's latest changes, newest first; of all courses when course is empty.
	Changes(ctx context.Context, course string, limit int) ([]Change, error)
	// History returns what happened to one record, oldest first, whether it is live or deleted.
	History(ctx context.Context, t *Table, key Key) ([]Revision, error)
	// Latest returns the number of the last change that touched the course, of all courses when course is empty, 0 for none:
	// what is computed from a course's records stays true while it stays the same.
	Latest(ctx context.Context, course string) (int64, error)
	// Latests returns [Store.Latest] of every course that ever changed.
	Latests(ctx context.Context) (map[string]int64, error)
	// Keep keeps things worked out from courses' records, each in place of what was kept of that kind for the course before, all
	// of them or none. They are no records: they have no history, and export leaves them out.
	Keep(ctx context.Context, list ...Kept) error
	// Kept returns what is kept of a kind, by course.
	Kept(ctx context.Context, kind string) ([]Kept, error)
	// KeptOf returns what is kept of a kind for one course, nil for nothing.
	KeptOf(ctx context.Context, kind, course string) (*Kept, error)
	// KeptStamp returns a number that rises whenever something of a kind is kept for a course more, or after a later change of
	// a course; 0 while nothing is.
	KeptStamp(ctx context.Context, kind string) (int64, error)
	// Index brings what [Store.Search] looks through up to date, course by course, until the context ends, and returns how
	// many courses are still behind.
	Index(ctx context.Context) (behind int, err error)
	// Search returns what is called by words, at most so many of each kind, those named just so before those where the last word
	// only begins so; where nothing is, those where each word begins so. It tells how many courses have changed since they were
	// read by [Store.Index]. Case and accents are no matter. Words are what lies between anything but letters and digits; all
	// must be there.
	Search(ctx context.Context, words string, most int) (found []Found, behind int, err error)
	// Close releases the store.
	Close() error
}

// Kept is something worked out from a course's records.
type Kept struct {
	Course string
	Kind   string // what it is, with the version of what made it
	Latest int64  // [Store.Latest] of the course when it was made: older than that now, it is out of date
	Data   []byte
}

// FoundKind is a kind of thing that can be searched for.
type FoundKind string

// The kinds, in the order they are shown in.
const (
	FoundCourse FoundKind = "course"
	FoundGreen  FoundKind = "green"
	FoundSample FoundKind = "sample"
	FoundRound  FoundKind = "round"
	FoundSand   FoundKind = "sand"
	FoundRun    FoundKind = "run"
	FoundWork   FoundKind = "work"
)

// FoundKinds returns all kinds in the order they are shown in.
func FoundKinds() []FoundKind {
	return []FoundKind{FoundCourse, FoundGreen, FoundSample, FoundRound, FoundSand, FoundRun, FoundWork}
}

// Found is something that was searched for.
type Found struct {
	Kind   FoundKind
	Course string
	Key    string // of the thing within its course, such as the name of a sample
	Title  string // what it is called, or what a note says
	Date   Opt[Date]
	At     string // of a sample: the last step of its custody that is written down or shown by its weighings or results
}

// Tx writes and looks up records inside one [Change].
type Tx interface {
	// Put adds the record or replaces the one with its key, and says what that came to. A deleted record is restored.
	Put(Record) (Outcome, error)
	// Delete hides a record. It is a [Conflict] when live records refer to it.
	Delete(t *Table, key Key) error
	// Has says whether a live record has this key.
	Has(t *Table, key Key) (bool, error)
	// CoursesOf returns the courses with a live sample of this name.
	CoursesOf(sample string) ([]string, error)
	// Find returns one live record of a table, or nil.
	Find(t *Table, key Key) (Record, error)
}

// Outcome says what a [Tx.Put] came to.
type Outcome int

// The outcomes of a Put.
const (
	Same     Outcome = iota // it was there already, the same
	Added                   // it is new
	Changed                 // it replaced another
	Restored                // it had been deleted
)

// Change is one write to a store: who did what, when, to how many records.
type Change struct {
	ID      int64     // rising; 0 for a change that altered nothing
	At      time.Time // UTC
	By      string    // the person
	What    string    // in words, such as "logged topdressing" or "imported a package"
	Courses []string  // the courses touched, sorted
	Added   int
	Changed int
	Deleted int
	Undoes  int64 // the change this one put back, 0 for none
	Undone  int64 // the change that put this one back, 0 for none
}

// Revision is one step in the history of a record.
type Revision struct {
	Change Change
	Before map[string]string // cells by column name; nil when the record was not there
	After  map[string]string // nil when it was deleted
}
