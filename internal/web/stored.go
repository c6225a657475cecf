package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// storedCookie tells the browser which of the drafts it keeps was stored, so that it need not keep them any more.
const storedCookie = "underfoot_stored"

// storedMost is how many drafts one answer names, and how long their names may be, in bytes: far more than two tabs need.
const storedMost, storedLongest = 8, 300

// tellsStored names the draft of a form that was sent, in a cookie, when the answer leads on: every form that is taken is
// answered so, and one that is not comes again.
func tellsStored(w http.ResponseWriter, r *http.Request) http.ResponseWriter {
	if r.Method != http.MethodPost {
		return w
	}
	return &storedTeller{ResponseWriter: w, r: r}
}

type storedTeller struct {
	http.ResponseWriter
	r *http.Request
}

// Unwrap gives [http.ResponseController] what it writes to.
func (s *storedTeller) Unwrap() http.ResponseWriter { return s.ResponseWriter }

func (s *storedTeller) WriteHeader(status int) {
	if draft := s.r.PostForm.Get("draft"); status == http.StatusSeeOther && draft != "" && len(draft) <= storedLongest {
		var drafts []string
		if c, err := s.r.Cookie(storedCookie); err == nil { // told before, and not read yet
			if before, err := url.QueryUnescape(c.Value); err == nil && before != "" {
				drafts = strings.Split(before, "\n")
			}
		}
		if !slices.Contains(drafts, draft) {
			drafts = append(drafts, draft)
		}
		drafts = drafts[max(0, len(drafts)-storedMost):]
		http.SetCookie(s, &http.Cookie{Name: storedCookie, Value: url.QueryEscape(strings.Join(drafts, "\n")), Path: "/", MaxAge: 24 * 3600, SameSite: http.SameSiteLaxMode})
	}
	s.ResponseWriter.WriteHeader(status)
}
