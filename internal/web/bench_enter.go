package web

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// sheetView is a sheet with what is wrong with it and what became of it.
type sheetView struct {
	sheet           app.RunSheet
	faults          []app.SheetFault
	kept            string
	gone            bool // what was kept was let go a moment ago
	block, blockWhy string
}

// enterBench shows the sheet of a furnace run, or of a new one; what was sent before and could not be stored stands in it.
func (s *server) enterBench(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	run := r.URL.Query().Get("run")
	v := sheetView{}
	var ok bool
	if v.sheet, ok = st.RunSheet(run); !ok {
		return underfoot.Errorf(underfoot.NotFound, "course %q has no furnace run %q", st.Records.Course.ID, run)
	}
	kept, at, err := s.keptSheet(r.Context(), st.Records.Course.ID, run)
	if err != nil {
		return err
	}
	if kept != nil {
		v.sheet, v.kept = *kept, fmt.Sprintf("What was sent on %s could not be stored. It stands below with what is wrong.", at)
		v.faults = st.CheckSheet(&v.sheet)
	}
	if r.URL.Query().Has("gone") && kept == nil {
		gone, err := s.keptData(r.Context(), st.Records.Course.ID, goneKind+run)
		if err != nil {
			return err
		}
		v.gone = len(gone) > 0
	}
	if !slices.ContainsFunc(v.sheet.Rows, func(x app.SheetRow) bool { return x.WasCrucible == "" }) {
		addRows(&v.sheet, 4)
	}
	return s.sheetPage(w, r, http.StatusOK, st, v)
}

