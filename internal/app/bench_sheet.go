package app

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/unit"
)

// RunSheet is the sheet of one furnace run as it is written down, all in the texts of its fields.
type RunSheet struct {
	Run    string            // as it is stored; blank for a new run
	Fields map[string]string // of the run, by [RunFields]
	Rows   []SheetRow
}

// SheetRow is one crucible of a sheet.
type SheetRow struct {
	WasSample, WasCrucible string            // the row it is stored as; blank for a new one
	Cells                  map[string]string // by [SheetColumns]
	Remove                 bool
	Remarks                []string          // what its repeated weighings say
	Before                 map[string]string // earlier weighings of a stage, in words
}

// SheetFault is a refusal about one field of a sheet.
type SheetFault struct {
	Row    int // −1 for a field of the run
	Column string
	Text   string
}

// RunFields are the fields of a run on its sheet; again_hours is the time between a first weighing and the one again.
func RunFields() []string {
	return []string{
		"furnace_run", "date", "by", "furnace", "balance", "balance_resolution_g", "dry_c", "dry_hours", "ash_c", "ash_hours", "tray_rows", "tray_columns",
		"again_hours", "note",
	}
}

// SheetColumns are the columns of a sheet; those again take a further weighing to constant mass.
func SheetColumns() []string {
	return []string{"place", "crucible", "kind", "sample", "tare_g", "moist_g", "dry_g", "dry_again_g", "ash_g", "ash_again_g"}
}

// Most a sheet may hold and the longest name of a run: far more than a furnace; common practice, no source.
const (
	mostSheetRows  = 500
	longestRunName = 80
)

// ofRun are the fields of a sheet that the record of a run has.
func ofRun(field string) bool {
	_, ok := underfoot.Runs.Column(field)
	return ok
}

// RunSheet gives the sheet of a run as it is stored, or, for a blank name, one for a new run with what was last used and
// a row for every composite that waits.
func (s *Standing) RunSheet(run string) (RunSheet, bool) {
	if run == "" {
		return s.newSheet(), true
	}
	r := s.Quality.Run(run)
	record := s.furnaceRun(run)
	if r == nil && record == nil {
		return RunSheet{}, false
	}
	sheet := RunSheet{Run: run, Fields: map[string]string{"furnace_run": run}}
	if record != nil {
		for i, c := range underfoot.Runs.Columns {
			sheet.Fields[c.Name] = underfoot.Runs.Cell(record, i)
		}
	}
	if r == nil {
		return sheet, true
	}
	for i := range r.Crucibles {
		w := &r.Crucibles[i]
		sheet.Rows = append(sheet.Rows, s.sheetRow(w))
		for field, column := range map[string]string{"dry_c": "dry_c", "ash_c": "ash_c", "ash_hours": "ash_hours", "balance_resolution_g": "balance_resolution_g"} {
			if sheet.Fields[field] == "" {
				sheet.Fields[field] = weighingCell(w, column)
			}
		}
	}
	return sheet, true
}

func (s *Standing) furnaceRun(name string) *underfoot.FurnaceRun {
	for i := range s.Records.Runs {
		if s.Records.Runs[i].ID == name {
			return &s.Records.Runs[i]
		}
	}
	return nil
}

func weighingCell(w *underfoot.Weighing, column string) string {
	i, _ := underfoot.Weighings.Column(column)
	return underfoot.Weighings.Cell(w, i)
}

// sheetRow is a stored weighing as a row.
func (s *Standing) sheetRow(w *underfoot.Weighing) SheetRow {
	row := SheetRow{WasSample: w.Sample, WasCrucible: w.Crucible, Cells: map[string]string{}, Before: map[string]string{}}
	for _, c := range SheetColumns() {
		if i, ok := underfoot.Weighings.Column(c); ok {
			row.Cells[c] = underfoot.Weighings.Cell(w, i)
		}
	}
	row.Cells["kind"] = cmp.Or(w.Kind, "sample")
	for _, p := range s.Records.TrayPlaces {
		if p.FurnaceRun == w.FurnaceRun && p.Crucible == w.Crucible {
			row.Cells["place"] = p.Place
		}
	}
	for _, stage := range []bench.Stage{bench.StageDry, bench.StageAsh} {
		list := s.repeats(w, stage)
		if len(list) == 0 {
			continue
		}
		words := make([]string, len(list))
		for i, r := range list {
			words[i] = underfoot.FormatNumber(r.MassG)
		}
		row.Before[string(stage)+"_g"] = "weighed " + strings.Join(words, ", ")
		if m, ok := constancy(w, stage, list); ok && !m.Settled() {
			row.Remarks = append(row.Remarks, m.String())
		}
	}
	return row
}

// repeats are the weighings of a stage of one crucible, in order.
func (s *Standing) repeats(w *underfoot.Weighing, stage bench.Stage) []underfoot.Repeat {
	return repeatsOf(s.Records, w, stage)
}

func repeatsOf(rs *underfoot.Records, w *underfoot.Weighing, stage bench.Stage) []underfoot.Repeat {
	var out []underfoot.Repeat
	for _, r := range rs.Repeats {
		if r.Sample == w.Sample && r.Crucible == w.Crucible && r.Stage == string(stage) {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b underfoot.Repeat) int { return cmp.Compare(a.N, b.N) })
	return out
}

