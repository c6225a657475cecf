package mixed

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Frame is a table for a model: columns of numbers or of labels, all of one length. A missing number is NaN, a missing
// label is empty.
type Frame struct {
	rows    int
	columns []*column
	byName  map[string]*column
	unread  []string // columns of the file that nobody needed
}

// column is one column: numbers, or codes into labels with −1 for a missing one.
type column struct {
	name    string
	numbers []float64
	codes   []int32
	labels  []string
}

// NewFrame returns a frame without columns.
func NewFrame() *Frame { return &Frame{byName: map[string]*column{}} }

// Rows is the number of rows.
func (f *Frame) Rows() int { return f.rows }

// Names gives the names of the columns in the order added.
func (f *Frame) Names() []string {
	out := make([]string, len(f.columns))
	for i, c := range f.columns {
		out[i] = c.name
	}
	return out
}

// Numbers adds a column of numbers; NaN is missing. The frame keeps the slice.
func (f *Frame) Numbers(name string, values []float64) error {
	if err := f.fits(name, len(values)); err != nil {
		return err
	}
	f.add(&column{name: name, numbers: values}, len(values))
	return nil
}

// Labels adds a column of labels; an empty one is missing.
func (f *Frame) Labels(name string, values []string) error {
	if err := f.fits(name, len(values)); err != nil {
		return err
	}
	c := &column{name: name, codes: make([]int32, len(values))}
	known := map[string]int32{"": -1}
	for i, v := range values {
		code, ok := known[v]
		if !ok {
			code = int32(len(c.labels))
			known[v] = code
			c.labels = append(c.labels, v)
		}
		c.codes[i] = code
	}
	f.add(c, len(values))
	return nil
}

// Codes adds a column of labels by number: row i has labels[codes[i]], and a missing label the code −1. The frame keeps
// the slices.
func (f *Frame) Codes(name string, codes []int32, labels []string) error {
	if err := f.fits(name, len(codes)); err != nil {
		return err
	}
	for i, c := range codes {
		if c < -1 || int(c) >= len(labels) {
			return fmt.Errorf("column %s, row %d: code %d: allowed are 0 to %d, and −1 for a missing label", name, i+1, c, len(labels)-1)
		}
	}
	seen := map[string]bool{}
	for _, l := range labels {
		if l == "" || seen[l] {
			return fmt.Errorf("column %s: label %q is empty or there twice", name, l)
		}
		seen[l] = true
	}
	f.add(&column{name: name, codes: codes, labels: labels}, len(codes))
	return nil
}

func (f *Frame) fits(name string, n int) error {
	switch {
	case name == "":
		return fmt.Errorf("a column of a table needs a name")
	case f.byName[name] != nil:
		return fmt.Errorf("column %s is in the table already", name)
	case len(f.columns) > 0 && n != f.rows:
		return fmt.Errorf("column %s has %s and the table %d", name, counted(n, "row"), f.rows)
	}
	return nil
}

func (f *Frame) add(c *column, n int) {
	if f.byName == nil {
		f.byName = map[string]*column{}
	}
	f.rows = n
	f.columns = append(f.columns, c)
	f.byName[c.name] = c
}

// known names every column there is, for messages.
func (f *Frame) known() string {
	names := append(f.Names(), f.unread...)
	if len(names) == 0 {
		return "none"
	}
	return listed(names)
}

// example gives the first label of a column of labels, for messages.
func (c *column) example() string {
	for _, code := range c.codes {
		if code >= 0 {
			return strconv.Quote(c.labels[code])
		}
	}
	return "nothing"
}

// factor is a column as levels: for each row the number of its level, −1 for a missing one.
type factor struct {
	codes  []int32
	levels []string
}

// factor gives the column as levels, in any order.
func (c *column) factor() factor {
	if c.numbers == nil {
		return factor{c.codes, c.labels}
	}
	return factorOf(c.numbers)
}

// factorOf gives numbers as levels, in order of size.
func factorOf(numbers []float64) factor {
	f := factor{codes: make([]int32, len(numbers))}
	known := map[float64]int32{}
	var values []float64
	last, code := math.NaN(), int32(-1)
	for i, v := range numbers {
		if v != last { // runs of one value are common
			var ok bool
			switch code, ok = known[v]; {
			case math.IsNaN(v):
				code = -1
			case !ok:
				code = int32(len(values))
				known[v] = code
				values = append(values, v)
			}
			last = v
		}
		f.codes[i] = code
	}
	f.levels = make([]string, len(values))
	for i, v := range values {
		f.levels[i] = levelName(v)
	}
	return f
}

// used gives the factor with the levels that occur only, sorted: words by alphabet, numbers by size. Its codes are new
// unless nothing changes.
func (f factor) used() factor {
	count := make([]bool, len(f.levels))
	for _, c := range f.codes {
		if c >= 0 {
			count[c] = true
		}
	}
	var order []int
	for i, some := range count {
		if some {
			order = append(order, i)
		}
	}
	sortLevels(order, f.levels)
	to := make([]int32, len(f.levels))
	levels := make([]string, len(order))
	same := len(order) == len(f.levels)
	for i, from := range order {
		same = same && from == i
		to[from] = int32(i)
		levels[i] = f.levels[from]
	}
	if same {
		return f
	}
	codes := make([]int32, len(f.codes))
	for i, c := range f.codes {
		codes[i] = -1
		if c >= 0 {
			codes[i] = to[c]
		}
	}
	return factor{codes, levels}
}

// sortLevels sorts numbers of levels by what the levels say: by size when all are numbers, else by alphabet (bytes).
func sortLevels(order []int, levels []string) {
	values := make([]float64, len(levels))
	for _, i := range order {
		v, err := strconv.ParseFloat(levels[i], 64)
		if err != nil || math.IsNaN(v) {
			slices.SortFunc(order, func(a, b int) int { return strings.Compare(levels[a], levels[b]) })
			return
		}
		values[i] = v
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case values[a] < values[b]:
			return -1
		case values[a] > values[b]:
			return 1
		}
		return strings.Compare(levels[a], levels[b])
	})
}

// counted puts a number before a noun, with an s where it needs one.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}

// listed names the first few of many for a message.
func listed(names []string) string {
	const most = 8
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}
