package web

import (
	"fmt"
	"net/url"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// keptPlans sets the kept plans beside the one that was found; nil without any.
func (v *seasonView) keptPlans() *page.SeasonKept {
	names := v.st.KeptNames()
	if len(names) == 0 {
		return nil
	}
	course := v.st.Records.Course.ID
	k := &page.SeasonKept{Course: course, Back: page.CoursePath(course, "plan") + "?" + v.address().Encode()}
	currency := strings.TrimSpace(v.plan.Search.Prices.Currency)
	k.Head = []string{"Sand, mm", "t", "Cost, " + currency, "Crew, h", "Disturbed days"}
	layers := v.found.what.Nothing.Forecast.Layers
	for _, l := range layers {
		k.Head = append(k.Head, underfoot.LayerName(l.Top, l.Bottom)+", %")
	}
	k.Head = append(k.Head, "Chance")
	add := func(name, title string, plan season.Plan, r *app.Rehearsed, err error) {
		x := page.KeptPlan{Name: name, Title: title}
		if err != nil {
			x.Note = page.Sentence(strings.TrimPrefix(err.Error(), "plan: "))
		} else {
			c := r.Cost
			x.Cells = []string{page.Num(c.SandMM, 1), page.Tonnes(c.SandTonnes), page.Num(c.Money(), 0), page.Num(c.Hours, 0), page.Num(c.Disturbed, 0)}
			last := len(r.Forecast.Days) - 1
			for l := range layers {
				e := r.Forecast.Estimate(-1, last, l)
				x.Cells = append(x.Cells, fmt.Sprintf("%s (%s)", page.Num(100*e.Q50, 1), page.Reach(100*e.Q05, 100*e.Q95, 1)))
			}
			words, _ := findings.Chance(r.Probability)
			x.Cells = append(x.Cells, words)
		}
		if name != "" {
			q := v.ask.query()
			open := &seasonRows{}
			open.set(plan)
			open.query(q)
			x.Href = page.CoursePath(course, "plan") + "?" + q.Encode() + "#work"
		}
		k.Plans = append(k.Plans, x)
	}
	if best := v.plan.Proposed(); best != nil && v.found.what.Plan != nil {
		add("", "as found", best.Plan, v.found.what.Plan, nil)
	}
	for _, name := range names {
		plan := v.plan.Kept(name)
		r, err := v.plan.Rehearse(plan)
		title := name
		if name == underfoot.AcceptedPlan {
			title = "accepted into the log"
		}
		add(name, title, plan, r, err)
	}
	return k
}

// address is the question with the work as typed.
func (v *seasonView) address() url.Values {
	q := v.ask.query()
	if v.rows != nil && v.rows.edited {
		v.rows.query(q)
	}
	return q
}

// seasonGone says how far the log is from the accepted plan; nil when none was accepted.
func seasonGone(st *standing) *page.SeasonGone {
	p := st.Progress()
	if p == nil {
		return nil
	}
	course := st.Records.Course.ID
	g := &page.SeasonGone{Course: course, Rest: page.Link{Href: page.CoursePath(course, "plan") + "#ask", Text: "Plan the rest from here"}}
	tally := func(t app.Tally) string {
		s := fmt.Sprintf("%s mm in %s", page.Num(t.SandMM, 1), page.CountWords(t.Events, "piece of work", "pieces of work"))
		if t.Events == 0 {
			return "nothing"
		}
		if t.Openings > 0 {
			s += ", " + page.CountWords(t.Openings, "opening of the surface", "openings of the surface") + " among them"
		}
		return s
	}
	day := page.Day(p.Day.Time())
	if p.Planned.Events == 0 {
		g.Says = append(g.Says, fmt.Sprintf("The accepted plan begins on %s: up to %s nothing was due. To come: %s, the last on %s.", page.Day(p.First.Time()), day, tally(p.Rest), page.Day(p.Last.Time())))
	} else {
		g.Says = append(g.Says, fmt.Sprintf("Up to %s the accepted plan asked for %s; done was %s.", day, tally(p.Planned), tally(p.Done)))
		switch d := p.Done.SandMM - p.Planned.SandMM; {
		case d < -0.05:
			g.Says = append(g.Says, fmt.Sprintf("That is %s mm of sand less than planned; still to come by the plan: %s.", page.Num(-d, 1), tally(p.Rest)))
		case d > 0.05:
			g.Says = append(g.Says, fmt.Sprintf("That is %s mm of sand more than planned; still to come by the plan: %s.", page.Num(d, 1), tally(p.Rest)))
		default:
			g.Says = append(g.Says, fmt.Sprintf("The sand is as planned; still to come by the plan: %s.", tally(p.Rest)))
		}
	}
	late := map[string]bool{}
	for _, w := range p.Late {
		late[w.ID] = true
	}
	for i := range st.Planned {
		if d := &st.Planned[i]; late[d.Work.ID] {
			g.Late = append(g.Late, entryOf(st, d, 0))
		}
	}
	return g
}
