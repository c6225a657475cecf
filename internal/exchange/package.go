package exchange

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"underfoot"
)

// Options say how to read a package.
type Options struct {
	// Today is the calendar day it is. What was done may be dated up to one day later, because the course may lie east
	// of here. The zero Date switches the check off.
	Today underfoot.Date
	// Lookup is the store that the package may refer to; nil for none.
	Lookup Lookup
	// Sink takes the records in an order in which references can be followed. Each is fresh and may be kept. Rows that
	// belong to the package as a whole (sands, controls, blanks) come once for every course. Unless Partial, no record
	// is handed over after the first problem. An error ends the reading and is returned.
	Sink func(underfoot.Record) error
	// OnProblem and OnNotice take every problem and notice as it is found; either may be nil.
	OnProblem func(Problem)
	OnNotice  func(Notice)
	// Progress is told now and then how many bytes of how many have been read; may be nil.
	Progress func(done, total int64)
	// Partial hands over the good rows although there are bad ones.
	Partial bool
	// BadRows opens a file for the rows of the named file that were refused, written under the same header so that
	// they can be put right and read again; may be nil.
	BadRows func(file string) (io.WriteCloser, error)
}

// Summary says what was read.
type Summary struct {
	Courses  []string            // the courses the package is about, sorted
	Rows     map[string]int      // good rows by file
	Refused  map[string]int      // rows with a problem by file
	Unknown  map[string][]string // columns kept aside by file
	Problems int
	Notices  int
}

// Read reads the package in the folder dir. When there was any problem and Partial is not set, it returns an error of
// kind [underfoot.Invalid], so that whoever writes to a store from the Sink can give up the whole change.
func Read(ctx context.Context, dir string, o Options) (Summary, error) {
	r := &reader{
		ctx: ctx, dir: dir, o: o, store: newStored(o.Lookup), hash: newHasher(),
		seen: map[*underfoot.Table]*index[where]{}, failed: map[*underfoot.Table]bool{}, courseAt: map[string]int32{},
		density: map[string]underfoot.Opt[float64]{},
		sum:     Summary{Rows: map[string]int{}, Refused: map[string]int{}, Unknown: map[string][]string{}},
	}
	err := r.read()
	r.sum.Courses = slices.Sorted(slices.Values(r.courses))
	if err == nil && r.sum.Problems > 0 && !o.Partial {
		err = underfoot.Errorf(underfoot.Invalid, "package %s has %s: nothing was taken from it", dir, count(r.sum.Problems, "problem"))
	}
	return r.sum, err
}

// reader reads one package.
type reader struct {
	ctx   context.Context
	dir   string
	o     Options
	store *stored
	hash  hasher
	sum   Summary
	files map[string]os.FileInfo

	seen     map[*underfoot.Table]*index[where] // keys of the tables that others refer to
	failed   map[*underfoot.Table]bool          // tables whose rows could not be read
	samples  index[sampleSeen]
	density  map[string]underfoot.Opt[float64] // bulk density of the package's sands
	courses  []string                          // of the package, in order of appearance
	courseAt map[string]int32

	done, total, told int64
	spoiled           bool // a problem has been met
}

func (r *reader) read() error {
	if err := r.list(); err != nil {
		return err
	}
	r.readDescription()
	if err := r.findCourses(); err != nil {
		return err
	}
	for _, t := range underfoot.Tables() {
		name := fileOf(t)
		if r.files[name] == nil {
			continue
		}
		var err error
		if t == underfoot.Outlines {
			err = r.readOutlines()
		} else {
			err = r.readTable(t)
		}
		if err == nil {
			err = r.store.err
		}
		if err != nil {
			return fmt.Errorf("reading %s: %w", filepath.Join(r.dir, name), err)
		}
	}
	r.progress(r.total - r.done)
	return nil
}

const (
	outlineFile     = "greens.geojson"
	descriptionFile = "datapackage.json"
)

// fileOf returns the name of the file that carries the table.
func fileOf(t *underfoot.Table) string {
	if t == underfoot.Outlines {
		return outlineFile
	}
	return t.Name + ".csv"
}

// list finds the files of the format in the folder and names the others.
func (r *reader) list() error {
	info, err := os.Stat(r.dir)
	switch {
	case os.IsNotExist(err):
		return underfoot.Errorf(underfoot.NotFound, "reading package %s: there is no such folder", r.dir)
	case err != nil:
		return underfoot.Errorf(underfoot.Invalid, "reading package %s: %w", r.dir, err)
	case !info.IsDir():
		return underfoot.Errorf(underfoot.Invalid, "reading package %s: this is a file, and a package is a folder of CSV files (samples.csv and so on)", r.dir)
	}
	entries, err := os.ReadDir(r.dir)
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "reading package %s: %w", r.dir, err)
	}
	known := map[string]string{plain(descriptionFile): descriptionFile}
	for _, t := range underfoot.Tables() {
		known[plain(fileOf(t))] = fileOf(t)
	}
	r.files = map[string]os.FileInfo{}
	tables := 0
	for _, e := range entries {
		name := e.Name()
		want := known[plain(name)]
		switch {
		case want == name:
			if r.take(name) && name != descriptionFile {
				tables++
			}
		case strings.HasPrefix(name, "."):
		case want != "":
			r.problem(Problem{File: name, Text: "this file is written " + want + ": rename it"})
		default:
			r.notice(Notice{File: name, Text: "is not part of the format and was not read"})
		}
	}
	if tables == 0 && r.sum.Problems == 0 {
		return underfoot.Errorf(underfoot.Invalid, "reading package %s: the folder holds no table of the format (courses.csv, samples.csv and so on)", r.dir)
	}
	return nil
}

// take notes a file of the format if it can be read.
func (r *reader) take(name string) bool {
	info, err := os.Stat(filepath.Join(r.dir, name))
	if err == nil && !info.Mode().IsRegular() {
		r.problem(Problem{File: name, Text: "is not a file: a table of the format is expected under this name"})
	} else if err != nil {
		r.problem(Problem{File: name, Text: "cannot be read: " + cause(err)})
	}
	if err != nil || !info.Mode().IsRegular() {
		r.fail(name)
		return false
	}
	r.files[name] = info
	r.total += info.Size()
	return true
}

// fail notes that the rows of a file could not be read, so that references to them are not reported as well.
func (r *reader) fail(file string) {
	for _, t := range underfoot.Tables() {
		if fileOf(t) == file {
			r.failed[t] = true
		}
	}
}

func (r *reader) problem(p Problem) {
	r.sum.Problems++
	r.spoiled = true
	if r.o.OnProblem != nil {
		r.o.OnProblem(p)
	}
}

func (r *reader) notice(n Notice) {
	r.sum.Notices++
	if r.o.OnNotice != nil {
		r.o.OnNotice(n)
	}
}

func (r *reader) progress(bytes int64) {
	r.done += bytes
	if r.o.Progress != nil && (r.done-r.told >= 1<<20 || r.done >= r.total) {
		r.told = r.done
		r.o.Progress(min(r.done, r.total), r.total)
	}
}

// sink hands a record over, unless a problem has been found and the package must come whole.
func (r *reader) sink(rec underfoot.Record) error {
	if r.o.Sink == nil || (r.spoiled && !r.o.Partial) {
		return nil
	}
	return r.o.Sink(rec)
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
