package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
	"underfoot/internal/web/page"
)

func megabytes(n int64) string { return page.Num(float64(n)/(1<<20), 0) + " MB" }

// showImport chooses a package.
func (s *server) showImport(w http.ResponseWriter, r *http.Request) error {
	return s.importPage(w, r, http.StatusOK, "", "")
}

func (s *server) importPage(w http.ResponseWriter, r *http.Request, status int, path, problem string) error {
	f := s.frame(r, "Bring in a package", "courses")
	f.Taken = true
	f.Scripts = []string{"upload"}
	return s.send.page(w, r, status, page.ImportPage(page.Import{Frame: f, Local: s.o.Local, Path: path, Error: problem, Limit: megabytes(s.limit)}))
}

// previewImport takes the files of a package, reads them without storing anything, and shows what they hold.
func (s *server) previewImport(w http.ResponseWriter, r *http.Request) error {
	root, folder := "", ""
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		u, err := receive(r)
		if underfoot.KindOf(err) == underfoot.Invalid && err != nil {
			return s.importPage(w, r, http.StatusUnprocessableEntity, "", page.Sentence(err.Error()))
		}
		if err != nil {
			return err
		}
		root, folder = u.root, u.folder
		b, err := labSheetIn(folder)
		if err != nil || b != nil {
			os.RemoveAll(root)
		}
		if err != nil {
			return s.importPage(w, r, http.StatusUnprocessableEntity, "", page.Sentence(err.Error()))
		}
		if b != nil {
			http.Redirect(w, r, "/sheet/"+s.labs.add(b, s.app.Now()), http.StatusSeeOther)
			return nil
		}
	} else {
		if err := parseForm(r); err != nil {
			return err
		}
		folder = strings.TrimSpace(r.PostFormValue("path"))
		if !s.o.Local {
			return underfoot.Errorf(underfoot.Forbidden, "a folder of the computer this runs on can be named only from that computer: send the files instead")
		}
		if problem := folderProblem(folder); problem != "" {
			return s.importPage(w, r, http.StatusUnprocessableEntity, folder, problem)
		}
	}
	d := s.drafts.add(root, folder)
	d.work(r.Context(), reading, ready, func(ctx context.Context, how app.Reading) (*app.Taken, error) {
		return s.app.Preview(ctx, d.folder, how)
	})
	d.wait(r.Context(), 1500*time.Millisecond)
	http.Redirect(w, r, "/import/"+d.id, http.StatusSeeOther)
	return nil
}

func folderProblem(folder string) string {
	if folder == "" {
		return "No folder was named: give the path of the folder that holds the tables."
	}
	info, err := os.Stat(folder)
	switch {
	case err != nil:
		return fmt.Sprintf("%s cannot be read: %v.", folder, errors.Unwrap(err))
	case !info.IsDir():
		return folder + " is a file: give the folder that holds the tables."
	}
	return ""
}

func (s *server) draft(r *http.Request) (*draft, error) {
	d := s.drafts.get(r.PathValue("draft"))
	if d == nil {
		return nil, underfoot.Errorf(underfoot.NotFound, "this package is no longer waiting: it was stored, discarded, or left for more than an hour; bring it in again")
	}
	return d, nil
}

// showDraft shows a package that waits, or how far it has been read or stored.
func (s *server) showDraft(w http.ResponseWriter, r *http.Request) error {
	d, err := s.draft(r)
	if err != nil {
		return err
	}
	d.wait(r.Context(), 300*time.Millisecond)
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.stage == stored {
		to := "/"
		if c := d.taken.Summary.Courses; len(c) == 1 {
			to = page.CoursePath(c[0])
			if d.taken.Change.ID != 0 {
				to += "?done=" + strconv.FormatInt(d.taken.Change.ID, 10)
			}
		}
		http.Redirect(w, r, to, http.StatusSeeOther)
		return nil
	}
	p := page.Draft{Frame: s.frame(r, "A package to store", "courses"), ID: d.id}
	p.Frame.Taken = true
	if d.stage == ready {
		d.describe(&p, r)
	} else {
		w.Header().Set("Refresh", "1")
		d.working(&p)
	}
	return s.send.page(w, r, http.StatusOK, page.DraftPage(p))
}

func (d *draft) working(p *page.Draft) {
	p.Statement, p.Working = "Reading the package.", "Reading"
	p.Because = "Nothing is stored while it is read."
	if d.stage == storing {
		p.Statement, p.Working = "Storing the package.", "Storing"
		p.Because = "It is stored whole or not at all: if this stops, nothing of it remains."
	}
	if d.total > 0 {
		p.Percent = int(100 * d.done / d.total)
		p.Working += fmt.Sprintf(", %s of %s", megabytes(d.done), megabytes(d.total))
		if d.total < 4<<20 {
			p.Working = fmt.Sprintf("%s, %d %%", strings.SplitN(p.Working, ",", 2)[0], p.Percent)
		}
	}
	p.Working += "."
}

