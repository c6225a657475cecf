package exchange

import (
	"underfoot"
)

// Lookup is what is in the store already; an [underfoot.Tx] is one.
type Lookup interface {
	// Has says whether a live record has this key.
	Has(t *underfoot.Table, key underfoot.Key) (bool, error)
	// CoursesOf returns the courses with a live sample of this name.
	CoursesOf(sample string) ([]string, error)
	// Find returns one live record of a table, or nil.
	Find(t *underfoot.Table, key underfoot.Key) (underfoot.Record, error)
}

// Nothing is the empty store: a package read against it must stand by itself.
type Nothing struct{}

// Has finds nothing.
func (Nothing) Has(*underfoot.Table, underfoot.Key) (bool, error) { return false, nil }

// CoursesOf finds nothing.
func (Nothing) CoursesOf(string) ([]string, error) { return nil, nil }

// Find finds nothing.
func (Nothing) Find(*underfoot.Table, underfoot.Key) (underfoot.Record, error) { return nil, nil }

// stored asks a Lookup and remembers the answers about what is asked again and again. The first error sticks.
type stored struct {
	from  Lookup
	empty bool
	has   map[string]bool
	err   error
}

func newStored(from Lookup) *stored {
	if from == nil {
		from = Nothing{}
	}
	_, empty := from.(Nothing)
	return &stored{from: from, empty: empty, has: map[string]bool{}}
}

const mostRemembered = 10_000

func (s *stored) holds(t *underfoot.Table, key underfoot.Key) bool {
	if s.empty || s.err != nil {
		return false
	}
	id := t.Name
	for _, part := range key {
		id += "\x00" + part
	}
	if known, ok := s.has[id]; ok {
		return known
	}
	known, err := s.from.Has(t, key)
	s.fail(err)
	if len(s.has) >= mostRemembered {
		clear(s.has)
	}
	s.has[id] = known
	return known
}

func (s *stored) coursesOf(sample string) []string {
	if s.empty || s.err != nil {
		return nil
	}
	courses, err := s.from.CoursesOf(sample)
	s.fail(err)
	return courses
}

func (s *stored) find(t *underfoot.Table, key underfoot.Key) underfoot.Record {
	if s.empty || s.err != nil {
		return nil
	}
	r, err := s.from.Find(t, key)
	s.fail(err)
	return r
}

func (s *stored) fail(err error) {
	if s.err == nil && err != nil {
		s.err = err
	}
}
