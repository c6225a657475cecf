package web

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/labsheet"
	"underfoot/internal/web/page"
)

// labDraft is a laboratory's sheet that waits for a person to point at its columns.
type labDraft struct {
	book *labsheet.Book
	at   time.Time

	mu   sync.Mutex
	form url.Values // as it was sent last
}

// labDrafts are the sheets that wait.
type labDrafts struct {
	mu sync.Mutex
	by map[string]*labDraft
}

func (ds *labDrafts) add(b *labsheet.Book, now time.Time) string {
	var name [16]byte
	rand.Read(name[:])
	id := hex.EncodeToString(name[:])
	ds.mu.Lock()
	defer ds.mu.Unlock()
	if ds.by == nil {
		ds.by = map[string]*labDraft{}
	}
	for old, d := range ds.by {
		if now.Sub(d.at) > draftLife {
			delete(ds.by, old)
		}
	}
	for len(ds.by) >= draftsMost {
		oldest := ""
		for old, d := range ds.by {
			if oldest == "" || d.at.Before(ds.by[oldest].at) {
				oldest = old
			}
		}
		delete(ds.by, oldest)
	}
	ds.by[id] = &labDraft{book: b, at: now, form: url.Values{}}
	return id
}

func (ds *labDrafts) get(id string) *labDraft {
	ds.mu.Lock()
	defer ds.mu.Unlock()
	return ds.by[id]
}

func (ds *labDrafts) remove(id string) {
	ds.mu.Lock()
	defer ds.mu.Unlock()
	delete(ds.by, id)
}

// labSheetIn returns the laboratory's sheet that was uploaded, if it is one file that is no table of a package; nil for
// a package.
func labSheetIn(folder string) (*labsheet.Book, error) {
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) != 1 {
		return nil, nil
	}
	name := entries[0].Name()
	ext := strings.ToLower(filepath.Ext(name))
	workbook := ext == ".xlsx" || ext == ".xlsm"
	if !workbook && ext != ".csv" && ext != ".txt" && ext != ".tsv" {
		return nil, nil
	}
	for _, t := range underfoot.Tables() {
		if strings.EqualFold(name, t.Name+".csv") {
			return nil, nil
		}
	}
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		return nil, err
	}
	b, err := app.ReadSheet(name, data)
	if err != nil {
		if workbook {
			return nil, err
		}
		return nil, nil
	}
	for i := range b.Sheets {
		if b.Sheets[i].Width() > 1 {
			return b, nil
		}
	}
	return nil, nil // words alone are no table
}

func (s *server) labDraft(r *http.Request) (*labDraft, error) {
	d := s.labs.get(r.PathValue("draft"))
	if d == nil {
		return nil, underfoot.Errorf(underfoot.NotFound, "this sheet is no longer waiting: it was brought in, discarded, or left for more than an hour; choose the file again")
	}
	return d, nil
}

// showLabSheet shows a sheet that waits, as it was pointed at last.
func (s *server) showLabSheet(w http.ResponseWriter, r *http.Request) error {
	d, err := s.labDraft(r)
	if err != nil {
		return err
	}
	d.mu.Lock()
	form := d.form
	d.mu.Unlock()
	return s.labPage(w, r, http.StatusOK, d, form, nil)
}