// saveBench stores a sheet, fills it from a pasted block, or adds rows to it.
func (s *server) saveBench(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	course, run := st.Records.Course.ID, r.PostFormValue("run")
	switch r.PostFormValue("do") {
	case "discard":
		if err := s.moveSheet(r.Context(), course, sheetKind+run, goneKind+run); err != nil {
			return err
		}
		http.Redirect(w, r, withQuery(enterHref(course, run), "gone", "1"), http.StatusSeeOther)
		return nil
	case "bring-back":
		if err := s.moveSheet(r.Context(), course, goneKind+run, sheetKind+run); err != nil {
			return err
		}
		http.Redirect(w, r, enterHref(course, run), http.StatusSeeOther)
		return nil
	}
	stored, ok := st.RunSheet(run)
	if !ok {
		return underfoot.Errorf(underfoot.NotFound, "course %q has no furnace run %q: what was typed is kept in your browser; open the sheet of a new run", course, run)
	}
	v := sheetView{sheet: sentSheet(r, stored)}
	switch r.PostFormValue("do") {
	case "more":
		addRows(&v.sheet, 4)
		return s.sheetPage(w, r, http.StatusOK, st, v)
	case "fill":
		rows, err := app.ReadBlock(r.PostFormValue("block"), "crucible")
		if err != nil {
			v.block, v.blockWhy = r.PostFormValue("block"), err.Error()
			return s.sheetPage(w, r, http.StatusUnprocessableEntity, st, v)
		}
		fillSheet(&v.sheet, rows)
		return s.sheetPage(w, r, http.StatusOK, st, v)
	}
	change, faults, err := s.app.SaveSheet(r.Context(), s.who(w, r, strings.TrimSpace(v.sheet.Fields["by"])), st, &v.sheet)
	if err != nil {
		if kerr := s.keepSheet(r.Context(), course, run, &v.sheet); kerr != nil {
			s.log.Error("keeping a sheet", "course", course, "run", run, "error", kerr)
		}
		return err
	}
	if len(faults) > 0 {
		v.faults = faults
		if err := s.keepSheet(r.Context(), course, run, &v.sheet); err != nil {
			return err
		}
		return s.sheetPage(w, r, http.StatusUnprocessableEntity, st, v)
	}
	if err := s.keepSheet(r.Context(), course, run, nil); err != nil {
		return err
	}
	name := cmp.Or(run, strings.TrimSpace(v.sheet.Fields["furnace_run"]))
	to := page.CoursePath(course, "bench") + "?run=" + url.QueryEscape(name)
	if change.ID != 0 {
		to += "&done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func enterHref(course, run string) string {
	to := page.CoursePath(course, "bench", "enter")
	if run != "" {
		to += "?run=" + url.QueryEscape(run)
	}
	return to
}

// sentSheet is the sheet as it was sent.
func sentSheet(r *http.Request, stored app.RunSheet) app.RunSheet {
	sheet := app.RunSheet{Run: stored.Run, Fields: map[string]string{}}
	for _, f := range app.RunFields() {
		sheet.Fields[f] = strings.TrimSpace(r.PostFormValue(f))
	}
	if stored.Run != "" {
		sheet.Fields["furnace_run"] = stored.Run
	}
	n, _ := strconv.Atoi(r.PostFormValue("rows"))
	for i := range min(max(n, 0), 600) {
		value := func(name string) string { return strings.TrimSpace(r.PostFormValue(fmt.Sprintf("r%d-%s", i, name))) }
		row := app.SheetRow{WasSample: value("was-sample"), WasCrucible: value("was-crucible"), Cells: map[string]string{}, Remove: value("remove") != ""}
		for _, c := range app.SheetColumns() {
			row.Cells[c] = value(c)
		}
		for _, old := range stored.Rows {
			if old.WasCrucible != "" && old.WasSample == row.WasSample && old.WasCrucible == row.WasCrucible {
				row.Before, row.Remarks = old.Before, old.Remarks
			}
		}
		sheet.Rows = append(sheet.Rows, row)
	}
	return sheet
}

func addRows(sheet *app.RunSheet, n int) {
	for range n {
		sheet.Rows = append(sheet.Rows, app.SheetRow{Cells: map[string]string{"kind": "sample"}})
	}
}

// fillSheet puts the rows of a block in: into the row of the same crucible or composite where there is one, else into the first
// row that holds no crucible and names no other composite, else into a new one.
func fillSheet(sheet *app.RunSheet, rows []map[string]string) {
	used := make([]bool, len(sheet.Rows))
	for _, cells := range rows {
		at := -1
		find := func(fits func(app.SheetRow) bool) {
			for i, x := range sheet.Rows {
				if at < 0 && i < len(used) && !used[i] && fits(x) {
					at = i
				}
			}
		}
		if c := cells["crucible"]; c != "" {
			find(func(x app.SheetRow) bool { return x.Cells["crucible"] == c })
		}
		if c := cells["sample"]; c != "" {
			find(func(x app.SheetRow) bool { return x.Cells["sample"] == c && x.Cells["crucible"] == "" })
		}
		find(func(x app.SheetRow) bool {
			return x.Cells["crucible"] == "" && (x.Cells["sample"] == "" || cells["sample"] == "") && (cells["kind"] == "" || x.Cells["kind"] == cells["kind"])
		})
		if at < 0 {
			addRows(sheet, 1)
			used = append(used, false)
			at = len(sheet.Rows) - 1
		}
		used[at] = true
		for c, text := range cells {
			sheet.Rows[at].Cells[c] = text
		}
	}
}

// Kinds of what is kept: a sheet that could not be stored, and one that was let go and can be brought back.
const (
	sheetKind = "bench-sheet:"
	goneKind  = "bench-sheet-gone:"
)

// moveSheet keeps a kept sheet under another kind.
func (s *server) moveSheet(ctx context.Context, course, from, to string) error {
	data, err := s.keptData(ctx, course, from)
	if err != nil || len(data) == 0 {
		return err
	}
	latest, err := s.app.Store.Latest(ctx, course)
	if err != nil {
		return err
	}
	if err := s.app.Store.Keep(ctx, underfoot.Kept{Course: course, Kind: to, Latest: latest, Data: data}); err != nil {
		return err
	}
	return s.app.Store.Keep(ctx, underfoot.Kept{Course: course, Kind: from, Latest: latest, Data: []byte{}})
}

// keptData is what is kept of a course under a kind; none where nothing is.
func (s *server) keptData(ctx context.Context, course, kind string) ([]byte, error) {
	list, err := s.app.Store.Kept(ctx, kind)
	if err != nil {
		return nil, err
	}
	for _, k := range list {
		if k.Course == course && len(k.Data) > 0 {
			return k.Data, nil
		}
	}
	return nil, nil
}

// withQuery adds a value to an address.
func withQuery(address, name, value string) string {
	sep := "?"
	if strings.Contains(address, "?") {
		sep = "&"
	}
	return address + sep + name + "=" + url.QueryEscape(value)
}

// keptNote is what is kept of a sheet that could not be stored.
type keptNote struct {
	At    string
	Sheet app.RunSheet
}

// keepSheet keeps a sheet that could not be stored; nil lets it go.
func (s *server) keepSheet(ctx context.Context, course, run string, sheet *app.RunSheet) error {
	data := []byte{}
	if sheet != nil {
		var err error
		if data, err = json.Marshal(keptNote{page.Day(s.app.Now()) + s.app.Now().Format(", 15:04"), *sheet}); err != nil {
			return err
		}
	} else if kept, _, err := s.keptSheet(ctx, course, run); err != nil || kept == nil {
		return err
	}
	latest, err := s.app.Store.Latest(ctx, course)
	if err != nil {
		return err
	}
	return s.app.Store.Keep(ctx, underfoot.Kept{Course: course, Kind: sheetKind + run, Latest: latest, Data: data})
}

func (s *server) keptSheet(ctx context.Context, course, run string) (*app.RunSheet, string, error) {
	data, err := s.keptData(ctx, course, sheetKind+run)
	if err != nil || len(data) == 0 {
		return nil, "", err
	}
	var note keptNote
	if err := json.Unmarshal(data, &note); err != nil {
		return nil, "", nil // of an older version: nothing a person could use
	}
	note.Sheet.Run = run
	return &note.Sheet, note.At, nil
}

// sheetPage lays a sheet out.
func (s *server) sheetPage(w http.ResponseWriter, r *http.Request, status int, st *standing, v sheetView) error {
	course := st.Records.Course.ID
	f := s.courseFrame(r, st, "Bench", "bench")
	f.Taken = true
	f.Scripts = append(f.Scripts, "bench")
	p := page.BenchEntry{Frame: f, Course: course, Run: v.sheet.Run, Kept: v.kept, Gone: v.gone, Block: v.block, BlockWhy: v.blockWhy}
	p.Title, p.Because = sheetSays(st, v.sheet)
	p.Fields = sheetFields(v)
	p.Columns = sheetColumns()
	waiting := st.Waiting()
	for i, x := range v.sheet.Rows {
		row := entryRow(i, x, p.Columns, v.faults)
		if x.WasCrucible == "" && slices.ContainsFunc(waiting, func(w underfoot.Sample) bool { return w.ID == x.Cells["sample"] }) {
			row.Key = "waiting " + x.Cells["sample"]
		}
		p.Rows = append(p.Rows, row)
	}
	for _, f := range v.faults {
		e := page.FieldError{Field: f.Column, Text: page.Sentence(f.Text)}
		if f.Row >= 0 {
			e = page.FieldError{Field: fmt.Sprintf("r%d-%s", f.Row, f.Column), Text: fmt.Sprintf("Row %d, %s: %s", f.Row+1, columnLabel(f.Column), page.Sentence(f.Text))}
		}
		p.Errors = append(p.Errors, e)
	}
	for _, h := range st.TareHistories() {
		p.Crucibles = append(p.Crucibles, page.Crucible{Name: h.Crucible, Tare: underfoot.FormatNumber(float64(h.Last))})
	}
	for _, x := range waiting {
		p.Samples = append(p.Samples, page.Choice{Value: x.ID, Text: st.GreenTitle(x.Green) + ", " + x.Layer()})
	}
	for _, c := range st.Records.Controls {
		p.Samples = append(p.Samples, page.Choice{Value: c.ID, Text: "control material"})
	}
	return s.send.page(w, r, status, page.BenchEntryPage(p))
}

// sheetSays is the statement of a sheet.
func sheetSays(st *standing, sheet app.RunSheet) (says, because string) {
	if sheet.Run != "" {
		return "Run " + sheet.Run + ": its masses as they are written down.", "Fill in what is still to weigh, or correct what is wrong. Storing can be undone."
	}
	waiting := len(st.Waiting())
	if waiting == 0 {
		return "A new furnace run.", "No composite of the newest round waits for the furnace; name any composite of the course."
	}
	return "A new furnace run.", fmt.Sprintf("%s of the newest round wait for the furnace and are offered below; a row without a crucible is passed over.",
		page.Count(waiting, "composite", "composites"))
}

// sheetFields are the fields of the run.
func sheetFields(v sheetView) []page.Field {
	labels := map[string]page.Field{
		"furnace_run": {Label: "Name of the run", Wide: 3, Need: true}, "date": {Label: "Burnt on", Type: "date", Wide: 3}, "by": {Label: "By", Wide: 3},
		"furnace": {Label: "Furnace", Wide: 3}, "balance": {Label: "Balance", Wide: 3},
		"balance_resolution_g": {Label: "Its smallest step", Type: "number", Unit: "g", Wide: 3},
		"dry_c":                {Label: "Dried at", Type: "number", Unit: "°C", Wide: 3}, "dry_hours": {Label: "Dried for", Type: "number", Unit: "h", Wide: 3},
		"ash_c": {Label: "Burnt at", Type: "number", Unit: "°C", Wide: 3}, "ash_hours": {Label: "Burnt for", Type: "number", Unit: "h", Wide: 3},
		"tray_rows": {Label: "Rows of the tray", Type: "number", Wide: 3}, "tray_columns": {Label: "Columns of the tray", Type: "number", Wide: 3},
		"again_hours": {Label: "Weighed again after", Type: "number", Unit: "h", Wide: 3, Hint: "1 h or more, for dry again and ash again"},
		"note":        {Label: "Note", Wide: 6},
	}
	var out []page.Field
	for _, name := range app.RunFields() {
		f := labels[name]
		f.Name, f.Value = name, v.sheet.Fields[name]
		if f.Type == "" {
			f.Type = "text"
		}
		if name == "furnace_run" && v.sheet.Run != "" {
			continue
		}
		for _, x := range v.faults {
			if x.Row < 0 && x.Column == name && f.Error == "" {
				f.Error = page.Sentence(x.Text)
			}
		}
		out = append(out, f)
	}
	return out
}

func sheetColumns() []page.EntryColumn {
	units := map[string]string{}
	var out []page.EntryColumn
	for _, c := range app.SheetColumns() {
		mass := strings.HasSuffix(c, "_g")
		if mass {
			units[c] = "g"
		}
		out = append(out, page.EntryColumn{Name: c, Label: columnLabel(c), Unit: units[c], Mass: mass, Heads: strings.Join(app.BlockHeadings(c), "|")})
	}
	return out
}

// columnLabel is what people call a column of the sheet.
func columnLabel(c string) string {
	switch c {
	case "sample":
		return "Composite or control"
	case "kind":
		return "Holds"
	case "tare_g":
		return "Empty"
	case "moist_g":
		return "As it came"
	case "dry_g":
		return "Dry"
	case "dry_again_g":
		return "Dry again"
	case "ash_g":
		return "Ash"
	case "ash_again_g":
		return "Ash again"
	}
	return strings.ToUpper(c[:1]) + c[1:]
}

func entryRow(i int, x app.SheetRow, columns []page.EntryColumn, faults []app.SheetFault) page.EntryRow {
	row := page.EntryRow{Index: i, WasSample: x.WasSample, WasCrucible: x.WasCrucible, Taken: x.Remove}
	if x.WasCrucible != "" {
		row.Key = strings.TrimSpace(x.WasCrucible + " " + x.WasSample)
	}
	for _, m := range x.Remarks {
		row.Remarks = append(row.Remarks, page.Sentence(m))
	}
	for _, c := range columns {
		cell := page.EntryCell{Column: c, Value: x.Cells[c.Name], Before: x.Before[c.Name]}
		for _, f := range faults {
			if f.Row == i && f.Column == c.Name && cell.Error == "" {
				cell.Error = page.Sentence(f.Text)
			}
		}
		row.Cells = append(row.Cells, cell)
	}
	return row
}
