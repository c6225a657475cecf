package web

import (
	"net/http"
	"net/url"
	"strings"
)

const viewCookie = "underfoot_view"

// viewOf returns the view the reader chose: desk, sun, night, or none to follow the system.
func viewOf(r *http.Request) string {
	c, err := r.Cookie(viewCookie)
	if err != nil {
		return ""
	}
	switch c.Value {
	case "desk", "sun", "night":
		return c.Value
	}
	return ""
}

// setView keeps the chosen view and goes back to the page it was chosen on.
func (s *server) setView(w http.ResponseWriter, r *http.Request) error {
	c := http.Cookie{Name: viewCookie, Path: "/", MaxAge: 400 * 24 * 3600, SameSite: http.SameSiteLaxMode}
	switch v := r.PostFormValue("view"); v {
	case "desk", "sun", "night":
		c.Value = v
	default:
		c.MaxAge = -1
	}
	http.SetCookie(w, &c)
	http.Redirect(w, r, localPath(r.PostFormValue("back")), http.StatusSeeOther)
	return nil
}

// localPath returns the path when it stays on this site, else the first page.
func localPath(s string) string {
	u, err := url.Parse(s)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(s, "/") || strings.HasPrefix(s, "//") || strings.ContainsAny(s, "\\\r\n") {
		return "/"
	}
	return s
}