// constancy judges the repeated weighings of a stage; ok is false where they cannot be judged.
func constancy(w *underfoot.Weighing, stage bench.Stage, list []underfoot.Repeat) (bench.ConstantMass, bool) {
	if len(list) < 2 {
		return bench.ConstantMass{}, false
	}
	weighed := make([]bench.Weighed, len(list))
	for i, r := range list {
		weighed[i] = bench.Weighed{Mass: unit.Grams(r.MassG), Hours: r.Hours.Ptr()}
	}
	m, err := bench.Constant(stage, unit.Grams(w.TareG.Or(0)), weighed, grams(w.ResolutionG))
	return m, err == nil
}

// constantMass warns of composites whose repeated weighings did not come to constant mass.
func constantMass(rs *underfoot.Records, rows []BenchRow) {
	if len(rs.Repeats) == 0 {
		return
	}
	type dish struct{ sample, crucible string }
	by := map[dish][]underfoot.Repeat{}
	for _, r := range rs.Repeats {
		d := dish{r.Sample, r.Crucible}
		by[d] = append(by[d], r)
	}
	for i := range rows {
		row := &rows[i]
		for k := range row.Burnt {
			w := &row.Burnt[k]
			own := underfoot.Records{Repeats: by[dish{w.Sample, w.Crucible}]}
			for _, stage := range []bench.Stage{bench.StageDry, bench.StageAsh} {
				if m, ok := constancy(w, stage, repeatsOf(&own, w, stage)); ok && !m.Settled() {
					row.Warnings = append(row.Warnings, "crucible "+w.Crucible+": "+m.String())
				}
			}
		}
	}
}

// newSheet offers what was last used and a row for every composite that waits for the furnace, with a blank and a
// control before them.
func (s *Standing) newSheet() RunSheet {
	sheet := RunSheet{Fields: map[string]string{"date": s.Today.String()}}
	if len(s.Quality.Runs) > 0 {
		last := -1
		for i := range s.Quality.Runs {
			if s.Quality.Runs[i].Dated && s.Quality.Runs[i].Name != "" {
				last = i
			}
		}
		if last >= 0 {
			old, _ := s.RunSheet(s.Quality.Runs[last].Name)
			for _, f := range []string{"furnace", "balance", "balance_resolution_g", "dry_c", "dry_hours", "ash_c", "ash_hours", "tray_rows", "tray_columns"} {
				sheet.Fields[f] = old.Fields[f]
			}
		}
	}
	row := func(kind, sample string) {
		sheet.Rows = append(sheet.Rows, SheetRow{Cells: map[string]string{"kind": kind, "sample": sample}})
	}
	waiting := s.Waiting()
	if len(waiting) > 0 {
		row("blank", "")
		if len(s.Records.Controls) > 0 {
			row("control", s.Records.Controls[0].ID)
		}
	}
	for _, w := range waiting[:min(len(waiting), 60)] {
		row("sample", w.ID)
	}
	if places := trayOrder(sheet.Fields["tray_rows"], sheet.Fields["tray_columns"]); len(places) >= len(sheet.Rows) {
		for i := range sheet.Rows {
			sheet.Rows[i].Cells["place"] = places[i]
		}
	}
	return sheet
}

// Waiting are the composites of the newest round that were neither weighed nor reported, from green to green.
func (s *Standing) Waiting() []underfoot.Sample {
	have := map[string]bool{}
	for _, w := range s.Records.Weighings {
		if w.OfSample() {
			have[w.Sample] = true
		}
	}
	for _, r := range s.Records.Results {
		have[r.Sample] = true
	}
	newest := underfoot.Date(0)
	round := ""
	for _, x := range s.Records.Samples {
		if x.Date >= newest {
			newest, round = x.Date, x.RoundLabel()
		}
	}
	var out []underfoot.Sample
	for _, x := range byDate(s.Records.Samples) {
		if !have[x.ID] && x.RoundLabel() == round {
			out = append(out, *x)
		}
	}
	return out
}

// trayOrder lists the places of a tray row by row, A1 first; none when its size is not known.
func trayOrder(rows, columns string) []string {
	r, err1 := strconv.Atoi(rows)
	c, err2 := strconv.Atoi(columns)
	if err1 != nil || err2 != nil || r < 1 || c < 1 || r > 26 || c > 99 {
		return nil
	}
	out := make([]string, 0, r*c)
	for i := range r {
		for k := range c {
			out = append(out, PlaceName(i, k))
		}
	}
	return out
}

// PlaceName names a place of the tray, row and column counted from 0: "B3".
func PlaceName(row, column int) string { return string(rune('A'+row)) + strconv.Itoa(column+1) }

// PlaceAt reads the name of a place; ok is false for anything else.
func PlaceAt(name string) (row, column int, ok bool) {
	if len(name) < 2 || len(name) > 3 {
		return 0, 0, false
	}
	letter := name[0] &^ 0x20
	n, err := strconv.Atoi(name[1:])
	if letter < 'A' || letter > 'Z' || err != nil || n < 1 || name[1] == '+' {
		return 0, 0, false
	}
	return int(letter - 'A'), n - 1, true
}
