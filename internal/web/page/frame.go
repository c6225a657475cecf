// Package page holds the pages of the web app as typed components. A page gets a struct that says everything it shows
// and nothing else: no page reads a store, computes a result or looks at a request.
package page

import (
	"net/url"
	"strings"
	"time"

	"underfoot/internal/figure"
)

// Frame is what surrounds the matter of every page.
type Frame struct {
	Title   string // of the browser's tab
	Nav     string // station of the masthead that is current: "courses", "bench", "sands", "help" or ""
	View    string // "desk", "sun", "night", or "" to follow the reader's system
	Here    string // path and query of this page, to come back to
	Today   time.Time
	Assets  string   // where the static files are, such as "/static/0123456789ab/"
	Scripts []string // modules of this page in static/js, without the ending
	Circle  *Circle  // on a page inside a course
	Asked   string   // what was searched for, on the page that answers it
	Done    *Done    // what was changed last, with its undo
	Version string
	Echo    string // name of the draft whose form stands in it as it was sent; empty for none
	Taken   bool   // shows readings as they were taken, of bench, sieves and files: only depths of layers are said in other units
	Remark  string // about what is shown here, at the foot
}

// Circle is the circle of work of one course: navigation and status in one.
type Circle struct {
	Course   string // key
	Name     string
	About    string // "18 greens, browntop bent"
	Current  string // key of the station whose page this is, "course" for where it stands, or ""
	Stations []Station
	Example  bool // the course is the invented one
}

// Station is one station on the circle.
type Station struct {
	Key   string // "round", "bench", "findings", "profile", "plan", "log"
	Name  string
	State State
	Note  string // "taken 14 Oct"
}

// State is how a thing stands: a shape and a word; colour only helps.
type State string

// The states.
const (
	Stopped  State = "stop"
	YourMove State = "you"
	Open     State = "wait"
	Finished State = "done"
	Look     State = "warn"
)

// Word says the state to those who do not see the shape.
func (s State) Word() string {
	switch s {
	case Stopped:
		return "stopped"
	case YourMove:
		return "your move"
	case Finished:
		return "done"
	case Look:
		return "look at this"
	}
	return "open"
}

// Done says what was just changed and offers to put it back.
type Done struct {
	Course string
	Change int64
	Text   string // "Logged topdressing, 0.40 mm on all greens, 8 October 2026."
	Undo   bool   // whether it can be put back
	Button string // "Undo", or "Do it again" after an undo
	Back   string // page to come back to
}

// Problem is a page that says what went wrong: what happened, what is safe, what to do, in that order.
type Problem struct {
	Status   int
	Happened string
	Detail   string // the message of the error
	Safe     string
	Next     []Link
}

// Link is a place to go on.
type Link struct {
	Href, Text string
}

func (s State) mark() figure.State {
	switch s {
	case Stopped:
		return figure.Stopped
	case YourMove:
		return figure.YourMove
	case Finished:
		return figure.Done
	case Look:
		return figure.Warning
	}
	return figure.Waiting
}

// CoursePath is the address of a page of a course.
func CoursePath(course string, rest ...string) string {
	var b strings.Builder
	b.WriteString("/course/" + url.PathEscape(course))
	for _, part := range rest {
		b.WriteString("/" + url.PathEscape(part))
	}
	return b.String()
}
