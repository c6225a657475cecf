package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
)

// written is a sheet turned into records.
type written struct {
	name     string
	run      underfoot.FurnaceRun
	put      []underfoot.Weighing
	repeats  []underfoot.Repeat
	places   []underfoot.TrayPlace
	gone     []underfoot.Weighing // stored as they were, to be taken out
	goneN    []underfoot.Repeat
	unplaced []underfoot.TrayPlace
}

// reader goes over a sheet and notes what is wrong with it.
type sheetReader struct {
	s      *Standing
	sheet  *RunSheet
	out    written
	faults []SheetFault
	places map[string]int // row by place
	dishes map[string]int // row by crucible
	keys   map[[2]string]int
}

func (r *sheetReader) fault(row int, column, format string, args ...any) {
	r.faults = append(r.faults, SheetFault{row, column, fmt.Sprintf(format, args...)})
}

// CheckSheet says what is wrong with a sheet, field by field; nil when it can be stored.
func (s *Standing) CheckSheet(sheet *RunSheet) []SheetFault {
	r := s.readSheet(sheet)
	return r.faults
}

func (s *Standing) readSheet(sheet *RunSheet) *sheetReader {
	r := &sheetReader{s: s, sheet: sheet, places: map[string]int{}, dishes: map[string]int{}, keys: map[[2]string]int{}}
	r.run()
	if len(sheet.Rows) > mostSheetRows {
		r.fault(-1, "furnace_run", "%d rows: a sheet holds up to %d, one furnace run", len(sheet.Rows), mostSheetRows)
		return r
	}
	for i := range sheet.Rows {
		r.row(i)
	}
	r.tray()
	return r
}

// run reads the fields of the run.
func (r *sheetReader) run() {
	r.out.name = r.sheet.Run
	if r.out.name == "" {
		r.out.name = strings.TrimSpace(r.sheet.Fields["furnace_run"])
		switch {
		case r.out.name == "":
			r.fault(-1, "furnace_run", "a run needs a name, such as %s-1: its results, its checks and its release hang on it", r.s.Today)
		case len([]rune(r.out.name)) > longestRunName:
			r.fault(-1, "furnace_run", "a name of %d characters: give up to %d", len([]rune(r.out.name)), longestRunName)
		case r.s.Quality.Run(r.out.name) != nil || r.s.furnaceRun(r.out.name) != nil:
			r.fault(-1, "furnace_run", "run %q is there already: open its sheet, or give this one another name", r.out.name)
		}
	}
	run := underfoot.FurnaceRun{Course: r.s.Records.Course.ID}
	if old := r.s.furnaceRun(r.out.name); old != nil {
		run = *old
		run.Extra = old.Extra
	}
	for _, field := range RunFields() {
		if !ofRun(field) || field == "furnace_run" {
			continue
		}
		i, _ := underfoot.Runs.Column(field)
		if err := underfoot.Runs.SetCell(&run, i, strings.TrimSpace(r.sheet.Fields[field])); err != nil {
			r.fault(-1, field, "%s", err.Error())
		}
	}
	run.ID = r.out.name
	if run.Date.Known && run.Date.Value > r.s.Today {
		r.fault(-1, "date", "%s is still to come: give the day it was burnt, up to today, %s", run.Date.Value, r.s.Today)
	}
	for _, f := range run.Check() {
		r.fault(-1, f.Column, "%s", f.Text)
	}
	for _, field := range []string{"balance_resolution_g"} { // belongs to the weighings
		var w underfoot.Weighing
		i, _ := underfoot.Weighings.Column(field)
		if err := underfoot.Weighings.SetCell(&w, i, strings.TrimSpace(r.sheet.Fields[field])); err != nil {
			r.fault(-1, field, "%s", err.Error())
		}
	}
	if t := strings.TrimSpace(r.sheet.Fields["again_hours"]); t != "" {
		if v, err := underfoot.ParseNumber(t); err != nil || !(v >= 0 && v <= 1000) {
			r.fault(-1, "again_hours", "%q: give the hours between the two weighings, 0 to 1000, or leave it out", t)
		}
	}
	r.out.run = run
}

