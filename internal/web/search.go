package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// hitsShown is how many things of a kind a search shows.
const hitsShown = 12

// longestAsked is how much may be searched for, in characters.
const longestAsked = 200

// search finds courses, greens, samples, rounds, sands, furnace runs and entries of the log by words.
func (s *server) search(w http.ResponseWriter, r *http.Request) error {
	asked := strings.TrimSpace(r.URL.Query().Get("q"))
	if n := len([]rune(asked)); n > longestAsked {
		return underfoot.Errorf(underfoot.Invalid, "the search holds %d characters: at most %d are allowed", n, longestAsked)
	}
	p := page.Search{Frame: s.frame(r, "Find", "search"), Asked: asked, Statement: "What are you looking for?"}
	if asked == "" {
		return s.send.page(w, r, http.StatusOK, page.SearchPage(p))
	}
	p.Frame.Title = "Find " + asked
	found, behind, err := s.app.Store.Search(r.Context(), asked, hitsShown+1)
	if err != nil {
		return err
	}
	if behind > 0 && (behind <= app.FewCourses || s.patience() < 0) { // where many are behind the page would only wait for the background
		if err := s.index(r.Context()); err != nil {
			return err
		}
		if found, behind, err = s.app.Store.Search(r.Context(), asked, hitsShown+1); err != nil {
			return err
		}
	}
	names, err := s.namesOf(r.Context(), found)
	if err != nil {
		return err
	}
	if behind > 0 {
		p.Because = capital(page.CountWords(behind, "course has", "courses have")) + " changed and not been read for the search yet; what is new there may be missing here. It is being read now."
	}
	n, more := 0, false
	for _, kind := range underfoot.FoundKinds() {
		g := page.FoundGroup{ID: "found-" + string(kind), Title: kindTitles[kind]}
		for _, f := range found {
			if f.Kind != kind {
				continue
			}
			if len(g.Hits) == hitsShown {
				more = true
				g.More = fmt.Sprintf("The first %d; another word narrows it.", hitsShown)
				break
			}
			g.Hits = append(g.Hits, hitOf(f, names[f.Course]))
			n++
		}
		if len(g.Hits) > 0 {
			p.Groups = append(p.Groups, g)
		}
	}
	p.Statement = fmt.Sprintf("Nothing is called “%s”.", asked)
	if n > 0 {
		p.Statement = fmt.Sprintf("%s called “%s”.", capital(page.CountWords(n, "thing is", "things are")), asked)
	}
	if more {
		p.Statement = fmt.Sprintf("At least %d things are called “%s”.", n, asked)
	}
	return s.send.page(w, r, http.StatusOK, page.SearchPage(p))
}

// index brings the index up to date as far as patience lasts; the search says what is missing.
func (s *server) index(ctx context.Context) error {
	if d := s.patience(); d >= 0 {
		soon, cancel := context.WithTimeout(ctx, d)
		defer cancel()
		ctx = soon
	}
	_, err := s.app.Store.Index(ctx)
	if ctx.Err() != nil {
		return nil
	}
	return err
}

var kindTitles = map[underfoot.FoundKind]string{
	underfoot.FoundCourse: "Courses", underfoot.FoundGreen: "Greens", underfoot.FoundSample: "Samples", underfoot.FoundRound: "Rounds", underfoot.FoundSand: "Sands",
	underfoot.FoundRun: "Furnace runs", underfoot.FoundWork: "Log",
}

// namesOf gives what people call the courses of what was found.
func (s *server) namesOf(ctx context.Context, found []underfoot.Found) (map[string]string, error) {
	names := map[string]string{}
	for _, f := range found {
		if names[f.Course] != "" {
			continue
		}
		r, err := s.app.Store.Get(ctx, underfoot.Courses, underfoot.Key{f.Course})
		if underfoot.KindOf(err) == underfoot.NotFound {
			names[f.Course] = f.Course
			continue
		}
		if err != nil {
			return nil, err
		}
		names[f.Course] = r.(*underfoot.Course).Title()
	}
	return names, nil
}

// hitOf is a thing that was found with the place where it is dealt with.
func hitOf(f underfoot.Found, course string) page.Hit {
	h := page.Hit{Title: f.Title, About: course}
	if f.Date.Known {
		h.About += ", " + page.PlainDay(f.Date.Value.Time())
	}
	switch f.Kind {
	case underfoot.FoundCourse:
		h.Href, h.About = page.CoursePath(f.Course), ""
	case underfoot.FoundGreen:
		h.Href = page.CoursePath(f.Course, "findings") + "#" + url.PathEscape(page.GreenID(f.Key))
	case underfoot.FoundSample:
		h.Href = page.CoursePath(f.Course, "custody") + "?sample=" + url.QueryEscape(f.Key) + "#" + url.PathEscape(page.SampleID(f.Key))
		h.State, h.Where = page.Open, custodyWhere[f.At]
		if f.At == "burnt" || f.At == "reported" {
			h.State = page.Finished
		}
	case underfoot.FoundRound:
		h.Href = page.CoursePath(f.Course, "round") + "#" + url.PathEscape("r-"+f.Key)
	case underfoot.FoundSand:
		h.Href = page.CoursePath(f.Course, "sands") + "#" + url.PathEscape(page.SandID(f.Key))
	case underfoot.FoundRun:
		h.Href = runPath(f.Course, f.Key)
	case underfoot.FoundWork:
		kind, note, _ := strings.Cut(f.Title, ": ")
		h.Href, h.Title = page.CoursePath(f.Course, "log", f.Key), capital(app.KindName(kind))
		if note != "" {
			h.Title += ": " + note
		}
	}
	return h
}

// custodyWhere says the last step of a composite as the place it is at.
var custodyWhere = map[string]string{
	"cut": "cut", "bagged": "in its bag", "sent": "on its way", "received": "received", "weighed": "weighed dry", "burnt": "burnt", "reported": "reported",
}

// runPath is the address of a furnace run on the bench of a course.
func runPath(course, run string) string {
	return page.CoursePath(course, "bench") + "?run=" + url.QueryEscape(run)
}
