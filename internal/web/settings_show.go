package web

import (
	"net/http"
	"net/url"

	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showSettings shows how things are said to this person, with an example of each choice.
func (s *server) showSettings(w http.ResponseWriter, r *http.Request) error {
	return s.settingsPage(w, r, http.StatusOK, say.From(r.Context()), r.URL.Query().Get("saved") != "", nil, r.URL.Query().Get("back"))
}

// saveSettings keeps what was chosen, or shows the form again with what is wrong.
func (s *server) saveSettings(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	style, wrong := chosen(r.PostForm)
	if len(wrong) > 0 {
		style.Currency = r.PostForm.Get("currency")
		return s.settingsPage(w, r, http.StatusUnprocessableEntity, style, false, wrong, r.PostForm.Get("back"))
	}
	if err := s.settings.keep(w, r, style); err != nil {
		return err
	}
	http.Redirect(w, r, "/settings?saved=1&back="+url.QueryEscape(localPath(r.PostForm.Get("back"))), http.StatusSeeOther)
	return nil
}

func (s *server) settingsPage(w http.ResponseWriter, r *http.Request, status int, now say.Style, saved bool, wrong map[string]string, back string) error {
	p := page.Settings{Frame: s.frame(r, say.T(r.Context(), "settings.title"), "settings"), Saved: saved, Back: localPath(back), Currency: now.Currency, Wrong: wrong}
	day := s.app.Now()
	for _, u := range []say.Units{say.Metric, say.US} {
		as := say.Style{Units: u, Dates: now.Dates}
		p.Units = append(p.Units, page.Setting{
			Value: string(u), Name: say.T(r.Context(), "settings.units."+string(u)), Chosen: u == now.Units || u == say.Metric && now.Units == "",
			Example: as.Text("0–20 mm") + "; " + as.Text("0.40 mm") + " = " + as.Text("0.62 kg/m²") + "; " + as.Text("9.3 t") + "; " + as.Text("150 kg/ha"),
		})
	}
	for _, d := range []say.Dates{say.DayFirst, say.MonthFirst, say.ISO} {
		as := say.Style{Dates: d}
		p.Dates = append(p.Dates, page.Setting{
			Value: string(d), Name: say.T(r.Context(), "settings.dates."+string(d)), Chosen: d == now.Dates || d == say.DayFirst && now.Dates == "", Example: as.Day(day),
		})
	}
	for _, l := range say.Languages() {
		p.Languages = append(p.Languages, page.Setting{Value: l.Tag, Name: l.Name, Chosen: l.Tag == now.Lang()})
	}
	return s.send.page(w, r, status, page.SettingsPage(p))
}
