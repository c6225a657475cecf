package exchange

import (
	"bufio"
	"cmp"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"underfoot"
)

// Write writes the records of one or more courses as a package into the folder dir, which must be absent, empty or a
// package that Write made before; that one is replaced. The new package stands complete beside dir before it takes
// its name, so dir never holds half of it. Rows that belong to the package as a whole come once; courses that
// disagree about one are a [underfoot.Conflict].
func Write(ctx context.Context, dir string, courses []*underfoot.Records) error {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	if err := mayReplace(dir); err != nil {
		return err
	}
	p, err := gather(courses)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return fmt.Errorf("writing package %s: %w", dir, err)
	}
	work, err := os.MkdirTemp(filepath.Dir(dir), "."+filepath.Base(dir)+"-*")
	if err != nil {
		return fmt.Errorf("writing package %s: %w", dir, err)
	}
	defer os.RemoveAll(work)
	fresh := filepath.Join(work, "new")
	if err := os.Mkdir(fresh, 0o755); err != nil {
		return fmt.Errorf("writing package %s: %w", dir, err)
	}
	if err := p.write(ctx, fresh); err != nil {
		return fmt.Errorf("writing package %s: %w", dir, err)
	}
	return replace(dir, fresh, filepath.Join(work, "old"))
}

// replace puts the folder fresh in the place of dir, and dir back when that fails.
func replace(dir, fresh, old string) error {
	err := os.Rename(dir, old)
	if err != nil && !os.IsNotExist(err) {
		return fmt.Errorf("writing package %s: %w", dir, err)
	}
	if renamed := os.Rename(fresh, dir); renamed != nil {
		if err == nil {
			os.Rename(old, dir)
		}
		return fmt.Errorf("writing package %s: %w", dir, renamed)
	}
	return nil
}

// mayReplace refuses to write over anything that is not a package of ours.
func mayReplace(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case os.IsNotExist(err):
		return nil
	case err != nil:
		return underfoot.Errorf(underfoot.Invalid, "writing package %s: it is there already and is not a folder that can be read: %w", dir, err)
	case len(entries) == 0:
		return nil
	}
	ours := map[string]bool{descriptionFile: true}
	for _, t := range underfoot.Tables() {
		ours[fileOf(t)] = true
	}
	var d struct {
		Underfoot *marker `json:"underfoot"`
	}
	text, problem := readSmall(filepath.Join(dir, descriptionFile), maxDescription)
	if problem != "" || json.Unmarshal(text, &d) != nil || d.Underfoot == nil {
		return underfoot.Errorf(underfoot.Conflict, "writing package %s: the folder is not empty and not a package written by this program: name a new or empty folder", dir)
	}
	for _, e := range entries {
		if !ours[e.Name()] {
			return underfoot.Errorf(underfoot.Conflict, "writing package %s: the folder also holds %s, which is not part of the package: name a new or empty folder", dir, e.Name())
		}
	}
	return nil
}

// pack is a package about to be written.
type pack struct {
	name, title string
	tables      []*underfoot.Table // those with rows
	rows        map[*underfoot.Table][]underfoot.Record
	unknown     map[*underfoot.Table][]string
}

// gather sorts the rows of all courses into their tables.
func gather(courses []*underfoot.Records) (*pack, error) {
	p := &pack{rows: map[*underfoot.Table][]underfoot.Record{}, unknown: map[*underfoot.Table][]string{}}
	for _, c := range courses {
		c.Each(func(r underfoot.Record) { p.rows[r.Table()] = append(p.rows[r.Table()], r) })
	}
	for _, t := range underfoot.Tables() {
		rows := p.rows[t]
		if len(rows) == 0 {
			continue
		}
		slices.SortStableFunc(rows, func(a, b underfoot.Record) int { return compare(t, a, b) })
		rows, err := once(t, rows)
		if err != nil {
			return nil, err
		}
		p.rows[t] = rows
		p.tables = append(p.tables, t)
		p.unknown[t] = unknownOf(t, rows)
	}
	if p.tables == nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "writing a package: there is no course to write")
	}
	p.title, p.name = titleOf(courses)
	return p, nil
}

// compare orders rows by the key of the file: numbers by size, all else by bytes.
func compare(t *underfoot.Table, a, b underfoot.Record) int {
	for i := range t.Columns {
		c := &t.Columns[i]
		if !c.Key {
			continue
		}
		var d int
		switch c.Kind {
		case underfoot.Number:
			x, _ := t.Value(a, i).(float64)
			y, _ := t.Value(b, i).(float64)
			d = cmp.Compare(x, y)
		case underfoot.Whole:
			x, _ := t.Value(a, i).(int64)
			y, _ := t.Value(b, i).(int64)
			d = cmp.Compare(x, y)
		default:
			d = strings.Compare(t.Cell(a, i), t.Cell(b, i))
		}
		if d != 0 {
			return d
		}
	}
	return 0
}

