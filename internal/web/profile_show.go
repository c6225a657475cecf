package web

import (
	"fmt"
	"net/http"
	"strings"

	"underfoot/internal/figure"
	"underfoot/internal/report"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// showProfile shows where sand and organic matter go, and where they will be.
func (s *server) showProfile(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	p := profileOf(st, say.From(r.Context()))
	p.Frame = s.courseFrame(r, st, "Profile", "profile")
	return s.send.page(w, r, http.StatusOK, page.ProfilePage(p))
}

// profileOf says all that the page says of a standing.
func profileOf(st *standing, style say.Style) page.Profile {
	var p page.Profile
	said, err := report.ProfileOf(st)
	if err != nil {
		p.Statement, p.Why, p.Needs = "Where the profile is heading cannot be said yet.", page.Sentence(err.Error()), needsOf(st)
		return p
	}
	fillProfile(&p, said, style)
	return p
}

func fillProfile(p *page.Profile, said report.Profile, style say.Style) {
	p.Over = said.Over()
	p.Statement, p.Because, p.Ahead = said.Statement(), said.Because(), tableOf(said.AheadTable())
	p.AheadNote, p.LearntLists = said.AheadTable().Note, said.LearntLists()
	burial := said.Burial()
	burial.Measure = measured(style)
	p.Burial = page.Figure{Picture: page.Draw(burialAt(burial, 1264, 460), burialAt(burial, figure.PhoneWidth, 380)), Says: said.BurialSays(), Sure: said.BurialSure(), Table: tableIn(said.BurialTable())}
	fan := said.Fan()
	p.Fan = page.Figure{Picture: page.Draw(fanAt(fan, 1264), fanAt(fan, figure.PhoneWidth)), Says: said.FanSays(), Sure: said.FanSure(), Table: tableIn(said.FanTable())}
	p.BackSays, p.Greens = said.BackSays(), tableOf(said.GreensTable())
	if t := said.BackTable(); len(t.Rows) > 0 {
		skill := said.Skill()
		narrow := skill
		narrow.Width = figure.PhoneWidth
		p.Back, p.BackTable = &page.Figure{Picture: page.Draw(skill.Scene(), narrow.Scene()), Note: t.Note}, tableIn(t)
	}
	if bars := said.AccountBars(); len(bars.Groups) > 0 {
		changes, masses := said.AccountTables()
		narrow := bars
		bars.Width, narrow.Width = 960, figure.PhoneWidth
		p.Account = &page.Figure{Picture: page.Draw(bars.Scene(), narrow.Scene()), Says: said.AccountSays(), Sure: said.AccountSure(), Table: tableIn(changes)}
		p.Masses = tableIn(masses)
	} else {
		p.NoAccount = said.AccountSays()
	}
	priors := said.Priors()
	narrow := priors
	priors.Width, narrow.Width = 960, figure.PhoneWidth
	p.Priors = page.Figure{Picture: page.Draw(priors.Scene(), narrow.Scene()), Says: said.LearntSays(), Sure: said.LearntSure(), Table: tableIn(said.LearntTable())}
	p.Misfits, p.Source, p.Notes, p.Method = said.MisfitSays(), said.Source(), said.Notes(), report.ProfileMethod()
	levers, why := said.Levers()
	if levers == nil {
		p.NoLevers = why
		return
	}
	table := levers.Table()
	p.Levers = &page.Levers{Says: levers.Says(), Table: tableOf(table), Note: table.Note}
	if t := levers.Holds(); len(t.Rows) > 0 {
		p.Levers.Holds, p.Levers.HoldsNote = tableIn(t), t.Note
	}
}

func burialAt(b figure.Burial, width, height float64) *figure.Scene {
	b.Width, b.Height = width, height
	return b.Scene()
}

func fanAt(f figure.Forecast, width float64) *figure.Scene {
	f.Width = width
	return f.Scene()
}

// tableOf lays a table of the report out for a page.
func tableOf(t report.Table) page.Table {
	out := page.Table{Caption: t.Caption}
	for _, c := range t.Columns {
		out.Head = append(out.Head, c.Head)
		if !c.Number && out.Left == len(out.Head)-1 {
			out.Left++
		}
	}
	for _, row := range t.Rows {
		out.Rows = append(out.Rows, page.Row{Cells: row})
	}
	return out
}

func tableIn(t report.Table) *page.Table {
	out := tableOf(t)
	return &out
}

// needsOf lists what a calibration takes: rounds above all, weather and the log for an answer that is not too wide.
func needsOf(st *standing) []page.Need {
	id := st.Records.Course.ID
	rounds := page.Need{State: page.YourMove, Text: "A round of cores, weighed and burnt whole.", Href: page.CoursePath(id, "round"), Link: "Rounds"}
	if n := roundsIn(st); n > 0 && len(st.Layers) > 0 {
		rounds.State, rounds.Text = page.Finished, upperFirst(page.CountWords(n, "round", "rounds"))+" burnt whole."
	}
	weather := page.Need{
		State: page.YourMove, Href: "/import", Link: "Bring in a package",
		Text: "Daily weather, minimum and maximum temperature: a package's weather.csv, or a station's file with underfoot import.",
	}
	if n := len(st.Records.Weather); n > 0 {
		weather = page.Need{State: page.Finished, Text: fmt.Sprintf("%s of weather.", page.Count(n, "day", "days"))}
	}
	log := page.Need{State: page.YourMove, Text: "The log of sand and coring: what is not logged counts as not done.", Href: page.CoursePath(id, "log") + "#enter", Link: "Log"}
	if n := len(st.Done); n > 0 {
		log = page.Need{State: page.Finished, Text: page.Count(n, "entry", "entries") + " in the log."}
	}
	return []page.Need{rounds, weather, log}
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
