package mixed

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// over gives a file that holds a text, and counts how often it was opened.
func over(text string, opened *int) func() (io.ReadCloser, error) {
	return func() (io.ReadCloser, error) {
		if opened != nil {
			*opened++
		}
		return io.NopCloser(strings.NewReader(text)), nil
	}
}

// shownFrame writes a frame for comparing: each column as its cells.
func shownFrame(f *Frame) map[string][]string {
	out := map[string][]string{}
	for _, c := range f.columns {
		cells := make([]string, f.rows)
		for i := range cells {
			switch {
			case c.numbers != nil:
				cells[i] = strconv.FormatFloat(c.numbers[i], 'g', -1, 64)
			case c.codes[i] < 0:
				cells[i] = "missing"
			default:
				cells[i] = strconv.Quote(c.labels[c.codes[i]])
			}
		}
		out[c.name] = cells
	}
	return out
}

func TestReadCSV(t *testing.T) {
	type table = map[string][]string
	cases := []struct {
		name, text string
		options    CSVOptions
		want       table
		opened     int
	}{
		{"numbers and words", "y,g\n1.5,a\n-2,b\n", CSVOptions{}, table{"y": {"1.5", "-2"}, "g": {`"a"`, `"b"`}}, 1},
		{"no newline at the end", "y,g\n1,a", CSVOptions{}, table{"y": {"1"}, "g": {`"a"`}}, 1},
		{"returns, blanks, empty lines and a mark at the start", "\xef\xbb\xbfy, g\r\n 1 ,\ta \r\n\r\n2,b b\r\n", CSVOptions{}, table{"y": {"1", "2"}, "g": {`"a"`, `"b b"`}}, 1},
		{"missing", "y,g\n1,a\nNA,\n,NA\nNaN,b\n", CSVOptions{}, table{"y": {"1", "NaN", "NaN", "NaN"}, "g": {`"a"`, "missing", "missing", `"b"`}}, 1},
		{"nothing but missing", "y\nNA\nNA\n", CSVOptions{}, table{"y": {"NaN", "NaN"}}, 1},
		{"words after numbers", "y,g\n1,1\n2,2\n3,G3\n", CSVOptions{}, table{"y": {"1", "2", "3"}, "g": {`"1"`, `"2"`, `"G3"`}}, 2},
		{"dates are words", "d\n2015-05-16\n", CSVOptions{}, table{"d": {`"2015-05-16"`}}, 1},
		{"quoted as R writes it", "\"\",\"y\",\"g\"\n\"1\",1,\"a\"\n\"2\",2,\"b, c\"\n", CSVOptions{}, table{"y": {"1", "2"}, "g": {`"a"`, `"b, c"`}}, 1},
		{"quotes and lines in quotes", "y,g\n1,a\n2,\"b \"\"c\"\"\"\n3,\"d\ne\"\n4,f\n", CSVOptions{}, table{"y": {"1", "2", "3", "4"}, "g": {`"a"`, `"b \"c\""`, `"d\ne"`, `"f"`}}, 1},
		{"quotes in the heading", "\"y\n1\",g\n2,a\n", CSVOptions{}, table{"y\n1": {"2"}, "g": {`"a"`}}, 1},
		{"tabs", "y\tg\n1\ta,b\n", CSVOptions{}, table{"y": {"1"}, "g": {`"a,b"`}}, 1},
		{"semicolons", "y;g\n1;a\n", CSVOptions{}, table{"y": {"1"}, "g": {`"a"`}}, 1},
		{"powers and signs", "y\n1e3\n+2\n.5\n3.\n-1.5E-2\n", CSVOptions{}, table{"y": {"1000", "2", "0.5", "3", "-0.015"}}, 1},
		{"infinite", "y\nInf\n-Inf\n1e999\n", CSVOptions{}, table{"y": {"+Inf", "-Inf", "+Inf"}}, 1},
		{"not numbers", "a,b,c,d\n0x1F,1_000,1.2.3,-\n", CSVOptions{}, table{"a": {`"0x1F"`}, "b": {`"1_000"`}, "c": {`"1.2.3"`}, "d": {`"-"`}}, 1},
		{"only what is needed", "y,g,h\n1,a,b\n", CSVOptions{Columns: []Column{{"y", false}, {"h", true}}}, table{"y": {"1"}, "h": {`"b"`}}, 1},
		{"a column of the formula that is not there", "y,g\n1,a\n", CSVOptions{Columns: []Column{{"y", false}, {"x", false}}}, table{"y": {"1"}}, 1},
		{"numbers as levels are named by what they are", "g\n1\n1.0\n01\n2.50\n1e1\n", CSVOptions{Columns: []Column{{"g", true}}}, table{"g": {`"1"`, `"1"`, `"1"`, `"2.5"`, `"10"`}}, 1},
		{"levels that are not all numbers stay", "g\n1.0\n01\na\n", CSVOptions{Columns: []Column{{"g", true}}}, table{"g": {`"1.0"`, `"01"`, `"a"`}}, 1},
		{"where", "y,g\n1,a\n2,b\n3,a\n", CSVOptions{Where: []Condition{{"g", []string{"a"}}}}, table{"y": {"1", "3"}, "g": {`"a"`, `"a"`}}, 1},
		{"where as a number", "y,g\n1,1.0\n2,2\n3,1\n", CSVOptions{Where: []Condition{{"g", []string{"1"}}}}, table{"y": {"1", "3"}, "g": {"1", "1"}}, 1},
		{"where with two values and two columns", "y,g,h\n1,a,u\n2,b,u\n3,c,u\n4,a,v\n", CSVOptions{Columns: []Column{{"y", false}}, Where: []Condition{{"g", []string{"a", "b"}}, {"h", []string{"u"}}}}, table{"y": {"1", "2"}}, 1},
		{"words only where nothing is read", "y,g\n1,a\nx,b\n", CSVOptions{Where: []Condition{{"g", []string{"a"}}}}, table{"y": {"1"}, "g": {`"a"`}}, 1},
		{"heading only", "y,g\n", CSVOptions{}, table{"y": {}, "g": {}}, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			opened := 0
			f, err := ReadCSV(over(c.text, &opened), c.options)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, shownFrame(f), cmpopts.EquateEmpty()); diff != "" {
				t.Error(diff)
			}
			if opened != c.opened {
				t.Errorf("opened %d times, want %d", opened, c.opened)
			}
		})
	}
}

