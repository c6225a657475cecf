package exchange

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"underfoot"
)

// findCourses finds out which courses the package is about before its rows are read, because rows that belong to the
// whole package go to each of them: those of courses.csv, those that a course column names and the store holds, and,
// when there are none, those of the stored samples that are named.
func (r *reader) findCourses() error {
	if err := r.scan(underfoot.Courses, "course", r.addCourse); err != nil {
		return err
	}
	if r.store.empty {
		return nil
	}
	for _, t := range underfoot.Tables() {
		if !t.Scoped || t == underfoot.Courses || t == underfoot.Outlines {
			continue
		}
		last := ""
		err := r.scan(t, "course", func(course string) {
			if course != last && r.store.holds(underfoot.Courses, underfoot.Key{course}) {
				r.addCourse(course)
			}
			last = course
		})
		if err != nil {
			return err
		}
	}
	if len(r.courses) > 0 {
		return r.store.err
	}
	return r.coursesOfSamples()
}

func (r *reader) coursesOfSamples() error {
	of := map[*underfoot.Table]string{underfoot.Weighings: "sample", underfoot.Results: "sample", underfoot.SieveMasses: "source", underfoot.Sievings: "source", underfoot.Repeats: "sample", underfoot.Custodies: "sample"}
	for _, t := range underfoot.Tables() {
		if of[t] == "" {
			continue
		}
		err := r.scan(t, of[t], func(text string) {
			if courses := r.store.coursesOf(strings.TrimPrefix(text, "sample:")); len(courses) == 1 {
				r.addCourse(courses[0])
			}
		})
		if err != nil {
			return err
		}
	}
	return r.store.err
}

func (r *reader) addCourse(course string) {
	if _, known := r.courseAt[course]; course == "" || known {
		return
	}
	r.courseAt[course] = int32(len(r.courses))
	r.courses = append(r.courses, strings.Clone(course))
}

// scan calls f with every cell of a column, leaving whatever is wrong with the file to its proper reading.
func (r *reader) scan(t *underfoot.Table, column string, f func(string)) error {
	if r.files[fileOf(t)] == nil {
		return nil
	}
	file, rows, _, problem, err := r.open(t)
	if err != nil || problem != "" {
		return err
	}
	defer file.Close()
	head, err := rows.next()
	if err != nil {
		return nil
	}
	h := readHeader(t, head.cells, func(string, string, string) {})
	at, _ := t.Column(column)
	cell := h.cell[at]
	for n := 0; cell >= 0; n++ {
		row, err := rows.next()
		if err != nil {
			return skipEnd(err)
		}
		if n%1024 == 0 && r.ctx.Err() != nil {
			return r.ctx.Err()
		}
		if cell < len(row.cells) {
			f(strings.TrimSpace(row.cells[cell]))
		}
	}
	return nil
}

func skipEnd(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}

// sniffBytes is how much of a file is looked at to find out how it is written.
const sniffBytes = 64 << 10

// open opens a table and sniffs how it is written; problem says why it cannot be read.
func (r *reader) open(t *underfoot.Table) (file *os.File, rows *rowReader, s sniffed, problem string, err error) {
	file, err = os.Open(filepath.Join(r.dir, fileOf(t)))
	if err != nil {
		return nil, nil, s, "cannot be read: " + cause(err), nil
	}
	head := make([]byte, sniffBytes)
	n, err := io.ReadFull(file, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		file.Close()
		return nil, nil, s, "cannot be read: " + cause(err), nil
	}
	if s, problem = sniffTable(t, head[:n]); problem != "" {
		file.Close()
		return nil, nil, s, problem, nil
	}
	if rows, err = newRowReader(file, s.start, s.comma); err != nil {
		file.Close()
	}
	return file, rows, s, "", err
}

// cause returns what the system said without the path of the machine.
func cause(err error) string {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
