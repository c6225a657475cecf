package app_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/internal/app"
)

func TestReadBlock(t *testing.T) {
	for _, c := range []struct {
		name, text, from string
		want             []map[string]string
	}{
		{"five columns", "c01\ts1\t40.1\t60.2\t59\r\nc02\ts2\t41,1\t61,2\t60\r\n", "crucible", []map[string]string{
			{"crucible": "c01", "sample": "s1", "tare_g": "40.1", "dry_g": "60.2", "ash_g": "59"},
			{"crucible": "c02", "sample": "s2", "tare_g": "41,1", "dry_g": "61,2", "ash_g": "60"},
		}},
		{"with moist masses", "c01;s1;40.1;62;60.2;59", "crucible", []map[string]string{
			{"crucible": "c01", "sample": "s1", "tare_g": "40.1", "moist_g": "62", "dry_g": "60.2", "ash_g": "59"},
		}},
		{"kinds", "c01\tblank\tb\t40.1\t40.1\t40.1\nc02\tsample\ts1\t41\t60\t59", "crucible", []map[string]string{
			{"crucible": "c01", "kind": "blank", "sample": "b", "tare_g": "40.1", "dry_g": "40.1", "ash_g": "40.1"},
			{"crucible": "c02", "kind": "sample", "sample": "s1", "tare_g": "41", "dry_g": "60", "ash_g": "59"},
		}},
		{"ash alone", "59.1\n\n60.2\n", "ash_g", []map[string]string{{"ash_g": "59.1"}, {"ash_g": "60.2"}}},
		{"headings in any order", "Ash (g)\tCrucible\tRemark\tEmpty\n59.1\tc01\tspilt?\t40.1", "crucible", []map[string]string{
			{"crucible": "c01", "ash_g": "59.1", "tare_g": "40.1"},
		}},
		{"gaps", "c01\t\t40.1", "crucible", []map[string]string{{"crucible": "c01", "tare_g": "40.1"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := app.ReadBlock(c.text, c.from)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("(−want +got):\n%s", d)
			}
		})
	}
	for _, c := range []struct{ name, text, from, want string }{
		{"empty", " \n", "crucible", "the block is empty: copy the rows from the spreadsheet and paste them, a line a crucible"},
		{"too wide", "1\t2\t3", "ash_g", "line 1 of the block: 3 cells, but from ash_g on there are 1 columns (ash_g): head the columns, or take out the rest"},
		{"unknown start", "1", "density", `the block cannot start at column "density": start at crucible, kind, sample, tare_g, moist_g, dry_g, ash_g`},
		{"headed twice", "dry\tdry\tash", "crucible", "line 1 of the block: two columns are headed as dry_g: name each once"},
		{"beyond the headings", "dry\tash\n1\t2\t3", "crucible", "line 2 of the block: 3 cells, 2 columns are known: take out what is beyond ash_g, or head the columns"},
		{"too long", strings.Repeat("1\n", 501), "ash_g", "the block has 501 lines: paste at most 500, one furnace run at a time"},
	} {
		_, err := app.ReadBlock(c.text, c.from)
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: got %v\nwant %s", c.name, err, c.want)
		}
	}
}

func FuzzReadBlock(f *testing.F) {
	f.Add("c01\ts1\t40.1\t60.2\t59", "crucible")
	f.Add("Ash (g)\tCrucible\n59\tc01", "ash_g")
	f.Add("a;b;c\r\r\n;;", "tare_g")
	f.Add("\"x\"  y   z\n", "kind")
	f.Fuzz(func(t *testing.T, text, from string) {
		rows, err := app.ReadBlock(text, from)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without words")
			}
			return
		}
		for _, row := range rows {
			for column, cell := range row {
				if column == "" || cell == "" || strings.ContainsAny(cell, "\n\r") {
					t.Errorf("column %q holds %q", column, cell)
				}
			}
		}
	})
}
