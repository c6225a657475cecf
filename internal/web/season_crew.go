package web

import (
	"fmt"
	"net/http"

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
	for _, day := range v.plan.CrewSheet(v.rows.plan) {
		for _, t := range day.Tasks {
			x := page.CrewTask{Day: page.Day(day.Date.Time()), What: upperFirst(t.What), Kind: t.Kind, Setup: t.Setup}
			facts := []string{fmt.Sprintf("%s crew hours", page.Num(t.Hours, 0)), fmt.Sprintf("about %s until it has healed", page.Count(int(t.Disturbed+0.5), "day", "days"))}
			if t.Tonnes > 0 {
				facts = append(facts, fmt.Sprintf("%s t of sand to have ready", page.Tonnes(t.Tonnes)))
			}
			if t.Loads > 0 {
				facts = append(facts, fmt.Sprintf("%s lorry loads", page.Num(t.Loads, 1)))
			}
			x.Facts = page.List(facts)
			fills := t.FillMM > 0.005
			x.Table.Head = []string{"Green", "Area, m²", fmt.Sprintf("Spread %s mm, kg", page.Num(t.SpreadMM, 2))}
			if t.Kind == string(season.InjectSand) {
				x.Table.Head[2] = fmt.Sprintf("Inject %s mm, kg", page.Num(t.SpreadMM, 2))
			}
			if fills {
				x.Table.Head = append(x.Table.Head, fmt.Sprintf("Into the holes %s mm, kg", page.Num(t.FillMM, 2)))
			}
			x.Table.Head = append(x.Table.Head, "Litres")
			for _, g := range t.Greens {
				if g.AreaM2 == 0 {
					x.Unsized++
					continue
				}
				cells := []string{g.Title, page.Num(g.AreaM2, 0), page.Num(g.SpreadKg, 0)}
				if fills {
					cells = append(cells, page.Num(g.FillKg, 0))
				}
				x.Table.Rows = append(x.Table.Rows, page.Row{Cells: append(cells, page.Num(g.Litres, 0))})
			}
			p.Tasks = append(p.Tasks, x)
		}
	}
	p.Cautions = v.plan.Cautions()
	return s.send.page(w, r, http.StatusOK, page.CrewPage(p))
}
