package app

import (
	"context"
	"time"

	"underfoot"
	"underfoot/internal/exchange"
)

// ReadPackage reads the package in a folder into memory, one Records a course, in order of course. It refuses a package
// with a problem, after telling onProblem about every one.
func ReadPackage(ctx context.Context, folder string, now time.Time, onProblem func(exchange.Problem), onNotice func(exchange.Notice)) ([]*underfoot.Records, error) {
	var c exchange.Collector
	_, err := exchange.Read(ctx, folder, exchange.Options{
		Today: underfoot.DateOf(now.UTC()), OnProblem: onProblem, OnNotice: onNotice, Sink: c.Add,
	})
	if err != nil {
		return nil, err
	}
	out := c.Courses()
	for _, rs := range out {
		rs.Sort()
	}
	return out, nil
}

// OneCourse picks the course a question is about: the one named, or the only one there is.
func OneCourse(list []*underfoot.Records, course string) (*underfoot.Records, error) {
	var names string
	for i, rs := range list {
		if rs.Course.ID == course || (course == "" && len(list) == 1) {
			return rs, nil
		}
		if i > 0 {
			names += ", "
		}
		names += rs.Course.ID
	}
	if course == "" {
		return nil, underfoot.Errorf(underfoot.Invalid, "there are %d courses (%s): say which with --course", len(list), names)
	}
	return nil, underfoot.Errorf(underfoot.NotFound, "course %q is not there: there are %s", course, names)
}
