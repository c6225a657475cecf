package web

import (
	"fmt"
	"net/http"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

type standing = app.Standing

// courseFrame is what surrounds a page of a course: the masthead and the circle of work with its states.
func (s *server) courseFrame(r *http.Request, st *standing, title, current string) page.Frame {
	c := st.Records.Course
	f := s.frame(r, title+", "+c.Title(), "courses")
	f.Today = st.Today.Time()
	f.Done = s.done(r, c.ID)
	f.Circle = &page.Circle{Course: c.ID, Name: c.Title(), About: about(st), Current: current, Stations: stations(st)}
	return f
}

// about says what is looked after: "18 greens, fescue and browntop bent".
func about(st *standing) string { return aboutGreens(st.Surface, len(st.Greens), st.Species()) }

func aboutGreens(surface string, n int, species string) string {
	s := page.Count(n, surfaceWord(surface, 1), surfaceWord(surface, 2))
	if species != "" {
		s += ", " + species
	}
	return s
}

func surfaceWord(kind string, n int) string {
	word := map[string]string{"green": "green", "tee": "tee", "approach": "approach", "bowling": "bowling green"}[kind]
	if word == "" {
		word = "green"
	}
	switch {
	case n == 1:
		return word
	case word == "approach":
		return "approaches"
	}
	return word + "s"
}

// stations gives the stations of the circle, in the order of work.
func stations(st *standing) []page.Station {
	return []page.Station{roundStation(st), benchStation(st), findingsStation(st), profileStation(st), planStation(st), logStation(st)}
}

// lastRound gives the label and day of the last round, and its composites.
func lastRound(st *standing) (label string, day underfoot.Date, samples []underfoot.Sample) {
	for _, s := range st.Records.Samples {
		if s.Date > day {
			label, day = s.RoundLabel(), s.Date
		}
	}
	for _, s := range st.Records.Samples {
		if s.RoundLabel() == label {
			samples = append(samples, s)
		}
	}
	return label, day, samples
}

func roundStation(st *standing) page.Station {
	x := page.Station{Key: "round", Name: "Round", State: page.YourMove, Note: "none taken yet"}
	if _, day, samples := lastRound(st); len(samples) > 0 {
		x.State, x.Note = page.Finished, "taken "+dayNear(day, st.Today)
		if st.Today-day > 400 {
			x.State, x.Note = page.YourMove, "last "+dayNear(day, st.Today)
		}
	}
	return x
}

// dayNear writes a day, with its year where that is not this one.
func dayNear(d, today underfoot.Date) string {
	if d.Year() == today.Year() {
		return d.Time().Format("2 Jan")
	}
	return page.PlainDay(d.Time())
}

// waiting counts the composites of the last round that have no result yet.
func waiting(st *standing) (missing, all int) {
	known := map[string]bool{}
	for i := range st.Bench {
		known[st.Bench[i].Sample] = st.Bench[i].Known
	}
	_, _, samples := lastRound(st)
	for _, s := range samples {
		if !known[s.ID] {
			missing++
		}
	}
	return missing, len(samples)
}

func benchStation(st *standing) page.Station {
	x := page.Station{Key: "bench", Name: "Bench", State: page.Open, Note: "nothing to burn"}
	missing, all := waiting(st)
	switch {
	case all == 0:
	case missing > 0:
		x.State, x.Note = page.YourMove, fmt.Sprintf("%d of %d to burn", missing, all)
	default:
		x.State, x.Note = page.Finished, fmt.Sprintf("all %d burnt", all)
	}
	if held := heldComposites(st); held > 0 {
		x.State, x.Note = page.Stopped, fmt.Sprintf("%d held", held)
	}
	return x
}

// heldComposites counts the composites whose furnace run failed and was not released.
func heldComposites(st *standing) int {
	n := 0
	for i := range st.Bench {
		if st.Bench[i].Held {
			n++
		}
	}
	return n
}

func findingsStation(st *standing) page.Station {
	x := page.Station{Key: "findings", Name: "Findings", State: page.Open, Note: "nothing yet"}
	if len(st.Layers) == 0 {
		return x
	}
	if st.Direction.Verdict == findings.Unknown {
		x.State, x.Note = page.YourMove, "no direction yet"
		return x
	}
	x.State, x.Note = page.Finished, "direction: "+string(st.Direction.Verdict)
	return x
}

// profileStation says what the model rests on; it never works the model out.
func profileStation(st *standing) page.Station {
	x := page.Station{Key: "profile", Name: "Profile", State: page.Open, Note: "nothing to learn from"}
	switch {
	case len(st.Layers) == 0:
	case len(st.Records.Weather) == 0:
		x.State, x.Note = page.YourMove, "needs weather"
	default:
		x.State, x.Note = page.Finished, "two years ahead"
	}
	return x
}

func planStation(st *standing) page.Station {
	x := page.Station{Key: "plan", Name: "Plan", State: page.Open, Note: "nothing to plan by"}
	ahead := 0
	for _, d := range st.Planned {
		if d.Work.Date >= st.Today {
			ahead++
		}
	}
	switch {
	case ahead > 0:
		x.State, x.Note = page.Finished, page.Count(ahead, "entry planned", "entries planned")
	case hasAnswer(st):
		x.State, x.Note = page.YourMove, "nothing planned yet"
	}
	return x
}

func logStation(st *standing) page.Station {
	x := page.Station{Key: "log", Name: "Log", State: page.Open, Note: "nothing logged in " + fmt.Sprint(st.Today.Year())}
	if e := seasonOf(st, st.Today.Year()); e != nil {
		x.Note = page.Count(e.Dressings, "dressing", "dressings") + " in " + fmt.Sprint(e.Year)
	}
	return x
}

func seasonOf(st *standing, year int) *app.Season {
	for i := range st.Seasons {
		if st.Seasons[i].Year == year {
			return &st.Seasons[i]
		}
	}
	return nil
}

func lowerFirst(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToLower(s[:1]) + s[1:]
}
