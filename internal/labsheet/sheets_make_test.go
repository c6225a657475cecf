package labsheet

import (
	"flag"
	"path/filepath"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

var makeSheets = flag.Bool("make", false, "write the invented workbooks of testdata/sheets anew")

// The workbooks of testdata/sheets are made here, cell by cell; the CSV sheets beside them were typed.
func TestMakeSheets(t *testing.T) {
	if !*makeSheets {
		t.Skip("the workbooks are there; -make writes them anew")
	}
	day := func(d int) time.Time { return time.Date(2026, 10, d, 0, 0, 0, 0, time.UTC) }
	book := func(name string, fill func(f *excelize.File, put func(sheet, cell string, values ...any))) {
		f := excelize.NewFile()
		fill(f, func(sheet, cell string, values ...any) {
			if i, err := f.GetSheetIndex(sheet); err == nil && i < 0 {
				f.NewSheet(sheet)
			}
			if err := f.SetSheetRow(sheet, cell, &values); err != nil {
				t.Fatal(err)
			}
		})
		if err := f.SaveAs(filepath.Join("testdata", "sheets", name)); err != nil {
			t.Fatal(err)
		}
		f.Close()
	}
	book("40-workbook-merged.xlsx", func(f *excelize.File, put func(string, string, ...any)) {
		put("Sheet1", "A1", "Autumn round")
		put("Sheet1", "A3", "Green", "Organic matter", nil, nil, "Sampled")
		put("Sheet1", "A4", nil, "0-20 mm", "20-40 mm", "40-60 mm")
		put("Sheet1", "A5", nil, "%", "%", "%")
		put("Sheet1", "A6", 1, 4.23, 2.81, 2.05, day(8))
		put("Sheet1", "A7", 5, 5.1, 3.3, nil, day(8))
		put("Sheet1", "A8", 9, 3.9, 2.6, 1.98, day(9))
		put("Sheet1", "A9", "Mean", 4.41, 2.9, 2.02)
		f.MergeCell("Sheet1", "B3", "D3")
		f.MergeCell("Sheet1", "A3", "A5")
		f.MergeCell("Sheet1", "E3", "E5")
	})
	book("41-workbook-several.xlsx", func(f *excelize.File, put func(string, string, ...any)) {
		f.SetSheetName("Sheet1", "Cover")
		put("Cover", "A1", "Report to the course")
		put("Cover", "A2", "See the other worksheets")
		put("Ash", "A1", "Sample no", "Crucible", "Tare, g", "Dry, g", "Ash, g")
		put("Ash", "A2", "M1", 7, 42.877, 82.268, 80.589)
		put("Ash", "A3", "M2", 8, 41.902, 80.911, 79.3)
		put("Remarks", "A1", "none")
	})
	book("42-workbook-percent-cells.xlsx", func(f *excelize.File, put func(string, string, ...any)) {
		put("Sheet1", "A1", "Sample", "Green", "Depth (cm)", "Date", "LOI")
		put("Sheet1", "A2", "R1", "Practice", "0-2", day(8), 0.0423)
		put("Sheet1", "A3", "R2", "Practice", "2-4", day(8), 0.0281)
		style, err := f.NewStyle(&excelize.Style{NumFmt: 10})
		if err != nil {
			t.Fatal(err)
		}
		f.SetCellStyle("Sheet1", "E2", "E3", style)
	})
	book("43-workbook-sieve-groups.xlsx", func(f *excelize.File, put func(string, string, ...any)) {
		put("Sheet1", "A1", nil, "Green 2 0-20 mm", nil, "Green 8 0-20 mm", nil)
		put("Sheet1", "A2", "Sieve µm", "Retained g", "Passing %", "Retained g", "Passing %")
		rows := [][]any{{2000, 0.0, 100.0, 0.5, 99.5}, {1000, 4.0, 96.0, 5.5, 94.0}, {500, 26.0, 70.0, 24.0, 70.0}, {250, 50.0, 20.0, 51.0, 19.0}, {63, 19.0, 1.0, 17.5, 1.5}, {"Pan", 1.0, nil, 1.5, nil}}
		for i, r := range rows {
			cell, _ := excelize.CoordinatesToCellName(1, i+3)
			put("Sheet1", cell, r...)
		}
		f.MergeCell("Sheet1", "B1", "C1")
		f.MergeCell("Sheet1", "D1", "E1")
	})
	book("44-workbook-down.xlsx", func(f *excelize.File, put func(string, string, ...any)) {
		put("Sheet1", "A1", "Round", "Green", "Layer", "Organic matter %", "s.d. of organic matter %", "Remarks")
		put("Sheet1", "A2", "2026a", "Long 3", "0-20 mm", 4.2, 0.1)
		put("Sheet1", "A3", nil, nil, "20-40 mm", 2.9, 0.1)
		put("Sheet1", "A4", nil, nil, "40-60 mm", 2.1, 0.1, "stones")
		put("Sheet1", "A5", nil, "Long 7", "0-20 mm", 5.0, 0.2)
		put("Sheet1", "A6", nil, nil, "20-40 mm", 3.4, 0.1)
		put("Sheet1", "A7", nil, nil, "40-60 mm", 2.4, 0.1)
	})
}
