package web

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// From when on the list of courses speaks up: working defaults, no source.
const (
	soonDays   = 7   // planned work within so many days is due
	roundDays  = 400 // a round is overdue after so many days, a year and a month
	turnedDays = 60  // a direction that turned is told for so many days
)

// attention is the order of states in a list: what needs attention first.
var attention = map[page.State]int{page.Stopped: 0, page.YourMove: 1, page.Look: 2, page.Open: 3, page.Finished: 4}

// courseNeeds says what a course needs on a day, the most pressing first; there is always something to say.
func courseNeeds(s *app.Summary, today underfoot.Date) []page.CourseNeed {
	var out []page.CourseNeed
	say := func(state page.State, text, link string, path ...string) {
		anchor := ""
		if n := len(path); n > 0 {
			path[n-1], anchor, _ = strings.Cut(path[n-1], "#")
		}
		href := page.CoursePath(s.Course, path...)
		if anchor != "" {
			href += "#" + anchor
		}
		out = append(out, page.CourseNeed{State: state, Text: text, Link: page.Link{Href: href, Text: link}})
	}
	if s.Held > 0 {
		say(page.Stopped, heldSays(s), "Look at the run", "bench")
		if s.HeldRun != "" {
			out[0].Link.Href = runPath(s.Course, s.HeldRun)
		}
	}
	switch {
	case s.Composites == 0 && len(s.Rounds) > 0:
		say(page.YourMove, roundWaits(s.Rounds[0], today), "Rounds", "round")
	case s.Composites == 0:
		say(page.YourMove, "Nothing has been sampled yet. The first round gives levels.", "Rounds", "round")
	case s.Waiting > 0:
		say(page.YourMove, fmt.Sprintf("%d of the %d composites of the last round wait for the bench.", s.Waiting, s.Composites), "Look at the bench", "bench")
	}
	workDue(s, today, say)
	if s.Composites > 0 {
		switch {
		case len(s.Rounds) > 0 && s.Rounds[0].Date < today:
			say(page.YourMove, roundWaits(s.Rounds[0], today), "Rounds", "round")
		case len(s.Rounds) == 0 && today-s.LastRound > roundDays:
			say(page.YourMove, fmt.Sprintf("A round is overdue: the last was taken %s.", dayNear(s.LastRound, today)), "Design a round", "design")
		}
		if s.Waiting < s.Composites {
			directionNeeds(s, today, say)
		}
	}
	slices.SortStableFunc(out, func(a, b page.CourseNeed) int { return cmp.Compare(attention[a.State], attention[b.State]) })
	return out
}

func heldSays(s *app.Summary) string {
	text := capital(page.CountWords(s.Held, "composite is", "composites are")) + " held: "
	if s.HeldRun == "" {
		return text + "the furnace run failed, and nobody has released it."
	}
	return text + "furnace run " + s.HeldRun + " failed, and nobody has released it."
}

func roundWaits(r app.SummaryDate, today underfoot.Date) string {
	if r.Date < today {
		return fmt.Sprintf("Round %s is overdue: it was planned for %s.", r.Name, dayNear(r.Date, today))
	}
	return fmt.Sprintf("Round %s is planned for %s.", r.Name, dayNear(r.Date, today))
}

// workDue tells of planned work whose day has passed without a log entry, and of what is due within a week.
func workDue(s *app.Summary, today underfoot.Date, say func(page.State, string, string, ...string)) {
	var late, soon []app.SummaryDate
	for _, p := range s.Planned {
		switch {
		case p.Date < today:
			late = append(late, p)
		case p.Date <= today+soonDays:
			soon = append(soon, p)
		}
	}
	more := func(list []app.SummaryDate) string {
		if len(list) == 1 {
			return ""
		}
		return ", and " + page.CountWords(len(list)-1, "entry more", "entries more")
	}
	if len(soon) > 0 {
		say(page.YourMove, fmt.Sprintf("Work is due: %s on %s%s.", lowerFirst(workName(soon[0].Name)), dayNear(soon[0].Date, today), more(soon)), "See the plan", "log")
	}
	if len(late) > 0 {
		last := late[len(late)-1]
		say(page.Look, fmt.Sprintf("Planned and not logged: %s of %s%s.", lowerFirst(workName(last.Name)), dayNear(last.Date, today), more(late)), "Open the log", "log")
	}
}

// directionNeeds tells what the direction asks for, or why there is none.
func directionNeeds(s *app.Summary, today underfoot.Date, say func(page.State, string, string, ...string)) {
	if s.Was != "" && today-s.Turned <= turnedDays {
		say(page.Look, fmt.Sprintf("The direction turned from %s to %s, seen %s.", s.Was, s.Direction, dayNear(s.Turned, today)), "Read the findings", "findings")
	}
	switch s.Direction {
	case findings.Unknown:
		why := "No direction: no stated judgement, and the readings do not decide."
		if s.Readings == 0 {
			why = "No direction: no readings and no stated judgement."
		} else if s.Targets == 0 {
			why = "No direction: there are readings, but no band is wanted."
		}
		say(page.YourMove, why, "Judge the direction", "findings#judge")
	case findings.Hold:
		text := "In hand: hold it where it is."
		if s.Need != nil {
			text = fmt.Sprintf("In hand: hold it, on about %s mm of sand a year.", page.Num(s.Need.Mid, 1))
		}
		say(page.Finished, text, "Where it stands")
	default:
		if nextOf(s.Planned, today) == nil {
			say(page.YourMove, surfaceSays(s)+" Plan the next season.", "Read the answer", "plan")
		} else {
			say(page.Open, surfaceSays(s)+" Work is planned.", "See the plan", "plan")
		}
	}
}

// surfaceSays is the direction in a short sentence.
func surfaceSays(s *app.Summary) string {
	top := ""
	if len(s.Layers) > 0 && s.Layers[0].Estimated {
		switch s.Layers[0].Verdict {
		case findings.Rising:
			top = ", and gaining organic matter"
		case findings.Falling:
			top = ", and losing organic matter"
		}
	}
	by := "than wanted"
	if s.Judged {
		by = "than wanted, as judged"
	}
	if s.Direction == findings.Raise {
		return "Firmer or drier " + by + top + "."
	}
	return "Softer or wetter " + by + top + "."
}

// nextOf is the first of dated things on or after a day.
func nextOf(list []app.SummaryDate, today underfoot.Date) *app.SummaryDate {
	for i := range list {
		if list[i].Date >= today {
			return &list[i]
		}
	}
	return nil
}

// dueOf is what comes next, and its day; the day is 0 where there is none.
func dueOf(s *app.Summary, today underfoot.Date) (day underfoot.Date, when, what string) {
	work, round := nextOf(s.Planned, today), nextOf(s.Rounds, today)
	switch {
	case work != nil && (round == nil || work.Date <= round.Date):
		return work.Date, dayNear(work.Date, today), lowerFirst(workName(work.Name)) + ", planned"
	case round != nil:
		return round.Date, dayNear(round.Date, today), "round " + round.Name + ", planned"
	case s.Composites == 0:
		return 0, "no date", "take the first round"
	}
	return underfoot.DateOf(s.LastRound.Time().AddDate(1, 0, 0)), nextRound(s.LastRound, today), "next round"
}
