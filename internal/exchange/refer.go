package exchange

import (
	"fmt"
	"strconv"
	"strings"

	"underfoot"
)

// place finds the course or courses that a record goes to and returns the first; empty when there is none.
func (tb *table) place(rec underfoot.Record) string {
	if tb.t.Scoped {
		i, _ := tb.t.Column("course")
		tb.toCourse(tb.texts[i])
		return tb.texts[i]
	}
	switch x := rec.(type) {
	case *underfoot.Weighing:
		tb.placeCrucible(x.Kind, x.Sample)
	case *underfoot.Repeat:
		tb.placeCrucible(x.Kind, x.Sample)
	case *underfoot.Custody:
		tb.sampleOf("sample", x.Sample)
	case *underfoot.Result:
		tb.sampleOf("sample", x.Sample)
	case *underfoot.Sieve:
		tb.placeSieved(x.Of())
	case *underfoot.Sieving:
		tb.placeSieved(x.Of())
	default:
		tb.everyCourse("", nil, "")
	}
	if len(tb.to) == 0 {
		return ""
	}
	return tb.to[0]
}

func (tb *table) toCourse(course string) {
	tb.one[0] = course
	tb.to = tb.one[:]
}

// placeSieved finds where what was sieved goes: with its sample, or to every course when it is a sand.
func (tb *table) placeSieved(of *underfoot.Table, name string) {
	switch of {
	case underfoot.Samples:
		tb.sampleOf("source", name)
	case underfoot.Sands:
		tb.everyCourse("source", underfoot.Sands, name)
	}
}

// placeCrucible finds where a weighing goes: with the composite in the crucible, or to every course.
func (tb *table) placeCrucible(kind, sample string) {
	switch kind {
	case "blank":
		tb.everyCourse("", nil, "")
	case "control":
		tb.everyCourse("sample", underfoot.Controls, sample)
	default:
		tb.sampleOf("sample", sample)
	}
}

// sampleOf finds the course of a sample, in the package or in the store, and that it has weighings or a result, not
// both.
func (tb *table) sampleOf(column, sample string) {
	if sample == "" {
		return
	}
	s := tb.r.samples.get(tb.r.hash.of(sample))
	switch {
	case s == nil:
		tb.storedSample(column, sample)
		return
	case s.at < 0:
		tb.follows(column, fmt.Sprintf("sample %s is refused on line %d of samples.csv", shorten(sample), s.at.line()))
	case s.course >= 0:
		tb.toCourse(tb.r.courses[s.course])
	}
	if tb.t == underfoot.Weighings && s.burnt == 0 {
		s.burnt = int32(tb.line)
	}
	if tb.t == underfoot.Results && s.burnt > 0 {
		tb.problem(column, sample, fmt.Sprintf("sample %s is weighed as well, on line %d of weighings.csv: keep the weighings or the result",
			shorten(sample), s.burnt))
	}
}

// storedSample finds the course of a sample that the package does not bring.
func (tb *table) storedSample(column, sample string) {
	courses := tb.r.store.coursesOf(sample)
	if len(courses) > 1 {
		var here []string
		for _, c := range courses {
			if _, ok := tb.r.courseAt[c]; ok {
				here = append(here, c)
			}
		}
		if len(here) != 1 {
			tb.problem(column, sample, fmt.Sprintf("sample %s is on several courses (%s): bring it along in samples.csv with its course",
				shorten(sample), strings.Join(courses, ", ")))
			return
		}
		courses = here
	}
	if len(courses) == 0 {
		tb.missing(column, sample, underfoot.Samples, "sample "+strconv.Quote(shorten(sample)))
		return
	}
	tb.toCourse(courses[0])
}

// everyCourse sends a row to every course of the package, or, when it is about something that only the store has, to
// those that have it.
func (tb *table) everyCourse(column string, of *underfoot.Table, name string) {
	if len(tb.r.courses) == 0 {
		if !tb.r.failed[underfoot.Courses] {
			tb.shared("nowhere", "", func() string { return "belongs to no course: the package names none; add courses.csv" })
		}
		tb.refused = true
		return
	}
	if of == nil {
		tb.to = tb.r.courses
		return
	}
	if name == "" {
		return
	}
	if w := tb.r.row(of, tb.r.hash.of(name)); w != 0 {
		if w < 0 {
			tb.follows(column, fmt.Sprintf("%s %s is refused on line %d of %s", singular(of), shorten(name), w.line(), fileOf(of)))
		}
		tb.to = tb.r.courses
		return
	}
	var to []string
	for _, c := range tb.r.courses {
		if tb.r.store.holds(of, underfoot.Key{c, name}) {
			to = append(to, c)
		}
	}
	if tb.to = to; to == nil {
		tb.missing(column, name, of, singular(of)+" "+strconv.Quote(shorten(name)))
	}
}

// references checks every cell that names a row of another table with a course of its own.
func (tb *table) references(course string) {
	for _, i := range tb.refers {
		c, text := &tb.t.Columns[i], tb.texts[i]
		if text == "" {
			continue
		}
		switch c.Refers {
		case "courses":
			tb.reference(c.Name, underfoot.Courses, tb.r.hash.of(text), underfoot.Key{text})
		case "greens":
			if course != "" {
				tb.reference(c.Name, underfoot.Greens, tb.r.hash.of(course, text), underfoot.Key{course, text})
			}
		case "sands":
			tb.reference(c.Name, underfoot.Sands, tb.r.hash.of(text), underfoot.Key{course, text})
		}
	}
}

func (tb *table) reference(column string, of *underfoot.Table, id hash, key underfoot.Key) {
	w := tb.r.row(of, id)
	if w > 0 || w == 0 && tb.r.store.holds(of, key) {
		return
	}
	name := key[len(key)-1]
	what := singular(of) + " " + strconv.Quote(shorten(name))
	if of == underfoot.Greens {
		what += " of course " + shorten(key[0])
	}
	if w < 0 {
		tb.follows(column, fmt.Sprintf("%s is refused on line %d of %s", what, w.line(), fileOf(of)))
		return
	}
	tb.missing(column, name, of, what)
}

// row says where the package has the row of a table that others refer to, 0 for nowhere.
func (r *reader) row(t *underfoot.Table, id hash) where {
	if keys := r.seen[t]; keys != nil {
		if w := keys.get(id); w != nil {
			return *w
		}
	}
	return 0
}

// missing refuses a row that names what neither the package nor the store has.
func (tb *table) missing(column, text string, of *underfoot.Table, what string) {
	file := fileOf(of)
	nor := ""
	if !tb.r.store.empty {
		nor = " nor in the store"
	}
	switch {
	case tb.r.failed[of]:
		tb.follows(column, what+" is not known, because "+file+" could not be read")
	case tb.r.files[file] == nil:
		tb.shared("missing "+column+of.Name, column, func() string {
			if nor != "" {
				return what + " is not in the store, and the package has no " + file
			}
			return what + " is not known: the package has no " + file
		})
	default:
		tb.problem(column, text, what+" is not in "+file+nor)
	}
}

func singular(t *underfoot.Table) string { return strings.TrimSuffix(t.Name, "s") }
