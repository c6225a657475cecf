package figure

import (
	"bytes"
	"encoding/csv"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// Every picture that is more than a mark in a line of text has its values as a table: rectangular, with heads, the same
// twice, and with a number for each value that the picture shows on focus.
func TestEveryPictureHasItsValues(t *testing.T) {
	other := samples()
	for i, s := range samples() {
		if s.scene.Values == nil {
			if !s.scene.Hidden {
				t.Errorf("%s has no values", s.name)
			}
			continue
		}
		table := s.scene.Values()
		body := table.CSV()
		if !bytes.Equal(body, other[i].scene.Values().CSV()) {
			t.Errorf("%s: the values differ between two drawings", s.name)
		}
		if table.Title == "" && !strings.Contains(s.name, "none") {
			t.Errorf("%s: a table without a title", s.name)
		}
		lines, err := csv.NewReader(bytes.NewReader(body)).ReadAll() // refuses lines of unequal length
		if err != nil {
			t.Errorf("%s: %v", s.name, err)
			continue
		}
		if len(lines) != 1+len(table.Rows) {
			t.Errorf("%s: %d lines for %d rows", s.name, len(lines), len(table.Rows))
		}
		for _, row := range table.Rows {
			if len(row) != len(table.Columns) {
				t.Errorf("%s: %d cells in %d columns: %v", s.name, len(row), len(table.Columns), row)
			}
		}
		for _, c := range table.Columns {
			if c.Name == "" {
				t.Errorf("%s: a column without a name", s.name)
			}
		}
		if !strings.Contains(string(body), "\r\n") || strings.Contains(string(body), "NaN") || strings.Contains(string(body), minus) {
			t.Errorf("%s: not for a machine:\n%s", s.name, body)
		}
	}
}

// A value that a mark shows stands in the table, at the decimals it is shown with.
func TestMarksAndTableAgree(t *testing.T) {
	for _, s := range samples() {
		if s.scene.Values == nil || strings.HasPrefix(s.name, "burial") {
			continue // of a burial chart marks tell rounds and depths of holes
		}
		cells := map[string]bool{}
		for _, row := range s.scene.Values().Rows {
			for _, c := range row {
				if c.kind != numeric {
					cells[c.Words()] = true
					continue
				}
				for d := range 4 {
					cells[number(c.number, d)] = true
				}
				cells[upwards(c.number)] = true
				cells[chanceIn(c.number/100)] = true
			}
		}
		for _, m := range s.scene.Marks {
			if m.Value != "held" && !cells[m.Value] && !cells["core "+m.Value] {
				t.Errorf("%s: %q is shown (%s) and not in the table", s.name, m.Value, m.Label)
			}
		}
	}
}

func TestCSVIsForMachines(t *testing.T) {
	table := newTable("A test", wordColumn("What"), wordColumn("Day"), numberColumn("OM", "%"))
	table.row(cellOf(`a "quoted", odd
name`), dayIn(time.Date(2025, 10, 14, 9, 0, 0, 0, time.UTC)), numberIn(-.324, 2))
	table.row(Cell{}, dayIn(time.Time{}), numberIn(math.NaN(), 2))
	table.row(cellOf("nought"), Cell{}, numberIn(-.001, 2))
	want := "What,Day,\"OM, %\"\r\n\"a \"\"quoted\"\", odd\r\nname\",2025-10-14,-0.32\r\n,,\r\nnought,,0.00\r\n"
	if d := cmp.Diff(want, string(table.CSV())); d != "" {
		t.Error(d)
	}
	var shown []string
	for _, row := range table.Rows {
		for _, c := range row[1:] {
			shown = append(shown, c.Words())
		}
	}
	if d := cmp.Diff([]string{"14 Oct 2025", "−0.32", "–", "–", "–", "0.00"}, shown); d != "" {
		t.Error(d)
	}
}
