package web

import (
	"fmt"
	"net/http"
	"sort"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// showRounds lists the rounds, what was sampled and what is missing.
func (s *server) showRounds(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	p := page.Rounds{Frame: s.courseFrame(r, st, "Rounds", "round"), Course: st.Records.Course.ID, Rounds: roundsOfCourse(st), Planned: plannedRounds(st)}
	switch n := len(p.Rounds); n {
	case 0:
		p.Statement = "No round has been taken yet."
		p.Because = "Common practice: five cores from a green, at least three greens for every layer and three more for the top layer only, " +
			"and 30 to 150 cm³ of material in each composite. Samples come in with a package’s samples.csv."
	case 1:
		p.Statement = fmt.Sprintf("One round so far, on %s.", p.Rounds[0].When)
	default:
		p.Statement = fmt.Sprintf("%s so far, the last on %s.", capital(page.CountWords(n, "round", "rounds")), p.Rounds[0].When)
	}
	return s.send.page(w, r, http.StatusOK, page.RoundsPage(p))
}

// roundsOfCourse gathers the composites round by round, the latest first.
func roundsOfCourse(st *standing) []page.Round {
	by := map[string][]underfoot.Sample{}
	last := map[string]underfoot.Date{}
	for _, s := range st.Records.Samples {
		label := s.RoundLabel()
		by[label] = append(by[label], s)
		last[label] = max(last[label], s.Date)
	}
	var labels []string
	for label := range by {
		labels = append(labels, label)
	}
	sort.Slice(labels, func(i, j int) bool {
		if last[labels[i]] != last[labels[j]] {
			return last[labels[i]] > last[labels[j]]
		}
		return labels[i] < labels[j]
	})
	rows := map[string]*app.BenchRow{}
	for i := range st.Bench {
		rows[st.Bench[i].Sample] = &st.Bench[i]
	}
	var out []page.Round
	for _, label := range labels {
		out = append(out, roundOf(st, label, last[label], by[label], rows))
	}
	return out
}

type span struct{ top, bottom float64 }

func roundOf(st *standing, label string, day underfoot.Date, samples []underfoot.Sample, rows map[string]*app.BenchRow) page.Round {
	r := page.Round{Label: label, When: page.Day(day.Time()), State: page.Finished}
	layers := map[span]int{}
	at := map[string]map[span]underfoot.Sample{}
	cores := 0
	for _, s := range samples {
		l := span{s.TopMM, s.BottomMM}
		layers[l]++
		if at[s.Green] == nil {
			at[s.Green] = map[span]underfoot.Sample{}
		}
		at[s.Green][l] = s
		cores += s.Cores.Or(0)
	}
	var order []span
	for l := range layers {
		order = append(order, l)
	}
	sort.Slice(order, func(i, j int) bool {
		return order[i].top < order[j].top || (order[i].top == order[j].top && order[i].bottom < order[j].bottom)
	})
	for _, l := range order {
		r.Table.Layers = append(r.Table.Layers, page.Depths{Name: layerName(l.top, l.bottom), TopMM: l.top, BottomMM: l.bottom, TotalMM: order[len(order)-1].bottom})
	}
	var missing, outside []string
	within := 0
	for _, g := range st.Records.Greens {
		if at[g.ID] == nil {
			continue
		}
		row := page.RoundRow{Green: g.Title()}
		for _, l := range order {
			s, taken := at[g.ID][l]
			row.Cells = append(row.Cells, roundCell(s, taken, rows[s.ID]))
			if !taken {
				continue
			}
			b := rows[s.ID]
			if b == nil || !b.Known {
				missing = append(missing, g.Title()+" "+layerName(l.top, l.bottom))
				continue
			}
			if b.VolumeCm3 != nil {
				if *b.VolumeCm3 < 30 || *b.VolumeCm3 > 150 {
					outside = append(outside, fmt.Sprintf("%s %s: %s cm³", g.Title(), layerName(l.top, l.bottom), page.Num(*b.VolumeCm3, 0)))
				} else {
					within++
				}
			}
		}
		r.Table.Rows = append(r.Table.Rows, row)
	}
	r.Says = fmt.Sprintf("%s: %s; %s.", page.Count(len(at), "green", "greens"), perLayer(order, layers), page.Count(len(samples), "composite", "composites"))
	if cores > 0 {
		r.Says = strings.TrimSuffix(r.Says, ".") + fmt.Sprintf(" of %s in all.", page.Count(cores, "core", "cores"))
	}
	if within > 0 {
		r.Good = append(r.Good, fmt.Sprintf("%s between 30 and 150 cm³, enough to weigh well.", page.Count(within, "composite lies", "composites lie")))
	}
	if len(outside) > 0 {
		r.Checks = append(r.Checks, "Outside 30 to 150 cm³ of material: "+some(outside)+".")
	}
	if len(missing) > 0 {
		r.Checks = append(r.Checks, "Without a result: "+some(missing)+".")
		r.State = page.Look
	} else {
		r.Good = append(r.Good, "Every composite has its result.")
	}
	return r
}

// perLayer says how many greens each layer was taken on: "0–20 mm on 6, 20–40 mm on 3".
func perLayer(order []span, n map[span]int) string {
	var parts []string
	for _, l := range order {
		parts = append(parts, fmt.Sprintf("%s on %d", layerName(l.top, l.bottom), n[l]))
	}
	return strings.Join(parts, ", ")
}

// some lists names, and counts those beyond the sixth.
func some(list []string) string {
	if len(list) > 6 {
		return strings.Join(list[:6], ", ") + fmt.Sprintf(" and %d more", len(list)-6)
	}
	return page.List(list)
}

func roundCell(s underfoot.Sample, taken bool, b *app.BenchRow) page.RoundCell {
	c := page.RoundCell{Taken: taken}
	if !taken {
		return c
	}
	c.Text = "cores not counted"
	if s.Cores.Known {
		c.Text = page.Count(s.Cores.Value, "core", "cores")
	}
	switch {
	case b != nil && b.Held:
		c.Missing = "held: its furnace run failed"
	case b == nil:
		c.Missing = "not burnt yet"
	case !b.Known:
		c.Missing = strings.Join(b.Warnings, "; ")
	case b.VolumeCm3 != nil:
		c.Text += ", " + page.Num(*b.VolumeCm3, 0) + " cm³"
	}
	return c
}