// once leaves out repeats of a row in sorted rows. Only rows of the package as a whole may be repeated, and only alike.
func once(t *underfoot.Table, rows []underfoot.Record) ([]underfoot.Record, error) {
	out := rows[:1]
	for _, r := range rows[1:] {
		last := out[len(out)-1]
		if compare(t, last, r) != 0 {
			out = append(out, r)
			continue
		}
		if t.Scoped || !ofPackage(r) || !maps.Equal(t.Cells(last), t.Cells(r)) {
			return nil, underfoot.Errorf(underfoot.Conflict,
				"writing a package: courses %s and %s both have %s %s, and not the same: write one course at a time, or rename it on one",
				t.Course(last), t.Course(r), t.Name, t.Key(r)[1:])
		}
	}
	return out, nil
}

// ofPackage says whether a row belongs to every course of a package.
func ofPackage(r underfoot.Record) bool {
	switch x := r.(type) {
	case *underfoot.Sand, *underfoot.Control, *underfoot.FurnaceRun, *underfoot.TrayPlace, *underfoot.Release, *underfoot.Tare, *underfoot.Mapping:
		return true
	case *underfoot.Weighing:
		return !x.OfSample()
	case *underfoot.Repeat:
		return !x.OfSample()
	case *underfoot.Sieve:
		of, _ := x.Of()
		return of == underfoot.Sands
	case *underfoot.Sieving:
		of, _ := x.Of()
		return of == underfoot.Sands
	}
	return false
}

func unknownOf(t *underfoot.Table, rows []underfoot.Record) []string {
	names := map[string]bool{}
	for _, r := range rows {
		for name, text := range t.Extra(r) {
			if _, known := t.Column(name); !known && text != "" {
				names[name] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(names))
}

// titleOf names the package after its courses; a name has only lower-case letters, digits, ".", "_" and "-".
func titleOf(courses []*underfoot.Records) (title, name string) {
	var titles, names []string
	for _, c := range courses {
		titles = append(titles, c.Course.Title())
		names = append(names, c.Course.ID)
	}
	slices.Sort(titles)
	slices.Sort(names)
	name = strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9', c == '.', c == '_', c == '-':
			return c
		}
		return '-'
	}, strings.ToLower(strings.Join(names, "-")))
	if len(name) > 100 {
		name = name[:100]
	}
	return strings.Join(titles, ", "), name
}

func (p *pack) write(ctx context.Context, dir string) error {
	for _, t := range p.tables {
		if err := ctx.Err(); err != nil {
			return err
		}
		err := writeFile(filepath.Join(dir, fileOf(t)), func(w io.Writer) error {
			if t == underfoot.Outlines {
				return p.writeOutlines(w)
			}
			return writeTable(w, t, p.rows[t], p.unknown[t])
		})
		if err != nil {
			return err
		}
	}
	text, err := describe(p.name, p.title, p.tables, p.unknown)
	if err != nil {
		return err
	}
	return writeFile(filepath.Join(dir, descriptionFile), func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

func (p *pack) writeOutlines(w io.Writer) error {
	var list []*underfoot.Outline
	for _, r := range p.rows[underfoot.Outlines] {
		list = append(list, r.(*underfoot.Outline))
	}
	text, err := outlinesJSON(list)
	if err == nil {
		_, err = w.Write(text)
	}
	return err
}

// writeTable writes the columns of the format in their order, then the others by name.
func writeTable(to io.Writer, t *underfoot.Table, rows []underfoot.Record, unknown []string) error {
	w := csv.NewWriter(to)
	cells := make([]string, len(t.Columns)+len(unknown))
	for i := range t.Columns {
		cells[i] = t.Columns[i].Name
	}
	copy(cells[len(t.Columns):], unknown)
	if err := w.Write(cells); err != nil {
		return err
	}
	for _, r := range rows {
		for i := range t.Columns {
			cells[i] = t.Cell(r, i)
		}
		extra := t.Extra(r)
		for i, name := range unknown {
			cells[len(t.Columns)+i] = extra[name]
		}
		if err := w.Write(cells); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// writeFile writes a new file and waits until it is on the disk.
func writeFile(path string, write func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	b := bufio.NewWriterSize(f, 64<<10)
	err = write(b)
	if err == nil {
		err = b.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	return err
}