func TestReadCSVRefuses(t *testing.T) {
	cases := []struct {
		name, text string
		options    CSVOptions
		want       string
	}{
		{"empty", "", CSVOptions{}, "d.csv is empty: the first line must name the columns"},
		{"short row", "y,g\n1,a\n2\n", CSVOptions{}, "d.csv:3: 1 cell where the heading has 2"},
		{"long row after quotes", "y,g\n1,\"a\nb\"\n2,a,b\n", CSVOptions{}, "d.csv:4: 3 cells where the heading has 2"},
		{"quote not closed", "y,g\n1,a\n2,\"b\n", CSVOptions{}, `d.csv:3: extraneous or missing " in quoted-field`},
		{"column twice", "y,y\n1,2\n", CSVOptions{}, "d.csv:1: two columns are named y"},
		{"where of no column", "y,g\n1,a\n", CSVOptions{Where: []Condition{{"h", []string{"a"}}}}, "where h=a: d.csv has no column h: there are y, g"},
		{"where of no row", "y,g\n1,a\n2,b\n", CSVOptions{Where: []Condition{{"g", []string{"c", "d"}}}}, "where g=c or d: no row of d.csv has that: there are a, b"},
		{"where of no row by two columns", "y,g,h\n1,a,u\n2,b,v\n", CSVOptions{Where: []Condition{{"g", []string{"a"}}, {"h", []string{"v"}}}}, "no row of d.csv fulfils every condition"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			c.options.Name = "d.csv"
			_, err := ReadCSV(over(c.text, nil), c.options)
			if err == nil {
				t.Fatal("no error")
			}
			if diff := cmp.Diff(c.want, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
	_, err := ReadCSV(func() (io.ReadCloser, error) { return nil, errors.New("no such file") }, CSVOptions{})
	if err == nil || err.Error() != "no such file" {
		t.Errorf("got %v", err)
	}
}

// A file longer than the buffer and lines longer than the buffer are read whole.
func TestReadCSVOfAnyLength(t *testing.T) {
	var b strings.Builder
	b.WriteString("y,g\n")
	const rows = 150_000
	for i := range rows {
		fmt.Fprintf(&b, "%d.25,%s\n", i, strings.Repeat("g", i%7+1))
	}
	b.WriteString("1," + strings.Repeat("w", 700_000) + "\n")
	f, err := ReadCSV(over(b.String(), nil), CSVOptions{})
	if err != nil {
		t.Fatal(err)
	}
	y, g := f.byName["y"].numbers, f.byName["g"]
	if f.Rows() != rows+1 || len(y) != rows+1 || len(g.labels[g.codes[rows]]) != 700_000 {
		t.Fatalf("%d rows", f.Rows())
	}
	for i := range rows {
		if y[i] != float64(i)+.25 || len(g.labels[g.codes[i]]) != i%7+1 {
			t.Fatalf("row %d: %v %q", i, y[i], g.labels[g.codes[i]])
		}
	}
}

// The short way to a number and strconv agree to the last bit.
func TestParseNumberIsCorrectlyRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`[+-]?[0-9]{0,20}(\.[0-9]{0,24})?(e[+-]?[0-9]{1,3})?`).Draw(t, "cell")
		got, ok := parseNumber([]byte(cell))
		want, err := strconv.ParseFloat(cell, 64)
		if math.IsInf(want, 0) {
			err = nil
		}
		if ok != (err == nil) || ok && math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: %v %v, strconv says %v %v", cell, got, ok, want, err)
		}
	})
}

func FuzzReadCSV(f *testing.F) {
	for _, seed := range []string{"y,g\n1,a\n", "\"y\"\n\"1\n2\"\n", "y\n1\nx\n", ";\n1;2", "a,a\n", "\xef\xbb\xbf\n\n\"", "y,g\r\n1,\"a\"\"b\"\r\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		frame, err := ReadCSV(over(text, nil), CSVOptions{Name: "f"})
		if err != nil {
			return
		}
		for name, cells := range shownFrame(frame) {
			if len(cells) != frame.Rows() {
				t.Fatalf("column %q has %d of %d rows", name, len(cells), frame.Rows())
			}
		}
	})
}

// One course of a portfolio: numbers as groups, a number with decimals, the response.
func BenchmarkReadCSV(b *testing.B) {
	var text strings.Builder
	text.WriteString("course,cg,t,layer,value\n")
	const rows = 130_000
	for i := range rows {
		fmt.Fprintf(&text, "%d,%d,%.4f,%d,%.4f\n", i/648+1, i/36+1, float64(i%12)/2+.0576, i%3+1, 2+float64(i*7919%60000)/10000)
	}
	columns := []Column{{"value", false}, {"t", false}, {"layer", false}, {"course", true}, {"cg", true}}
	b.SetBytes(int64(text.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadCSV(over(text.String(), nil), CSVOptions{Columns: columns}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/rows, "ns/row")
}