// row reads one crucible.
func (r *sheetReader) row(i int) {
	x := &r.sheet.Rows[i]
	cell := func(c string) string { return strings.TrimSpace(x.Cells[c]) }
	old := r.stored(x)
	if x.Remove {
		if old != nil {
			r.remove(old)
		}
		return
	}
	masses := ""
	for _, c := range SheetColumns() {
		if strings.HasSuffix(c, "_g") {
			masses += cell(c)
		}
	}
	if cell("crucible") == "" {
		switch {
		case old != nil:
			r.fault(i, "crucible", "the crucible of a stored row cannot be blank: name it, or tick to take the row out")
		case masses != "":
			r.fault(i, "crucible", "which crucible? Write down its number")
		}
		return // a row that only offers a composite
	}
	w := underfoot.Weighing{Course: r.s.Records.Course.ID}
	if old != nil {
		w = *old
	}
	w.FurnaceRun, w.Crucible, w.Sample, w.Kind = r.out.name, cell("crucible"), cell("sample"), cmp.Or(cell("kind"), "sample")
	r.named(i, &w)
	r.masses(i, &w, cell)
	r.common(&w)
	for _, f := range w.Check() {
		r.fault(i, f.Column, "%s", f.Text)
	}
	if first, ok := r.dishes[w.Crucible]; ok {
		r.fault(i, "crucible", "crucible %s stands in row %d already: a crucible goes into a run once", w.Crucible, first+1)
	}
	r.dishes[w.Crucible] = i
	r.keys[[2]string{w.Sample, w.Crucible}] = i
	if old != nil && (old.Sample != w.Sample || old.Crucible != w.Crucible) {
		r.remove(old)
	}
	r.again(i, &w, old, cell)
	r.out.put = append(r.out.put, w)
	if p := cell("place"); p != "" {
		r.place(i, p, w.Crucible)
	}
}

// stored finds the weighing a row was stored as.
func (r *sheetReader) stored(x *SheetRow) *underfoot.Weighing {
	if x.WasCrucible == "" {
		return nil
	}
	for i := range r.s.Records.Weighings {
		w := &r.s.Records.Weighings[i]
		if w.Sample == x.WasSample && w.Crucible == x.WasCrucible && w.FurnaceRun == r.sheet.Run {
			return w
		}
	}
	return nil
}

func (r *sheetReader) remove(w *underfoot.Weighing) {
	r.out.gone = append(r.out.gone, *w)
	for _, x := range r.s.Records.Repeats {
		if x.Sample == w.Sample && x.Crucible == w.Crucible {
			r.out.goneN = append(r.out.goneN, x)
		}
	}
}

// named checks what the crucible holds.
func (r *sheetReader) named(i int, w *underfoot.Weighing) {
	rs := r.s.Records
	if len([]rune(w.Crucible)) > longestRunName {
		r.fault(i, "crucible", "a name of %d characters: give up to %d", len([]rune(w.Crucible)), longestRunName)
	}
	switch w.Kind {
	case "sample", "duplicate":
		k := slices.IndexFunc(rs.Samples, func(s underfoot.Sample) bool { return s.ID == w.Sample })
		switch {
		case w.Sample == "":
			r.fault(i, "sample", "which composite? Write down the name on its bag")
		case k < 0:
			r.fault(i, "sample", "composite %q is not on this course: name one of its rounds, or bring the round in first", w.Sample)
		}
	case "control":
		if !slices.ContainsFunc(rs.Controls, func(c underfoot.Control) bool { return c.ID == w.Sample }) {
			var known []string
			for _, c := range rs.Controls {
				known = append(known, c.ID)
			}
			r.fault(i, "sample", "control material %q is not known (known: %s): add it to the control materials first", w.Sample, cmp.Or(strings.Join(known, ", "), "none"))
		}
	case "blank":
		if w.Sample == "" {
			w.Sample = "blank-" + r.out.name + "-" + w.Crucible
		}
	default:
		r.fault(i, "kind", "%q: use sample, duplicate, control or blank", w.Kind)
	}
	for k := range rs.Weighings {
		o := &rs.Weighings[k]
		if o.Sample == w.Sample && o.Crucible == w.Crucible && o.FurnaceRun != r.sheet.Run {
			r.fault(i, "crucible", "crucible %s with %s was burnt in run %s already: the same composite in the same crucible again needs another label", w.Crucible, w.Sample, cmp.Or(o.FurnaceRun, "without a name"))
		}
	}
}

