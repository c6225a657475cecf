package web

import (
	"net/http"
	"net/url"
	"strings"
)

const whoCookie = "underfoot_who"

// who returns the name a change is kept under: as typed, else as typed last time, else the name the program was
// started with. A typed name is remembered on this browser.
func (s *server) who(w http.ResponseWriter, r *http.Request, typed string) string {
	if typed != "" {
		if runes := []rune(typed); len(runes) > 100 {
			typed = string(runes[:100])
		}
		http.SetCookie(w, &http.Cookie{
			Name: whoCookie, Value: url.QueryEscape(typed), Path: "/", MaxAge: 400 * 24 * 3600, SameSite: http.SameSiteLaxMode, HttpOnly: true,
		})
		return typed
	}
	if remembered := orWho("", r); remembered != "" {
		return remembered
	}
	return s.app.Who
}

// orWho returns the typed name, or the one remembered on this browser.
func orWho(typed string, r *http.Request) string {
	if typed != "" {
		return typed
	}
	c, err := r.Cookie(whoCookie)
	if err != nil {
		return ""
	}
	name, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(name)
}