// describe says what was read: problems, or what is new.
func (d *draft) describe(p *page.Draft, r *http.Request) {
	p.Problems = d.count
	for _, n := range d.notices {
		p.Notices = append(p.Notices, n.String()+".")
	}
	switch {
	case d.count > 0:
		p.Statement = capital(page.CountWords(d.count, "problem", "problems")) + " to set right before this can be stored."
		p.Because = "Nothing was stored."
		d.faults(p, r)
		return
	case d.err != nil:
		p.Statement = "This could not be read as a package."
		p.Because = page.Sentence(d.err.Error()) + " Nothing was stored."
		return
	}
	p.Ready = true
	courses := page.List(d.taken.Summary.Courses)
	p.Statement = "Ready to store: " + courses + "."
	p.Because = "No problem was found. Nothing is stored until you say so."
	if !d.taken.New() {
		p.Ready, p.Same = false, true
		if c := d.taken.Summary.Courses; len(c) == 1 {
			p.Course = page.CoursePath(c[0])
		}
		p.Statement = "All of it is here already: " + courses + "."
		p.Because = "Storing it would change nothing."
	}
	p.Counts = page.Table{Caption: "Rows", Head: []string{"Table", "New", "Changed", "The same", "Brought back"}}
	var sum app.TableTaken
	for _, t := range d.taken.Tables {
		p.Counts.Rows = append(p.Counts.Rows, countRow(t.Title, t))
		sum.Added, sum.Changed, sum.Same, sum.Restored = sum.Added+t.Added, sum.Changed+t.Changed, sum.Same+t.Same, sum.Restored+t.Restored
	}
	total := countRow("In all", sum)
	total.Total = true
	p.Counts.Rows = append(p.Counts.Rows, total)
	for file, columns := range d.taken.Summary.Unknown {
		p.Unknown = append(p.Unknown, fmt.Sprintf("%s: columns that are not known are kept aside and given back on export: %s.", file, page.List(columns)))
	}
}

func countRow(name string, t app.TableTaken) page.Row {
	n := func(v int) string {
		if v == 0 {
			return "–"
		}
		return page.Num(float64(v), 0)
	}
	return page.Row{Cells: []string{name, n(t.Added), n(t.Changed), n(t.Same), n(t.Restored)}}
}

const faultsOnPage = 100

// faults lists the problems, grouped by file, a hundred on a page.
func (d *draft) faults(p *page.Draft, r *http.Request) {
	file := r.URL.Query().Get("file")
	here := "/import/" + d.id
	count := map[string]int{}
	var files []string
	var shown []exchange.Problem
	for _, x := range d.problems {
		if count[x.File] == 0 {
			files = append(files, x.File)
		}
		count[x.File]++
		if file == "" || x.File == file {
			shown = append(shown, x)
		}
	}
	p.Files = append(p.Files, page.FileChip{Name: "All files", Href: here, Count: d.count, Current: file == ""})
	for _, f := range files {
		p.Files = append(p.Files, page.FileChip{Name: fileName(f), Href: here + "?file=" + url.QueryEscape(f), Count: count[f], Current: f == file})
	}
	pages := (len(shown) + faultsOnPage - 1) / faultsOnPage
	at, _ := strconv.Atoi(r.URL.Query().Get("page"))
	at = min(max(at, 1), max(pages, 1))
	for _, x := range shown[(at-1)*faultsOnPage : min(at*faultsOnPage, len(shown))] {
		row := page.FaultRow{File: fileName(x.File), Column: x.Column, Found: x.Found, Text: page.Sentence(x.Text)}
		if x.Line > 0 {
			row.Line = strconv.Itoa(x.Line)
		}
		p.Rows = append(p.Rows, row)
	}
	p.Pages = pageLinks(here, file, at, pages)
	if d.count > len(d.problems) {
		p.Notices = append(p.Notices, fmt.Sprintf("The first %s problems are listed.", page.Num(float64(len(d.problems)), 0)))
	}
}

func fileName(f string) string {
	if f == "" {
		return "the package"
	}
	return f
}

// pageLinks offers the first and last pages and those around this one.
func pageLinks(here, file string, at, pages int) []page.PageLink {
	var out []page.PageLink
	gap := false
	for i := 1; i <= pages; i++ {
		if i > 1 && i < pages && (i < at-2 || i > at+2) {
			if !gap {
				out = append(out, page.PageLink{Name: "…"})
			}
			gap = true
			continue
		}
		gap = false
		href := here + "?page=" + strconv.Itoa(i)
		if file != "" {
			href += "&file=" + url.QueryEscape(file)
		}
		out = append(out, page.PageLink{Name: strconv.Itoa(i), Href: href + "#problems", Current: i == at})
	}
	return out
}

// confirmImport stores the package that waits.
func (s *server) confirmImport(w http.ResponseWriter, r *http.Request) error {
	d, err := s.draft(r)
	if err != nil {
		return err
	}
	d.mu.Lock()
	may := d.stage == ready && d.err == nil && d.count == 0
	d.mu.Unlock()
	if !may {
		return underfoot.Errorf(underfoot.Conflict, "this package is not ready to be stored: look at it again")
	}
	who := s.who(w, r, "")
	d.work(r.Context(), storing, stored, func(ctx context.Context, how app.Reading) (*app.Taken, error) {
		return s.app.Import(ctx, d.folder, who, how)
	})
	d.wait(r.Context(), 1500*time.Millisecond)
	http.Redirect(w, r, "/import/"+d.id, http.StatusSeeOther)
	return nil
}

// discardImport forgets the package that waits.
func (s *server) discardImport(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.draft(r); err != nil {
		return err
	}
	s.drafts.remove(r.PathValue("draft"))
	http.Redirect(w, r, "/import", http.StatusSeeOther)
	return nil
}
