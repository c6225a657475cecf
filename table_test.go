package underfoot

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Every table's records survive the way through cells and back, with unknown columns and numbers as written.
func TestCellsRoundTrip(t *testing.T) {
	cells := map[string]string{
		"sample": "s1", "crucible": "c02", "tare_g": "42.870", "dry_g": "82.268", "ash_g": "80.589", "kind": "sample", "operator_mood": "fair",
	}
	r, err := Weighings.FromCells("a", cells)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(cells, Weighings.Cells(r)); diff != "" {
		t.Error(diff)
	}
	w := r.(*Weighing)
	if w.TareG != Some(42.87) || w.MoistG.Known {
		t.Errorf("tare %v, moist %v", w.TareG, w.MoistG)
	}
	w.TareG = Some(42.9)
	if got := Weighings.Cells(r)["tare_g"]; got != "42.9" {
		t.Errorf("a changed number reads %q: the old way of writing it must not survive", got)
	}
}

func TestSetCellRefusals(t *testing.T) {
	tests := []struct {
		name, column, text, want string
		table                    *Table
	}{
		{"negative mass", "dry_g", "-3", "-3 g is out of range: 0 to 100000 g is allowed", Weighings},
		{"decimal comma", "dry_g", "82,268", `"82,268" has a comma: a decimal point is expected and no thousands mark: 0 to 100000 g is allowed`, Weighings},
		{"not a number", "dry_g", "heavy", `"heavy" is not a number: 0 to 100000 g is allowed`, Weighings},
		{"infinite", "dry_g", "1e999", `"1e999" is not a number: 0 to 100000 g is allowed`, Weighings},
		{"unknown choice", "kind", "spoon", `"spoon" is not allowed: allowed are sample, blank, control, duplicate`, Weighings},
		{"impossible day", "date", "2026-02-30", `"2026-02-30" is not a day of the calendar (form 2026-10-08, year-month-day)`, Samples},
		{"other order", "date", "08.10.2026", `"08.10.2026" is not a date of the form 2026-10-08 (year-month-day)`, Samples},
		{"half a core", "cores", "2.5", "2.5 is not a whole number: 1 to 1000 is allowed", Samples},
		{"empty key", "sample", "", "empty: a value is needed", Samples},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			i, ok := tt.table.Column(tt.column)
			if !ok {
				t.Fatalf("no column %s", tt.column)
			}
			err := tt.table.SetCell(tt.table.New(), i, tt.text)
			if err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

func TestValuesRoundTrip(t *testing.T) {
	s := &Sample{ID: "s", Course: "a", Green: "g", Date: MakeDate(2026, 10, 8), TopMM: 20, BottomMM: 40, Cores: Some(5)}
	got := Samples.New()
	for i := range Samples.Columns {
		if err := Samples.SetValue(got, i, Samples.Value(s, i)); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(s, got); diff != "" {
		t.Error(diff)
	}
}

func TestCheckWeighing(t *testing.T) {
	w := &Weighing{TareG: Some(10.0), DryG: Some(29.1), AshG: Some(29.6), ResolutionG: Some(0.01)}
	want := []Fault{{"ash_g", "dry mass 29.1 g is below ash mass 29.6 g: weigh the crucible again or take the row out"}}
	if diff := cmp.Diff(want, w.Check()); diff != "" {
		t.Error(diff)
	}
	w.AshG = Some(29.11)
	if got := w.Check(); got != nil {
		t.Errorf("one step of the balance refused: %v", got)
	}
}

func TestFits(t *testing.T) {
	column := func(t *Table, name string) *Column { i, _ := t.Column(name); return &t.Columns[i] }
	tests := []struct {
		name   string
		column *Column
		value  any
		want   string
	}{
		{"needed", column(Samples, "green"), "", "empty: a value is needed"},
		{"not known", column(Samples, "position"), nil, ""},
		{"out of range", column(Samples, "top_mm"), -1.0, "-1 mm is out of range: 0 to 2000 mm is allowed"},
		{"not a number", column(Samples, "top_mm"), math.NaN(), "NaN is not a number: 0 to 2000 mm is allowed"},
		{"whole number out of range", column(Samples, "cores"), int64(0), "0 is out of range: 1 to 1000 is allowed"},
		{"unknown choice", column(Samples, "verdure"), "half", `"half" is not allowed: allowed are kept, removed`},
		{"no day", column(Samples, "date"), "10000-01-01", `"10000-01-01" is not a date of the form 2026-10-08 (year-month-day)`},
		{"broken text", column(Samples, "position"), "a\xff", `"a\xff" is not UTF-8 text`},
		{"zero byte", column(Samples, "position"), "a\x00", `"a\x00" holds a zero byte`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := ""
			if err := tt.column.Fits(tt.value); err != nil {
				got = err.Error()
			}
			if got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

// A clone is the same and goes its own way.
func TestCloneSharesNothing(t *testing.T) {
	s := &Sand{Course: "c", ID: "m", Extra: Extra{"colour": "white"}}
	c := Sands.Clone(s).(*Sand)
	if diff := cmp.Diff(s, c); diff != "" {
		t.Fatal(diff)
	}
	c.ID, c.Extra["colour"] = "n", "grey"
	if s.ID != "m" || s.Extra["colour"] != "white" {
		t.Errorf("writing to the clone changed the record: %+v", s)
	}
	if bare := Sands.Clone(&Sand{ID: "m"}).(*Sand); bare.Extra != nil {
		t.Errorf("a record without extra came back with %v", bare.Extra)
	}
}
