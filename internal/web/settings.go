package web

import (
	"net/http"
	"net/url"
	"strings"
	"time"

	"underfoot/internal/say"
)

// settings keeps how each person wants things said. A cookie is enough while one computer is one person; stored users can
// take its place without a page knowing.
type settings interface {
	of(r *http.Request) say.Style
	keep(w http.ResponseWriter, r *http.Request, s say.Style) error
}

const settingsCookie = "underfoot_settings"

// inCookie keeps settings with the browser.
type inCookie struct{}

// of reads the settings. What is not known, such as from a newer version, counts as not chosen.
func (inCookie) of(r *http.Request) say.Style {
	c, err := r.Cookie(settingsCookie)
	if err != nil {
		return say.Style{}
	}
	q, err := url.ParseQuery(c.Value)
	if err != nil {
		return say.Style{}
	}
	s, _ := chosen(q)
	return s
}

func (inCookie) keep(w http.ResponseWriter, _ *http.Request, s say.Style) error {
	v := url.Values{"units": {string(s.Units)}, "dates": {string(s.Dates)}, "currency": {s.Currency}, "language": {s.Language}}
	http.SetCookie(w, &http.Cookie{
		Name: settingsCookie, Value: v.Encode(), Path: "/", MaxAge: int((400 * 24 * time.Hour).Seconds()), SameSite: http.SameSiteLaxMode, HttpOnly: true,
	})
	return nil
}

// chosen reads a style from a form, with what is wrong by the name of the field.
func chosen(q url.Values) (say.Style, map[string]string) {
	var s say.Style
	wrong := map[string]string{}
	switch v := say.Units(q.Get("units")); v {
	case say.Metric, say.US, "":
		s.Units = v
	default:
		wrong["units"] = "metric or US customary can be chosen"
	}
	switch v := say.Dates(q.Get("dates")); v {
	case say.DayFirst, say.MonthFirst, say.ISO, "":
		s.Dates = v
	default:
		wrong["dates"] = "day first, month first or year first can be chosen"
	}
	switch v := strings.ToUpper(strings.TrimSpace(q.Get("currency"))); {
	case v == "" || isCurrency(v):
		s.Currency = v
	default:
		wrong["currency"] = "“" + v + "” is no code of a currency: three letters such as EUR or USD can be chosen, or nothing"
	}
	switch v := q.Get("language"); {
	case v == "" || say.Spoken(v):
		s.Language = v
	default:
		wrong["language"] = "no texts in “" + v + "” yet: English can be chosen"
	}
	return s, wrong
}

// isCurrency tells whether a code has the form of ISO 4217.
func isCurrency(code string) bool {
	return len(code) == 3 && strings.Trim(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// styled gives a request the style of its person, and turns numbers that were typed in other units into metric ones, so
// that no action meets any other.
func (s *server) styled(r *http.Request) (*http.Request, error) {
	r = r.WithContext(say.With(r.Context(), s.settings.of(r)))
	if strings.Contains(r.URL.RawQuery, "unit%3A") || strings.Contains(r.URL.RawQuery, "unit:") {
		q := r.URL.Query()
		say.Typed(q)
		at := *r.URL
		at.RawQuery = q.Encode()
		r.URL = &at
	}
	if r.Method != http.MethodPost || !strings.HasPrefix(r.Header.Get("Content-Type"), "application/x-www-form-urlencoded") {
		return r, nil
	}
	if err := parseForm(r); err != nil {
		return r, err
	}
	say.Typed(r.PostForm)
	say.Typed(r.Form)
	return r, nil
}