// mapLabSheet takes what a person points at; it shows the sheet again, keeps the mapping, or brings the sheet in.
func (s *server) mapLabSheet(w http.ResponseWriter, r *http.Request) error {
	d, err := s.labDraft(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	form := r.PostForm
	d.mu.Lock()
	d.form = form
	d.mu.Unlock()
	switch form.Get("do") {
	case "discard":
		s.labs.remove(r.PathValue("draft"))
		http.Redirect(w, r, "/import", http.StatusSeeOther)
		return nil
	case "store", "save":
		return s.takeLabSheet(w, r, d, form)
	}
	return s.labPage(w, r, http.StatusOK, d, form, nil)
}

// takeLabSheet brings the sheet in, or keeps its mapping only.
func (s *server) takeLabSheet(w http.ResponseWriter, r *http.Request, d *labDraft, form url.Values) error {
	v, err := s.labView(r, d, form)
	if err != nil {
		return s.labPage(w, r, http.StatusUnprocessableEntity, d, form, err)
	}
	who := s.who(w, r, "")
	name := strings.TrimSpace(form.Get("mapping"))
	if form.Get("do") == "save" {
		change, err := s.app.SaveMapping(r.Context(), who, v.order.Course, name, v.rule)
		if err != nil {
			return s.labPage(w, r, http.StatusUnprocessableEntity, d, form, err)
		}
		to := "/sheet/" + r.PathValue("draft")
		if change.ID != 0 {
			to += "?done=" + strconv.FormatInt(change.ID, 10)
		}
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	v.order.SaveAs = name
	taken, err := s.app.ImportSheet(r.Context(), who, d.book, v.rule, v.order)
	if err != nil {
		return s.labPage(w, r, http.StatusUnprocessableEntity, d, form, err)
	}
	s.labs.remove(r.PathValue("draft"))
	to := page.CoursePath(v.order.Course)
	if taken.Change.ID != 0 {
		to += "?done=" + strconv.FormatInt(taken.Change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// labView is a sheet with the rule that a form says and what it would bring.
type labView struct {
	courses []underfoot.Course
	saved   []app.SavedMapping
	using   string // name of the saved mapping the rule comes from
	rule    labsheet.Rule
	reasons []string
	order   app.LabOrder
	preview *app.LabPreview
	groups  int
}

// labView works out the rule that the form says. An error is of a rule that does not fit; what is known is returned
// with it.
func (s *server) labView(r *http.Request, d *labDraft, form url.Values) (*labView, error) {
	v := &labView{order: app.LabOrder{Course: form.Get("course"), Greens: map[string]string{}, Partial: form.Get("partial") != ""}}
	var err error
	if v.courses, err = s.app.Store.Courses(r.Context()); err != nil {
		return v, err
	}
	if len(v.courses) == 0 {
		return v, underfoot.Errorf(underfoot.NotFound, "there is no course yet: bring in its package first, then the sheet")
	}
	if v.order.Course == "" {
		v.order.Course = v.courses[0].ID
	}
	words, greens := form["green-words"], form["green"]
	for i := range words {
		if form.Get("course-was") != v.order.Course {
			break // they are of another course
		}
		if i < len(greens) && greens[i] != "" {
			v.order.Greens[words[i]] = greens[i]
		}
	}
	if v.saved, err = s.app.Mappings(r.Context(), v.order.Course); err != nil {
		return v, err
	}
	if err := v.ruleOf(d.book, form); err != nil {
		return v, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	v.preview, err = s.app.PreviewSheet(r.Context(), d.book, v.rule, v.order)
	if err != nil {
		return v, err
	}
	v.rule = v.preview.Rule
	return v, nil
}

// ruleOf makes the rule: a saved one, a fresh proposal, or the one of the form with what was pointed at.
func (v *labView) ruleOf(b *labsheet.Book, form url.Values) error {
	v.using = form.Get("saved")
	fresh := form.Get("rule") == ""
	if fresh && v.using == "" {
		var list []labsheet.Saved
		for _, m := range v.saved {
			list = append(list, m.Saved)
		}
		if found, ok := labsheet.Recognise(b, list); ok {
			v.using, v.rule = found.Name, found.Rule
			v.reasons = append(v.reasons, "Its headings are those of the mapping "+found.Name+", which is used.")
			return nil
		}
	}
	if v.using != "" && v.using != form.Get("saved-was") {
		for _, m := range v.saved {
			if m.Name == v.using {
				v.rule = m.Rule
				return nil
			}
		}
		return errors.New("mapping " + v.using + " is not there any more: choose another, or point at the columns")
	}
	if fresh {
		p := labsheet.Propose(b, labsheet.Wish{})
		v.rule, v.reasons = p.Rule, p.Reasons
		return nil
	}
	base, err := labsheet.ParseRule([]byte(form.Get("rule")))
	if err != nil {
		return err
	}
	headAt, _ := strconv.Atoi(form.Get("head-at"))
	head, _ := strconv.Atoi(form.Get("head"))
	kind := labsheet.Kind(form.Get("kind"))
	if kind != base.Kind || form.Get("sheet") != base.Sheet || headAt != base.HeadAt || head != base.Head {
		w := labsheet.Wish{Sheet: form.Get("sheet"), HeadAt: headAt, Head: head, Kind: kind}
		if w.Sheet != base.Sheet {
			w = labsheet.Wish{Sheet: w.Sheet}
		}
		p := labsheet.Propose(b, w)
		v.rule, v.reasons = p.Rule, p.Reasons
		return v.rule.Check()
	}
	return v.pointed(b, base, form)
}

// pointed changes a rule by the selects of its columns and the fields around them.
func (v *labView) pointed(b *labsheet.Book, base labsheet.Rule, form url.Values) error {
	heads := labsheet.Headings(b, base)
	was := map[int]labsheet.Column{}
	for _, c := range base.Columns {
		was[c.At] = c
	}
	rule := base
	for i := 1; i <= len(heads) && i <= mostLabColumns; i++ {
		id := "c" + strconv.Itoa(i) + "-"
		if !form.Has(id + "field") {
			continue
		}
		f := labsheet.Field(form.Get(id + "field"))
		group, _ := strconv.Atoi(form.Get(id + "group"))
		old, had := was[i]
		if (had && old.Field != f) || (!had && f != "") {
			if old.Name != "" {
				rule.NamesAbove = false
			}
			rule = rule.PointAt(b, i, f, group)
			continue
		}
		for k := range rule.Columns {
			c := &rule.Columns[k]
			if c.At != i {
				continue
			}
			if form.Has(id + "unit") {
				c.Unit = form.Get(id + "unit")
			}
			if form.Has(id + "mark") {
				c.Mark = labsheet.Mark(form.Get(id + "mark"))
			}
			if form.Has(id + "group") {
				c.Group = group
			}
		}
	}
	v.groups, _ = strconv.Atoi(form.Get("groups"))
	if form.Has("dates") {
		rule.Dates = labsheet.Order(form.Get("dates"))
	}
	if form.Has("measure") {
		rule.Measure = labsheet.Measure(form.Get("measure"))
	}
	if form.Has("depths") {
		rule.Depths = form.Get("depths")
	}
	if form.Has("openings") {
		rule.Openings = form.Get("openings")
	}
	rule.Fixed = map[labsheet.Field]string{}
	for name, list := range form {
		if f, ok := strings.CutPrefix(name, "fixed-"); ok && len(list) > 0 && strings.TrimSpace(list[0]) != "" {
			rule.Fixed[labsheet.Field(f)] = strings.TrimSpace(list[0])
		}
	}
	v.rule = rule
	return rule.Check()
}
