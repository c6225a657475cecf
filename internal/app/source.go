package app

import (
	"context"
	"slices"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/exchange"
)

// ReadPackage reads the package in a folder into memory, one Records a course, in order of course. It refuses a package
// with a problem, after telling onProblem about every one.
func ReadPackage(ctx context.Context, folder string, now time.Time, onProblem func(exchange.Problem), onNotice func(exchange.Notice)) ([]*underfoot.Records, error) {
	byCourse := map[string]*underfoot.Records{}
	_, err := exchange.Read(ctx, folder, exchange.Options{
		Today: underfoot.DateOf(now.UTC()), OnProblem: onProblem, OnNotice: onNotice,
		Sink: func(r underfoot.Record) error {
			course := r.Table().Course(r)
			rs := byCourse[course]
			if rs == nil {
				rs = &underfoot.Records{}
				byCourse[course] = rs
			}
			rs.Add(r)
			return nil
		},
	})
	if err != nil {
		return nil, err
	}
	var out []*underfoot.Records
	for _, rs := range byCourse {
		rs.Sort()
		out = append(out, rs)
	}
	slices.SortFunc(out, func(a, b *underfoot.Records) int { return strings.Compare(a.Course.ID, b.Course.ID) })
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
