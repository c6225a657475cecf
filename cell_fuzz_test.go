package underfoot

import (
	"math"
	"strings"
	"testing"
)

// A number is read or refused, and one that is read is written as a number that reads back the same.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"0", "-0", "25.120", "1e-9", "1e999", ".5", "5.", "+3", "--3", "1_000", "0x1p-2", "1,5", "NaN", "٣", "1e", "e1", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := ParseNumber(text)
		if err != nil {
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q was read as %v", text, v)
		}
		if strings.ContainsAny(text, " _xXpPnNiI,") {
			t.Fatalf("%q was taken for a number", text)
		}
		again, err := ParseNumber(FormatNumber(v))
		if err != nil || again != v {
			t.Fatalf("%q is %v, written %s, read again %v, %v", text, v, FormatNumber(v), again, err)
		}
	})
}

// A day is read or refused, and one that is read is written the same.
func FuzzParseDate(f *testing.F) {
	for _, s := range []string{"2026-10-08", "2024-02-29", "2026-02-29", "0000-01-01", "9999-12-31", "2026-1-08", "-026-10-08", "2026-10-8 ", "２026-10"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		if err != nil {
			return
		}
		if d.String() != text {
			t.Fatalf("%q is written %q", text, d)
		}
		if DateOf(d.Time()) != d || MakeDate(d.Year(), d.Month(), d.Time().Day()) != d {
			t.Fatalf("%q loses its day", text)
		}
	})
}

// Any text in any cell of any table is taken or refused; what is taken fits the column, and is the same again from its
// cells and from its values.
func FuzzSetCell(f *testing.F) {
	f.Add(uint8(5), uint8(3), "82.268")
	f.Add(uint8(5), uint8(3), "-0.00")
	f.Add(uint8(4), uint8(7), "5.0")
	f.Add(uint8(4), uint8(7), "1e2")
	f.Add(uint8(4), uint8(4), "2026-10-08")
	f.Add(uint8(0), uint8(1), "a\x00b")
	f.Add(uint8(0), uint8(1), "\xff")
	tables := Tables()
	f.Fuzz(func(t *testing.T, at, column uint8, text string) {
		table := tables[int(at)%len(tables)]
		i := int(column) % len(table.Columns)
		c := &table.Columns[i]
		r := table.New()
		if table.SetCell(r, i, text) != nil {
			return
		}
		if c.Kind == Number || c.Kind == Whole || c.Kind == Day || c.OneOf != nil {
			if err := c.Fits(table.Value(r, i)); err != nil {
				t.Fatalf("%s: %q was taken: %v", c.Name, text, err)
			}
		}
		cell := table.Cell(r, i)
		if cell != text {
			t.Fatalf("%s: %q came back as %q", c.Name, text, cell)
		}
		again := table.New()
		if err := table.SetCell(again, i, cell); err != nil {
			t.Fatalf("%s: its own cell %q is refused: %v", c.Name, cell, err)
		}
		if table.Value(again, i) != table.Value(r, i) {
			t.Fatalf("%s: %v came back as %v", c.Name, table.Value(r, i), table.Value(again, i))
		}
		stored := table.New()
		if err := table.SetValue(stored, i, table.Value(r, i)); err != nil {
			t.Fatal(err)
		}
		if table.Value(stored, i) != table.Value(r, i) {
			t.Fatalf("%s: stored %v as %v", c.Name, table.Value(r, i), table.Value(stored, i))
		}
		r.Check()
	})
}