// masses reads the masses of a row.
func (r *sheetReader) masses(i int, w *underfoot.Weighing, cell func(string) string) {
	for _, c := range []string{"tare_g", "moist_g", "dry_g", "ash_g"} {
		text, err := massText(cell(c))
		if err != nil {
			r.fault(i, c, "%s", err.Error())
			continue
		}
		k, _ := underfoot.Weighings.Column(c)
		if err := underfoot.Weighings.SetCell(w, k, text); err != nil {
			r.fault(i, c, "%s", err.Error())
		}
	}
}

// common puts what the run had in common into a weighing.
func (r *sheetReader) common(w *underfoot.Weighing) {
	for _, c := range []string{"dry_c", "ash_c", "ash_hours", "balance_resolution_g"} {
		if text := strings.TrimSpace(r.sheet.Fields[c]); text != "" {
			k, _ := underfoot.Weighings.Column(c)
			_ = underfoot.Weighings.SetCell(w, k, text) // refused with the field of the run already
		}
	}
}

// again takes the further weighings of a row: the one in weighings is the last, all of them are repeats.
func (r *sheetReader) again(i int, w, old *underfoot.Weighing, cell func(string) string) {
	hours, _ := underfoot.ParseNumber(strings.TrimSpace(r.sheet.Fields["again_hours"]))
	for _, stage := range []bench.Stage{bench.StageDry, bench.StageAsh} {
		column := string(stage) + "_g"
		var list []underfoot.Repeat
		if old != nil {
			for _, x := range r.s.repeats(old, stage) {
				x.Sample, x.Crucible, x.Kind = w.Sample, w.Crucible, w.Kind
				list = append(list, x)
			}
		}
		mass := &w.DryG
		if stage == bench.StageAsh {
			mass = &w.AshG
		}
		if n := len(list); n > 0 && mass.Known {
			list[n-1].MassG = mass.Value // the last weighing was corrected
		}
		text, err := massText(cell(string(stage) + "_again_g"))
		if err != nil {
			r.fault(i, string(stage)+"_again_g", "%s", err.Error())
			continue
		}
		if text != "" {
			if !mass.Known {
				r.fault(i, string(stage)+"_again_g", "the first weighing of this stage is missing: write it into the column before")
				continue
			}
			first := underfoot.Repeat{Course: w.Course, Sample: w.Sample, Crucible: w.Crucible, Stage: string(stage), N: 1, Kind: w.Kind, MassG: mass.Value, Hours: underfoot.Some(0.0)}
			if len(list) == 0 {
				list = append(list, first)
			}
			next := first
			next.N = list[len(list)-1].N + 1
			next.Hours = underfoot.Opt[float64]{}
			if before := list[len(list)-1]; hours > 0 && before.Hours.Known {
				next.Hours = underfoot.Some(before.Hours.Value + hours)
			}
			k, _ := underfoot.Weighings.Column(column)
			if err := underfoot.Weighings.SetCell(w, k, text); err != nil {
				r.fault(i, string(stage)+"_again_g", "%s", err.Error())
				continue
			}
			next.MassG = mass.Value
			list = append(list, next)
			for _, f := range w.Check() {
				if f.Column == column {
					r.fault(i, string(stage)+"_again_g", "%s", f.Text)
				}
			}
		}
		r.out.repeats = append(r.out.repeats, list...)
	}
}

