package exchange

import (
	"maps"
	"slices"

	"underfoot"
)

// Collector gathers the records of a package in memory, course by course; its Add is a sink for [Read].
type Collector struct {
	courses map[string]*underfoot.Records
}

// Add keeps a record; it never refuses.
func (c *Collector) Add(r underfoot.Record) error {
	course := r.Table().Course(r)
	rs := c.courses[course]
	if rs == nil {
		if c.courses == nil {
			c.courses = map[string]*underfoot.Records{}
		}
		rs = &underfoot.Records{Course: underfoot.Course{ID: course}}
		c.courses[course] = rs
	}
	rs.Add(r)
	return nil
}

// Courses returns what was gathered, by course. The rows are in the order of the files.
func (c *Collector) Courses() []*underfoot.Records {
	var out []*underfoot.Records
	for _, id := range slices.Sorted(maps.Keys(c.courses)) {
		out = append(out, c.courses[id])
	}
	return out
}
