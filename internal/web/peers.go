package web

import (
	"context"
	"fmt"
	"io"
	"slices"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// peerTable is a table of peers as it was sent: shown once, kept nowhere.
type peerTable struct {
	name   string
	rows   []app.PeerRow
	errors []string
}

// peersOf sets the course among the others, and says what may be exchanged.
func (s *server) peersOf(ctx context.Context, st *standing, table peerTable) (page.Peers, error) {
	id := st.Records.Course.ID
	found, err := s.app.Peers(ctx, id, table.rows)
	if err != nil {
		return page.Peers{}, err
	}
	out := page.Peers{
		Course: id, Caution: found.Caution, Why: found.Why, Table: page.PeerUpload{Errors: table.errors}, Summary: s.summaryOf(ctx, id),
	}
	for _, n := range found.Notes {
		out.Notes = append(out.Notes, page.Sentence(n))
	}
	if len(table.rows) > 0 {
		out.Table.Name = table.name
		out.Table.Says = fmt.Sprintf("Shown with %s, %s.", table.name, page.Count(len(table.rows), "row", "rows"))
		if used(found) == 0 {
			out.Table.Says += " None of its rows is of a species and layer of this course, and recent enough."
		}
	}
	axis := peerAxis(found.Layers)
	for i := range found.Layers {
		if l := &found.Layers[i]; l.Why == "" {
			out.Panels = append(out.Panels, peerPanel(st, l, axis))
		} else if len(out.Notes) == 0 || !slices.Contains(out.Notes, layerWhy(l)) {
			out.Notes = append(out.Notes, layerWhy(l))
		}
	}
	if len(out.Panels) == 0 && out.Why == "" && len(found.Layers) > 0 {
		out.Why, out.Notes = found.Layers[0].Why, slices.DeleteFunc(out.Notes, func(n string) bool {
			return slices.ContainsFunc(found.Layers, func(l app.PeerLayer) bool { return n == layerWhy(&l) && l.Why == found.Layers[0].Why })
		})
	}
	return out, nil
}

func used(p *app.PeersFound) (n int) {
	for _, l := range p.Layers {
		n += l.FromTables
	}
	return n
}

func layerWhy(l *app.PeerLayer) string {
	return underfoot.LayerName(l.TopMM, l.BottomMM) + ", " + l.Species + ": " + l.Why
}

// peerAxis is what all strips span, so that layers compare.
func peerAxis(layers []app.PeerLayer) figure.Interval {
	var out figure.Interval
	first := true
	for _, l := range layers {
		if l.Why != "" {
			continue
		}
		low, high := l.Measured, l.Measured
		if l.MeasuredSE != nil {
			low, high = max(0, low-z90**l.MeasuredSE), high+z90**l.MeasuredSE
		}
		for _, q := range l.Quantiles {
			low, high = min(low, q.OM), max(high, q.OM)
		}
		if first {
			out, first = figure.Interval{Low: low, High: high}, false
		}
		out.Low, out.High = min(out.Low, low), max(out.High, high)
	}
	return out
}

const z50 = 0.674 // half width of the middle half, in standard errors of a normal distribution

func pointed(mid, se float64) *figure.Estimate {
	e := withError(mid, se)
	e.Inner = figure.Interval{Low: max(0, mid-z50*se), High: mid + z50*se}
	return &e
}

// reached is an estimate with its interval: "7.5 % (6.7 to 8.3)".
func reached(e *figure.Estimate) string {
	return page.Num(e.Mid, 1) + " % (" + page.Span(e.Outer.Low, e.Outer.High, 1) + ")"
}

func peerPanel(st *standing, l *app.PeerLayer, axis figure.Interval) page.PeerPanel {
	f := figure.PeerStrip{Layer: layerName(l.TopMM, l.BottomMM), Axis: axis, Width: 760}
	t := page.Table{Caption: "Other courses at " + f.Layer + ", " + l.Species + ", % of oven-dry mass", Head: []string{"Of 100 courses, below", "OM, %"}}
	for _, q := range l.Quantiles {
		f.Peers = append(f.Peers, figure.PeerLevel{P: q.P, OM: q.OM})
		t.Rows = append(t.Rows, page.Row{Cells: []string{page.Num(100*q.P, 0), page.Num(q.OM, 2)}})
	}
	if l.MeasuredSE != nil {
		f.Measured = pointed(l.Measured, *l.MeasuredSE)
		t.Rows = append(t.Rows, page.Row{Cells: []string{"this course, as measured", page.Num(l.Measured, 2) + " ± " + page.Num(*l.MeasuredSE, 2)}, Total: true})
	}
	var sure string
	if l.Level != nil && l.LevelSE != nil {
		f.Level = pointed(*l.Level, *l.LevelSE)
		t.Rows = append(t.Rows, page.Row{Cells: []string{"this course, after pooling", page.Num(*l.Level, 2) + " ± " + page.Num(*l.LevelSE, 2)}, Total: true})
	}
	if f.Measured != nil && f.Level != nil {
		sure = fmt.Sprintf("Measured in %d: %s. With its sampling allowed for: %s, 9 in 10.", l.Year, reached(f.Measured), reached(f.Level))
	}
	from := page.Count(l.Courses, "other course", "other courses")
	switch l.FromTables {
	case 0:
	case l.Courses:
		from += ", all behind tables"
	default:
		from += fmt.Sprintf(", %d of them behind tables", l.FromTables)
	}
	wide := f.Scene()
	f.Width = 358
	return page.PeerPanel{
		Depths: depths(st, l.TopMM, l.BottomMM), Species: l.Species,
		Figure: page.Figure{Picture: page.Draw(wide, f.Scene()), Says: l.Says, Sure: sure, YAxis: "Organic matter, % of oven-dry mass; " + from, Table: &t, Method: l.Method},
	}
}

// summaryOf says whether the store has enough courses to be summed up without naming one.
func (s *server) summaryOf(ctx context.Context, course string) page.PeerSummary {
	out := page.PeerSummary{Says: "Quantiles and numbers of courses by species, layer and year, of all courses here. It names no course, and leaves out what rests on fewer than five."}
	written, err := s.app.ExportPeers(ctx, io.Discard, "")
	out.LeftOut = written.LeftOut
	if err != nil {
		out.Why = page.Sentence(err.Error())
		return out
	}
	out.Href = page.CoursePath(course, "peers.csv")
	return out
}
