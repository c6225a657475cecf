package web

import (
	"cmp"
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

// Rows of a table on one page, new ones offered, and the most that are read from a form.
const (
	rowsOnPage  = 40
	rowsOffered = 5
	rowsMost    = 600
)

// tableView is a table as it stands in the form.
type tableView struct {
	table  *underfoot.Table
	rows   []app.TypedRow // of the form that was sent; nil to show what is on record
	faults []app.RowFault
	blank  int // new rows offered
	find   string
	page   int
}

// typedTable is the table an address names.
func typedTable(r *http.Request) (*underfoot.Table, error) {
	name := r.PathValue("table")
	var names []string
	for _, t := range app.TypedTables() {
		if t.Name == name {
			return t, nil
		}
		names = append(names, t.Name)
	}
	return nil, underfoot.Errorf(underfoot.NotFound, "there is no table %q to type into: %s are there", name, strings.Join(names, ", "))
}

// showTable shows a table of a course with its rows and empty ones to type into.
func (s *server) showTable(w http.ResponseWriter, r *http.Request) error {
	t, err := typedTable(r)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	n, _ := strconv.Atoi(q.Get("page"))
	v := tableView{table: t, blank: rowsOffered, find: strings.TrimSpace(q.Get("find")), page: max(n, 1)}
	return s.tablePage(w, r, http.StatusOK, v)
}

// saveTable stores what was typed, all of it or nothing.
func (s *server) saveTable(w http.ResponseWriter, r *http.Request) error {
	t, err := typedTable(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	course := r.PathValue("course")
	v := tableView{table: t, rows: sentRows(r, t, course), blank: rowsOffered, find: r.PostFormValue("find"), page: 1}
	if r.PostFormValue("do") == "more" {
		v.blank = 10
		return s.tablePage(w, r, http.StatusOK, v)
	}
	change, faults, err := s.app.SaveRows(r.Context(), s.who(w, r, ""), course, t, v.rows)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		v.faults, v.blank = faults, 0
		return s.tablePage(w, r, http.StatusUnprocessableEntity, v)
	}
	q := url.Values{}
	if v.find != "" {
		q.Set("find", v.find)
	}
	if change.ID != 0 {
		q.Set("done", strconv.FormatInt(change.ID, 10))
	}
	to := page.CoursePath(course, "table", t.Name)
	if len(q) > 0 {
		to += "?" + q.Encode()
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// sentRows are the rows of the form.
func sentRows(r *http.Request, t *underfoot.Table, course string) []app.TypedRow {
	n, _ := strconv.Atoi(r.PostFormValue("rows"))
	var out []app.TypedRow
	for i := range min(max(n, 0), rowsMost) {
		row := app.TypedRow{Cells: map[string]string{}, Remove: r.PostFormValue(fmt.Sprintf("r%d-remove", i)) != ""}
		var was []string
		if err := json.Unmarshal([]byte(r.PostFormValue(fmt.Sprintf("r%d-was", i))), &was); err == nil && len(was) > 0 {
			row.Was = append(underfoot.Key{course}, was...)
		}
		for _, c := range t.Columns {
			name := fmt.Sprintf("r%d-%s", i, c.Name)
			if _, there := r.PostForm[name]; there && !app.HiddenColumn(t, c.Name) {
				row.Cells[c.Name] = strings.TrimSpace(r.PostFormValue(name))
			}
		}
		out = append(out, row)
	}
	return out
}

// tablePage writes the page.
func (s *server) tablePage(w http.ResponseWriter, r *http.Request, status int, v tableView) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	t, id := v.table, st.Records.Course.ID
	p := page.RowsPage{
		Frame: s.courseFrame(r, st, t.Title, ""), Course: id, Table: t.Name, Title: t.Title, Find: v.find,
		Because: tableWords[t.Name].because, Note: tableWords[t.Name].note,
	}
	p.Frame.Scripts = append(p.Frame.Scripts, "table")
	for _, other := range app.TypedTables() {
		p.Others = append(p.Others, page.Link{Href: page.CoursePath(id, "table", other.Name), Text: other.Title})
	}
	for i := range t.Columns {
		if c := &t.Columns[i]; !app.HiddenColumn(t, c.Name) {
			p.Columns = append(p.Columns, rowColumn(t, c))
		}
	}
	p.Lists = rowLists(st.Records, p.Columns)
	records := recordsOf(st.Records, t)
	p.Statement = capital(page.CountWords(len(records), "row", "rows")) + " of " + strings.ToLower(t.Title) + "."
	if len(records) == 0 {
		p.Statement = "No " + strings.ToLower(t.Title) + " yet."
	}
	if v.rows == nil {
		v.rows = onRecord(&p, records, v)
	}
	for range v.blank {
		v.rows = append(v.rows, app.TypedRow{Cells: map[string]string{}})
	}
	layRows(&p, t, v)
	p.Frame.Taken = true
	return s.send.page(w, r, status, page.RowsTable(p))
}

// recordsOf are the rows of a table, newest first where they have a day.
func recordsOf(rs *underfoot.Records, t *underfoot.Table) []underfoot.Record {
	var out []underfoot.Record
	rs.Each(func(r underfoot.Record) {
		if r.Table() == t {
			out = append(out, r)
		}
	})
	if i, ok := t.Column("date"); ok {
		slices.SortStableFunc(out, func(a, b underfoot.Record) int { return cmp.Compare(t.Cell(b, i), t.Cell(a, i)) })
	}
	return out
}

// onRecord takes the rows of the page that is asked for.
func onRecord(p *page.RowsPage, records []underfoot.Record, v tableView) []app.TypedRow {
	t := v.table
	if v.find != "" {
		words := strings.Fields(strings.ToLower(v.find))
		records = slices.DeleteFunc(slices.Clone(records), func(r underfoot.Record) bool {
			text := ""
			for name, cell := range t.Cells(r) {
				if !app.HiddenColumn(t, name) {
					text += " " + strings.ToLower(cell)
				}
			}
			return !containsAll(text, words)
		})
	}
	pages := max((len(records)+rowsOnPage-1)/rowsOnPage, 1)
	at := min(v.page, pages)
	from := (at - 1) * rowsOnPage
	to := min(from+rowsOnPage, len(records))
	p.Pages = fmt.Sprintf("%s to %s of %s", page.Num(float64(from+1), 0), page.Num(float64(to), 0), page.Num(float64(len(records)), 0))
	if _, dated := t.Column("date"); dated {
		p.Pages += ", newest first"
	}
	link := func(n int, text string) page.Link {
		q := url.Values{"page": {strconv.Itoa(n)}}
		if v.find != "" {
			q.Set("find", v.find)
		}
		return page.Link{Href: page.CoursePath(p.Course, "table", t.Name) + "?" + q.Encode(), Text: text}
	}
	if at > 1 {
		p.Less = link(at-1, "The page before")
	}
	if at < pages {
		p.More = link(at+1, "The next page")
	}
	var out []app.TypedRow
	for _, r := range records[from:to] {
		row := app.TypedRow{Was: t.Key(r), Cells: map[string]string{}}
		for i, c := range t.Columns {
			row.Cells[c.Name] = t.Cell(r, i)
		}
		out = append(out, row)
	}
	return out
}

func containsAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// layRows puts the rows into the form, new ones first, with what is wrong beside each field.
func layRows(p *page.RowsPage, t *underfoot.Table, v tableView) {
	index := 0
	for _, fresh := range []bool{true, false} {
		for i := range v.rows {
			row := &v.rows[i]
			if (row.Was == nil) != fresh {
				continue
			}
			out := page.TypedRow{Index: index, Removed: row.Remove}
			if row.Was != nil {
				was, _ := json.Marshal(row.Was[1:]) // strings can be written
				out.Was = string(was)
			}
			faults := map[string]string{}
			for _, f := range v.faults {
				if f.Row != i {
					continue
				}
				if f.Column == "" || app.HiddenColumn(t, f.Column) {
					out.Error = page.Sentence(f.Text)
					f.Column = p.Columns[0].Name
				} else {
					faults[f.Column] = page.Sentence(f.Text)
				}
				p.Errors = append(p.Errors, page.FieldError{
					Field: fmt.Sprintf("r%d-%s", index, f.Column), Text: fmt.Sprintf("Row %d, %s: %s", index+1, lowerFirst(rowLabel(f.Column)), page.Sentence(f.Text)),
				})
			}
			for _, c := range p.Columns {
				out.Cells = append(out.Cells, page.TypedCell{Column: c, Value: row.Cells[c.Name], Error: faults[c.Name]})
			}
			if fresh {
				p.New = append(p.New, out)
			} else {
				p.Rows = append(p.Rows, out)
			}
			index++
		}
	}
}

// rowLists are what the columns that name other rows may name.
func rowLists(rs *underfoot.Records, columns []page.RowColumn) []page.RowList {
	var out []page.RowList
	for _, c := range columns {
		if c.Kind != "list" {
			continue
		}
		l := page.RowList{ID: "l-" + c.Name}
		switch c.Name {
		case "green":
			for i := range rs.Greens {
				l.Options = append(l.Options, page.Choice{Value: rs.Greens[i].ID, Text: rs.Greens[i].Title()})
			}
		case "rootzone_sand", "sand":
			for i := range rs.Sands {
				l.Options = append(l.Options, page.Choice{Value: rs.Sands[i].ID, Text: rs.Sands[i].Title()})
			}
		case "source":
			for i := range rs.Sands {
				l.Options = append(l.Options, page.Choice{Value: "sand:" + rs.Sands[i].ID, Text: rs.Sands[i].Title()})
			}
			for i := range rs.Samples {
				l.Options = append(l.Options, page.Choice{Value: "sample:" + rs.Samples[i].ID})
			}
		case "sample":
			for i := range rs.Samples {
				l.Options = append(l.Options, page.Choice{Value: rs.Samples[i].ID, Text: rs.Samples[i].Green + " " + rs.Samples[i].Layer()})
			}
		}
		out = append(out, l)
	}
	return out
}