// place takes where a crucible stands in the tray.
func (r *sheetReader) place(i int, name, crucible string) {
	row, column, ok := PlaceAt(name)
	if !ok {
		r.fault(i, "place", "place %q: give row and column of the tray, such as B3", name)
		return
	}
	name = PlaceName(row, column)
	run := &r.out.run
	if run.TrayRows.Known && row >= run.TrayRows.Value || run.TrayColumns.Known && column >= run.TrayColumns.Value {
		r.fault(i, "place", "place %s is not on a tray of %d rows and %d columns", name, run.TrayRows.Value, run.TrayColumns.Value)
		return
	}
	if first, taken := r.places[name]; taken {
		r.fault(i, "place", "place %s is taken by row %d", name, first+1)
		return
	}
	r.places[name] = i
	r.out.places = append(r.out.places, underfoot.TrayPlace{Course: r.s.Records.Course.ID, FurnaceRun: r.out.name, Place: name, Crucible: crucible})
}

// tray notes the places that are left.
func (r *sheetReader) tray() {
	for _, p := range r.s.Records.TrayPlaces {
		if _, kept := r.places[p.Place]; p.FurnaceRun == r.out.name && !kept {
			r.out.unplaced = append(r.out.unplaced, p)
		}
	}
}

// SaveSheet stores the sheet of a furnace run as one change. With faults nothing is stored.
func (a *App) SaveSheet(ctx context.Context, who string, s *Standing, sheet *RunSheet) (underfoot.Change, []SheetFault, error) {
	r := s.readSheet(sheet)
	if len(r.faults) > 0 {
		return underfoot.Change{}, r.faults, nil
	}
	courses, err := a.sharing(ctx, s.Records.Course.ID, r.out.name)
	if err != nil {
		return underfoot.Change{}, nil, err
	}
	change, err := a.Store.Change(ctx, who, "wrote down furnace run "+r.out.name, func(tx underfoot.Tx) error { return r.out.store(tx, courses) })
	return change, nil, err
}

// sharing are the courses that have a part in a run: this one, and all that have it on record.
func (a *App) sharing(ctx context.Context, course, run string) ([]string, error) {
	list, err := a.Store.Courses(ctx)
	if err != nil {
		return nil, err
	}
	out := []string{course}
	for _, c := range list {
		if c.ID == course {
			continue
		}
		if _, err := a.Store.Get(ctx, underfoot.Runs, underfoot.Key{c.ID, run}); err == nil {
			out = append(out, c.ID)
		} else if underfoot.KindOf(err) != underfoot.NotFound {
			return nil, err
		}
	}
	return out, nil
}

// store writes the records of a sheet. What is of the package – the run, its tray, blanks and controls – goes to every course
// that shares the run.
func (w *written) store(tx underfoot.Tx, courses []string) error {
	for _, c := range courses {
		for _, x := range w.goneN {
			if err := dropRecord(tx, &x, c, courses[0]); err != nil {
				return err
			}
		}
		for _, x := range w.gone {
			if err := dropRecord(tx, &x, c, courses[0]); err != nil {
				return err
			}
		}
		for _, x := range w.unplaced {
			if err := dropRecord(tx, &x, c, courses[0]); err != nil {
				return err
			}
		}
	}
	shared := map[[2]string]bool{}
	for _, c := range courses {
		w.run.Course = c
		if _, err := tx.Put(&w.run); err != nil {
			return err
		}
		for _, p := range w.places {
			p.Course = c
			if _, err := tx.Put(&p); err != nil {
				return err
			}
		}
		for _, x := range w.put {
			if x.OfSample() && c != courses[0] {
				continue
			}
			if x.Course = c; !x.OfSample() {
				shared[[2]string{x.Sample, x.Crucible}] = true
			}
			if _, err := tx.Put(&x); err != nil {
				return err
			}
		}
		for _, x := range w.repeats {
			if c != courses[0] && !shared[[2]string{x.Sample, x.Crucible}] {
				continue
			}
			x.Course = c
			if _, err := tx.Put(&x); err != nil {
				return err
			}
		}
	}
	return nil
}

// dropRecord deletes a record of a course, if it is there.
func dropRecord(tx underfoot.Tx, r underfoot.Record, course, own string) error {
	t := r.Table()
	t.SetCourse(r, course)
	key := t.Key(r)
	if has, err := tx.Has(t, key); err != nil || !has {
		return err
	}
	if course != own {
		if w, ok := r.(*underfoot.Weighing); ok && w.OfSample() {
			return nil
		}
	}
	return tx.Delete(t, key)
}
