package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// listSands lists the sands and the methods of each course.
func (s *server) listSands(w http.ResponseWriter, r *http.Request) error {
	list, err := s.app.Store.Courses(r.Context())
	if err != nil {
		return err
	}
	p := page.Sands{Frame: s.frame(r, "Sands and methods", "sands")}
	list, p.Pages = someOf(r, list)
	for _, k := range s.standings(r.Context(), list) {
		if k.err != nil {
			return k.err
		}
		p.Courses = append(p.Courses, sandsOf(k.st, say.From(r.Context())))
	}
	return s.send.page(w, r, http.StatusOK, page.SandsPage(p))
}

func sandsOf(st *standing, style say.Style) page.CourseSands {
	out := page.CourseSands{ID: st.Records.Course.ID, Name: st.Records.Course.Title()}
	out.Table, out.Notes = sandTable(st, style)
	for i := range out.Table.Rows {
		out.Table.Rows[i].ID = "" // of several courses they may be the same
	}
	out.Grains, out.Drift = grainsOf(st)
	out.Methods = methods(st)
	out.Controls = page.Table{Caption: "Control materials", Head: []string{"Control", "Accepted OM, %", "SD of single burns, points"}}
	for _, c := range st.Records.Controls {
		out.Controls.Rows = append(out.Controls.Rows, page.Row{Cells: []string{c.ID, optional(c.AcceptedPercent, 2), optional(c.SDPercent, 2)}})
	}
	return out
}

// sandTable is what is written down of the sands of a course, with what is taken where something is not.
func sandTable(st *standing, style say.Style) (t page.Table, notes []string) {
	t = page.Table{
		Caption: "Sands", Left: 2, Head: []string{"Sand", "Used for", "Bulk density, kg/m³", "Moisture, % of dry", "Price a tonne", "Load, t", "1 mm over all greens, t dry"},
	}
	for i := range st.Records.Sands {
		x := &st.Records.Sands[i]
		density := x.BulkDensity.Or(float64(app.DefaultSandDensity))
		tonnes := "–"
		if st.AreaM2 > 0 {
			tonnes = page.Mass(density * st.AreaM2 / 1e6)
		}
		price := optional(x.PricePerT, 2)
		if currency := style.MoneyIn(x.Currency); x.PricePerT.Known && currency != "" {
			price += " " + currency
		}
		row := page.Row{ID: page.SandID(x.ID), Cells: []string{x.Title(), roleWord(x.Role), optional(x.BulkDensity, 0), optional(x.MoisturePercent, 1), price, optional(x.LoadT, 0), tonnes}}
		if !x.BulkDensity.Known {
			row.Cells[2] = "not known"
			notes = append(notes, fmt.Sprintf("%s: no bulk density is written down; %s kg/m³ is taken, as is usual for dry topdressing sand.", x.Title(), page.Num(density, 0)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t, notes
}

func optional(v underfoot.Opt[float64], decimals int) string {
	if !v.Known {
		return "–"
	}
	return page.Num(v.Value, decimals)
}

func roleWord(role string) string {
	switch role {
	case "rootzone":
		return "root zone"
	case "":
		return "not said"
	}
	return role
}

// methods lists how the composites were prepared, dried and burnt, and how many of each.
func methods(st *standing) page.Table {
	t := page.Table{Caption: "How samples were dried and burnt", Left: 4, Head: []string{"Sample", "Dried at", "Burnt at", "For", "Composites", "In trends"}}
	type how struct{ sample, dry, ash, hours string }
	n, in, held := map[how]int{}, map[how]int{}, map[how]int{}
	var order []how
	for i := range st.Bench {
		b := &st.Bench[i]
		h := how{sample: b.Method, dry: "–", ash: "–", hours: "–"}
		if len(b.Burnt) > 0 {
			w := b.Burnt[0]
			h.dry, h.ash, h.hours = withUnit(w.DryC, "°C"), withUnit(w.AshC, "°C"), withUnit(w.AshHours, "h")
		} else if h.sample == "" {
			h.sample = "not said"
		}
		if !slices.Contains(order, h) {
			order = append(order, h)
		}
		n[h]++
		if b.Comparable() {
			in[h]++
		} else if b.Held {
			held[h]++
		}
	}
	slices.SortFunc(order, func(a, b how) int { return n[b] - n[a] })
	for _, h := range order {
		word := "all"
		switch in[h] {
		case n[h]:
		case 0:
			word = "none: another quantity"
			if held[h] == n[h] {
				word = "none: held, their furnace run failed"
			}
		default:
			word = fmt.Sprint(in[h])
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{strings.ToUpper(h.sample[:1]) + h.sample[1:], h.dry, h.ash, h.hours, fmt.Sprint(n[h]), word}})
	}
	return t
}

func withUnit(v underfoot.Opt[float64], unit string) string {
	if !v.Known {
		return "not said"
	}
	return num(v.Value) + " " + unit
}
