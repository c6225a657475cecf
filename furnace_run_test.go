package underfoot

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCheckBench(t *testing.T) {
	tests := []struct {
		name   string
		record Record
		want   []Fault
	}{
		{"a run", &FurnaceRun{TrayRows: Some(3), TrayColumns: Some(4)}, nil},
		{"rows without columns", &FurnaceRun{TrayRows: Some(3)}, []Fault{{"tray_columns", "empty, and tray_rows is 3: give both or neither"}}},
		{"columns without rows", &FurnaceRun{TrayColumns: Some(4)}, []Fault{{"tray_rows", "empty, and tray_columns is 4: give both or neither"}}},
		{"a place", &TrayPlace{Place: "B12"}, nil},
		{"a number alone", &TrayPlace{Place: "12"}, []Fault{{"place", `"12" is not a place on a tray: a letter A to Z and a number 1 to 99 are expected, such as B3`}}},
		{"place 0", &TrayPlace{Place: "B0"}, []Fault{{"place", `"B0" is not a place on a tray: a letter A to Z and a number 1 to 99 are expected, such as B3`}}},
		{"first of a stage", &Repeat{N: 1, Hours: Some(0.0)}, nil},
		{"later of a stage", &Repeat{N: 2, Hours: Some(1.5)}, nil},
		{"first of a stage after itself", &Repeat{N: 1, Hours: Some(1.5)}, []Fault{{"hours", "1.5 h is given for weighing 1: hours count from the first weighing of a stage, so it has 0 or none"}}},
		{"a rule", &Mapping{Rule: `{"columns":["a"]}`}, nil},
		{"a broken rule", &Mapping{Rule: `{"columns":[`}, []Fault{{"rule", "is not JSON: save the mapping again from its page"}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, tt.record.Check()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTrayPlaceAt(t *testing.T) {
	for place, want := range map[string][2]int{"A1": {1, 1}, "B12": {2, 12}, "Z99": {26, 99}} {
		row, column, ok := (&TrayPlace{Place: place}).At()
		if !ok || [2]int{row, column} != want {
			t.Errorf("%s: row %d, column %d, %v", place, row, column, ok)
		}
	}
	for _, place := range []string{"", "B", "b3", "B03", "B100", "B+1", "BB1", "B1 "} {
		if _, _, ok := (&TrayPlace{Place: place}).At(); ok {
			t.Errorf("%q was taken for a place", place)
		}
	}
}

// A day that may be not known survives the way through cells and values.
func TestOptionalDay(t *testing.T) {
	for _, cells := range []map[string]string{{"furnace_run": "f1", "date": "1970-01-01"}, {"furnace_run": "f1"}} {
		r, err := Runs.FromCells("a", cells)
		if err != nil {
			t.Fatal(err)
		}
		if got := r.(*FurnaceRun).Date.Known; got != (cells["date"] != "") {
			t.Errorf("%v: known %v", cells, got)
		}
		if diff := cmp.Diff(cells, Runs.Cells(r)); diff != "" {
			t.Error(diff)
		}
		again := Runs.New()
		Runs.SetCourse(again, "a")
		for i := range Runs.Columns {
			if err := Runs.SetValue(again, i, Runs.Value(r, i)); err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(r, again); diff != "" {
			t.Error(diff)
		}
	}
}
