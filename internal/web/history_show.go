package web

import (
	"fmt"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// showHistory lists what was changed in a course, with undo.
func (s *server) showHistory(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	id := st.Records.Course.ID
	limit := 50
	if n, err := strconv.Atoi(r.URL.Query().Get("show")); err == nil && n > 0 {
		limit = min(n, changesLooked)
	}
	list, err := s.app.Store.Changes(r.Context(), id, limit+1)
	if err != nil {
		return err
	}
	p := page.History{Frame: s.courseFrame(r, st, "History", ""), Course: id, Statement: "No change so far."}
	if len(list) > limit {
		list = list[:limit]
		p.More = page.CoursePath(id, "history") + "?show=" + strconv.Itoa(min(limit*4, changesLooked))
	}
	for i, c := range list {
		if i == 0 {
			p.Statement = "Last change: " + lowerFirst(changeSaysWhat(c))
		}
		p.Changes = append(p.Changes, page.HistoryLine{
			ID: c.ID, When: page.Moment(c.At.In(st.Records.Course.Zone())), Who: c.By, What: changeSaysWhat(c), Counts: counts(c),
			Undone: c.Undone != 0, Undo: c.Undone == 0, IsUndo: c.Undoes != 0,
		})
	}
	return s.send.page(w, r, http.StatusOK, page.HistoryPage(p))
}

var isoDay = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// changeSaysWhat words a change for people, dates in full.
func changeSaysWhat(c underfoot.Change) string {
	return page.Sentence(daysInWords(c.What))
}

// daysInWords writes the dates in a text as people do.
func daysInWords(text string) string {
	return isoDay.ReplaceAllStringFunc(text, func(s string) string {
		if d, err := underfoot.ParseDate(s); err == nil {
			return page.Day(d.Time())
		}
		return s
	})
}

// inWords makes sentences of notes.
func inWords(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = page.Sentence(daysInWords(s))
	}
	return out
}

func counts(c underfoot.Change) string {
	var parts []string
	for _, x := range []struct {
		n    int
		word string
	}{{c.Added, "added"}, {c.Changed, "changed"}, {c.Deleted, "deleted"}} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", page.Num(float64(x.n), 0), x.word))
		}
	}
	return strings.Join(parts, ", ")
}
