package web

import (
	"fmt"
	"math"
	"net/http"
	"slices"

	"underfoot/internal/app"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// showCrew is the crew sheet of a plan, to print.
func (s *server) showCrew(w http.ResponseWriter, r *http.Request) error {
	v, err := s.wholeSeason(r)
	if err != nil {
		return err
	}
	p := page.Crew{
		Frame: s.courseFrame(r, v.st, "Crew sheet", "plan"), Over: v.st.Records.Course.Title(),
		Statement: fmt.Sprintf("Work from %s to %s", page.Day(v.plan.From().Time()), page.Day(v.plan.Until().Time())),
		Back:      page.CoursePath(v.st.Records.Course.ID, "plan") + "?" + v.address().Encode() + "#work",
	}
	p.Sand = "Sand: " + v.plan.Sand.Title() + ". Amounts are of sand as delivered, moist; loads and settings of machines are left to the maker’s manual."
	for _, g := range crewGroups(v.plan.CrewSheet(v.rows.plan)) {
		p.Tasks = append(p.Tasks, crewTask(g, say.From(r.Context())))
	}
	p.Cautions = v.plan.Cautions()
	return s.send.page(w, r, http.StatusOK, page.CrewPage(p))
}

// crewGroup is the same work on several days.
type crewGroup struct {
	days  []app.CrewDay // each with the one task
	tasks []app.CrewTask
}

const daysOnSheet = 8 // as many columns of boxes as a page takes

// crewGroups puts days of the same work with the same amounts on one sheet.
func crewGroups(days []app.CrewDay) []*crewGroup {
	var out []*crewGroup
	for _, day := range days {
		for _, t := range day.Tasks {
			i := slices.IndexFunc(out, func(g *crewGroup) bool {
				x := &g.tasks[0]
				return len(g.days) < daysOnSheet && x.What == t.What && x.Setup == t.Setup && math.Abs(x.SpreadMM-t.SpreadMM) < 0.005 && math.Abs(x.FillMM-t.FillMM) < 0.005
			})
			if i < 0 {
				out = append(out, &crewGroup{})
				i = len(out) - 1
			}
			out[i].days, out[i].tasks = append(out[i].days, day), append(out[i].tasks, t)
		}
	}
	return out
}

// crewTask is one sheet: the amounts of every green, and a box to tick for each day.
func crewTask(g *crewGroup, style say.Style) page.CrewTask {
	t := &g.tasks[0]
	x := page.CrewTask{What: upperFirst(t.What), Kind: t.Kind, Setup: t.Setup}
	least, most := t.Disturbed, t.Disturbed
	for i, day := range g.days {
		x.Days = append(x.Days, day.Date.Time().Format("2 Jan ’06"))
		least, most = min(least, g.tasks[i].Disturbed), max(most, g.tasks[i].Disturbed)
	}
	x.Day = page.Day(g.days[0].Date.Time())
	if n := len(g.days); n > 1 {
		x.Day = fmt.Sprintf("%s, %s to %s", page.CountWords(n, "day", "days"), x.Day, page.Day(g.days[n-1].Date.Time()))
	}
	healed := page.Count(max(1, int(math.Round(most))), "day", "days")
	if math.Round(most) > math.Round(least) && least >= 0.5 {
		healed = fmt.Sprintf("%s to %s", page.Num(least, 0), healed)
	}
	facts := []string{page.Num(t.Hours, 0) + " crew hours", "about " + healed + " until it has healed"}
	if t.Tonnes > 0 {
		facts = append(facts, page.Tonnes(t.Tonnes)+" t of sand to have ready")
	}
	if t.Loads > 0 {
		facts = append(facts, page.Num(t.Loads, 1)+" lorry loads")
	}
	x.Facts = "Each time " + page.List(facts)
	fills := t.FillMM > 0.005
	verb := "Spread"
	if t.Kind == string(season.InjectSand) {
		verb = "Inject"
	}
	x.Table.Head = []string{"Green", "Area, m²", fmt.Sprintf("%s %s mm, kg", verb, page.Num(t.SpreadMM, 2))}
	if fills {
		x.Table.Head = append(x.Table.Head, fmt.Sprintf("Into the holes %s mm, kg", page.Num(t.FillMM, 2)))
	}
	volume := "Litres"
	if style.Units == say.US {
		volume = style.Unit("L")
	}
	x.Table.Head = append(x.Table.Head, volume)
	for _, green := range t.Greens {
		if green.AreaM2 == 0 {
			x.Unsized++
			continue
		}
		cells := []string{green.Title, page.Num(green.AreaM2, 0), page.Num(green.SpreadKg, 0)}
		if fills {
			cells = append(cells, page.Num(green.FillKg, 0))
		}
		x.Table.Rows = append(x.Table.Rows, page.Row{Cells: append(cells, style.Num(green.Litres, 0, "L"))})
	}
	return x
}
