package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
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
	k.Head = []string{"Sand, mm", "t", costHead(v.plan), "Crew, h", "Disturbed days"}
	layers := v.found.what.Nothing.Forecast.Layers
	for _, l := range layers {
		k.Head = append(k.Head, underfoot.LayerName(l.Top, l.Bottom)+", %")
	}
	k.Head = append(k.Head, "Chance")
	strip := figure.PlanStrip{From: v.plan.From().Time(), Until: v.plan.Until().Time(), Growth: v.growth()}
	k.From, k.Until = page.PlainDay(strip.From), page.PlainDay(strip.Until)
	rows := v.keptRows(names)
	v.kept = rows
	for _, x := range rows {
		for _, e := range x.plan.Entries {
			strip.Most = max(strip.Most, e.SandMM)
		}
	}
	for _, row := range rows {
		x := page.KeptPlan{Name: row.name, Title: row.title, Remark: row.remark}
		strip.Work = yearWork(row.plan)
		x.Picture = strip.Scene().SVG()
		if row.err != nil {
			x.Note = page.Sentence(strings.TrimPrefix(row.err.Error(), "plan: "))
		} else {
			c, f := row.does.Cost, row.does.Forecast
			x.Cells = []string{page.Num(c.SandMM, 1), page.Tonnes(c.SandTonnes), page.Num(c.Money(), 0), page.Num(c.Hours, 0), page.Num(c.Disturbed, 0)}
			last := len(f.Days) - 1
			for l := range layers {
				e := f.Estimate(-1, last, l)
				x.Cells = append(x.Cells, fmt.Sprintf("%s (%s)", page.Num(100*e.Q50, 1), page.Reach(100*e.Q05, 100*e.Q95, 1)))
			}
			words, _ := findings.Chance(row.does.Probability)
			x.Cells = append(x.Cells, words)
		}
		if row.name != "" {
			q := v.ask.query()
			v.terms.query(q)
			open := &seasonRows{nitrogen: nitrogenText(row.nitrogen)}
			open.set(row.plan)
			open.query(q)
			x.Href = page.CoursePath(course, "plan") + "?" + q.Encode() + "#work"
		}
		k.Plans = append(k.Plans, x)
	}
	return k
}

// keptRow is a plan of the comparison; one without a name is that which was found.
type keptRow struct {
	name, title, remark string
	plan                season.Plan
	nitrogen            float64 // kg/ha a season it moved to; 0 for none
	does                *app.Rehearsed
	err                 error
}

// keptRows are the plan that was found and the kept ones, each rehearsed with the nitrogen it moved. What lies outside the
// time planned for is left out: of an accepted plan that is under way, the rest is set beside the plan made anew.
func (v *seasonView) keptRows(names []string) []keptRow {
	var rows []keptRow
	if best := v.found.plan.Proposed(); best != nil && v.found.what.Plan != nil {
		x := keptRow{title: "as found", plan: best.Plan, nitrogen: v.found.plan.Nitrogen, does: v.found.what.Plan}
		x.remark = nitrogenRemark(x.nitrogen)
		rows = append(rows, x)
	}
	for _, name := range names {
		x := keptRow{name: name, title: name, nitrogen: v.plan.KeptNitrogen(name)}
		var before, after int
		x.plan, before, after = v.plan.Within(v.plan.Kept(name))
		if name == underfoot.AcceptedPlan {
			x.title = "accepted into the log"
			if before > 0 {
				x.title = "the rest of the accepted plan"
			}
		}
		remarks := []string{}
		for _, out := range []struct {
			n    int
			when string
		}{{before, "before " + page.PlainDay(v.plan.From().Time())}, {after, "after " + page.PlainDay(v.plan.Until().Time())}} {
			if out.n > 0 {
				remarks = append(remarks, fmt.Sprintf("without %s %s", page.CountWords(out.n, "piece of work", "pieces of work"), out.when))
			}
		}
		if text := nitrogenRemark(x.nitrogen); text != "" {
			remarks = append(remarks, text)
		}
		x.remark = strings.Join(remarks, "; ")
		var fed *app.SeasonPlan
		if fed, x.err = v.plan.Feeding(x.nitrogen); x.err == nil {
			x.does, x.err = fed.Rehearse(x.plan)
		}
		rows = append(rows, x)
	}
	return rows
}

func nitrogenRemark(total float64) string {
	if total == 0 {
		return ""
	}
	return "nitrogen moved to " + page.Num(total, 0) + " kg/ha a season"
}

// restAddress asks for a plan from the first day on that can be planned, at least as long as the accepted one.
func restAddress(st *standing, last underfoot.Date) string {
	at := page.CoursePath(st.Records.Course.ID, "plan")
	m, err := st.Model()
	if err != nil || st.Direction.Verdict == findings.Unknown {
		return at + "#ask"
	}
	from, until := m.SeasonDates()
	_, _, chance := app.Reckoned()
	q := url.Values{
		"from": {from.String()}, "until": {max(until, last).String()}, "toward": {string(st.Direction.Verdict)}, "chance": {underfoot.FormatNumber(10 * chance)}, "sand": {st.Sand.ID},
	}
	return at + "?" + q.Encode() + "#gone"
}

// rest sets what is left of the accepted plan beside the plan made anew, both rehearsed from here for what is asked.
func (v *seasonView) rest() []string {
	i := slices.IndexFunc(v.kept, func(x keptRow) bool { return x.name == underfoot.AcceptedPlan })
	if i < 0 || v.kept[i].err != nil || v.kept[i].does == nil {
		return nil
	}
	say := func(what string, plan season.Plan, r *app.Rehearsed) string {
		words, _ := findings.Chance(r.Probability)
		return fmt.Sprintf("%s (%s, %s mm of sand, %s): %s; all of what is wanted comes about in %s.", what, page.CountWords(len(plan.Entries), "piece of work", "pieces of work"),
			page.Num(r.Cost.SandMM, 1), v.plan.Money(r.Cost.Money()), v.plan.Lies(r), words)
	}
	list := []string{say("The rest of the accepted plan as it stands", v.kept[i].plan, v.kept[i].does)}
	if v.kept[0].name == "" {
		list = append(list, say("Planned anew from here", v.kept[0].plan, v.kept[0].does))
	}
	return list
}

// address is the question with the work as typed.
func (v *seasonView) address() url.Values {
	q := v.ask.query()
	if v.terms != nil {
		v.terms.query(q)
	}
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
	g := &page.SeasonGone{Course: course, Rest: page.Link{Href: restAddress(st, p.Last), Text: "Plan the rest from here"}}
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
