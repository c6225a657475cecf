package app

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/unit"
)

// PeerRow is one row of a table of peers: the distribution of one layer among the courses of one adviser in one year.
type PeerRow struct {
	Species         string
	TopMM, BottomMM float64
	Year            int
	Table           findings.PeerTable
}

// peerQuantile is a column of quantiles of the table of peers.
type peerQuantile struct {
	column string
	p      float64
	needed bool
}

func peerQuantiles() []peerQuantile {
	return []peerQuantile{
		{"q05_percent", 0.05, false},
		{"q10_percent", 0.10, false},
		{"q25_percent", 0.25, true},
		{"q50_percent", 0.50, true},
		{"q75_percent", 0.75, true},
		{"q90_percent", 0.90, false},
		{"q95_percent", 0.95, false},
	}
}

// PeerColumns are the columns of a table of peers in the order they are written; docs/model/peers.md describes them.
func PeerColumns() []string {
	out := []string{"source", "species", "top_mm", "bottom_mm", "year", "courses", "mean_se_percent"}
	for _, q := range peerQuantiles() {
		out = append(out, q.column)
	}
	return out
}

// mostPeerFaults is how many faults of a table are told at once.
const mostPeerFaults = 20

// ReadPeerTable reads a table of peers, whole or not at all; name is told in faults, each with line, column, what was
// found and what is allowed.
func ReadPeerTable(r io.Reader, name string) ([]PeerRow, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = -1
	head, err := in.Read()
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%s: no heading: the first line must hold the columns %s", name, strings.Join(PeerColumns(), ","))
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff")
	if err := checkPeerHead(head, name); err != nil {
		return nil, err
	}
	var rows []PeerRow
	var faults []error
	lines := map[string]int{}
	for len(faults) < mostPeerFaults {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", name, err))
			break
		}
		line, _ := in.FieldPos(0)
		p := peerCells{head: head, cells: cells, where: fmt.Sprintf("%s:%d", name, line)}
		row := p.row()
		if len(p.faults) == 0 {
			key := fmt.Sprintf("%s|%s|%g|%g|%d", row.Table.Source, row.Species, row.TopMM, row.BottomMM, row.Year)
			if before, twice := lines[key]; twice {
				p.fault("the same source, species, layer and year as line %d: allowed is one row for each", before)
			}
			lines[key] = line
		}
		faults = append(faults, p.faults...)
		rows = append(rows, row)
	}
	if len(faults) > 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", errors.Join(faults...))
	}
	if len(rows) == 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "%s: no rows under the heading: a table of peers has one or more", name)
	}
	return rows, nil
}

func checkPeerHead(head []string, name string) error {
	for i, h := range head {
		if !slices.Contains(PeerColumns(), h) {
			return underfoot.Errorf(underfoot.Invalid, "%s:1: column %q is not known: allowed are %s", name, h, strings.Join(PeerColumns(), ", "))
		}
		if slices.Contains(head[:i], h) {
			return underfoot.Errorf(underfoot.Invalid, "%s:1: column %q is there twice", name, h)
		}
	}
	for _, c := range PeerColumns() {
		needed := !strings.HasPrefix(c, "q") && c != "source"
		for _, q := range peerQuantiles() {
			needed = needed || (q.column == c && q.needed)
		}
		if needed && !slices.Contains(head, c) {
			return underfoot.Errorf(underfoot.Invalid, "%s:1: column %q is missing", name, c)
		}
	}
	return nil
}

// peerCells is one line being read.
type peerCells struct {
	head, cells []string
	where       string
	faults      []error
}

func (p *peerCells) fault(format string, args ...any) {
	p.faults = append(p.faults, fmt.Errorf("%s: %s", p.where, fmt.Sprintf(format, args...)))
}

func (p *peerCells) cell(column string) string {
	if i := slices.Index(p.head, column); i >= 0 && i < len(p.cells) {
		return strings.TrimSpace(p.cells[i])
	}
	return ""
}

// number reads a cell within limits; an empty one is a fault.
func (p *peerCells) number(column string, low, high float64) float64 {
	text := p.cell(column)
	v, err := underfoot.ParseNumber(text)
	if err != nil || !(v >= low && v <= high) {
		p.fault("%s: %q: allowed is a number from %s to %s", column, text, underfoot.FormatNumber(low), underfoot.FormatNumber(high))
	}
	return v
}

func (p *peerCells) whole(column string, low, high float64) int {
	v := p.number(column, low, high)
	if v != math.Trunc(v) {
		p.fault("%s: %q: allowed is a whole number", column, p.cell(column))
	}
	return int(v)
}

func (p *peerCells) row() PeerRow {
	if len(p.cells) != len(p.head) {
		p.fault("%d cells: allowed is as many as the heading has, %d", len(p.cells), len(p.head))
		return PeerRow{}
	}
	r := PeerRow{
		Species: speciesName(p.cell("species")), TopMM: p.number("top_mm", 0, 2000), BottomMM: p.number("bottom_mm", 0, 2000),
		Year: p.whole("year", 1900, 2200),
	}
	r.Table.Source = p.cell("source")
	r.Table.Courses = p.whole("courses", findings.LeastPeers, 1e6)
	r.Table.MeanSE = unit.Percent(p.number("mean_se_percent", 0, 100))
	if r.Species == "" {
		p.fault("species: empty: allowed are the grasses in words, as in greens.csv")
	}
	if len(p.faults) == 0 && r.BottomMM <= r.TopMM {
		p.fault("bottom_mm: %q: allowed is a depth below top_mm %s", p.cell("bottom_mm"), p.cell("top_mm"))
	}
	for _, q := range peerQuantiles() {
		if !q.needed && p.cell(q.column) == "" {
			continue
		}
		v := unit.Percent(p.number(q.column, 0, 100))
		if n := len(r.Table.OM); n > 0 && v < r.Table.OM[n-1] {
			p.fault("%s: %q: allowed is no less than the quantile before it, %s", q.column, p.cell(q.column), underfoot.FormatNumber(float64(r.Table.OM[n-1])))
		}
		r.Table.P, r.Table.OM = append(r.Table.P, q.p), append(r.Table.OM, v)
	}
	return r
}

// PeersWritten says what an anonymous summary came to.
type PeersWritten struct {
	Rows    int      // written
	LeftOut []string // groups of fewer courses than may be shown, in words
}

// ExportPeers writes the anonymous summary of the store's greens, one row for each species, layer and year with enough
// courses. A course counts once a layer, with its newest round. It names no course.
func (a *App) ExportPeers(ctx context.Context, w io.Writer, source string) (PeersWritten, error) {
	list, err := a.Store.Courses(ctx)
	if err != nil {
		return PeersWritten{}, err
	}
	all, err := a.allLevels(ctx, list)
	if err != nil {
		return PeersWritten{}, err
	}
	type group struct {
		peerKey
		year int
	}
	groups := map[group][]findings.CourseLevel{}
	for _, course := range all {
		for _, l := range course.levels {
			if l.surface == "green" {
				g := group{l.peerKey, l.year}
				groups[g] = append(groups[g], l.level)
			}
		}
	}
	order := make([]group, 0, len(groups))
	for g := range groups {
		order = append(order, g)
	}
	slices.SortFunc(order, func(a, b group) int {
		return cmp.Or(strings.Compare(a.species, b.species), cmp.Compare(a.topMM, b.topMM), cmp.Compare(a.bottomMM, b.bottomMM), cmp.Compare(a.year, b.year))
	})
	var out PeersWritten
	lines := [][]string{PeerColumns()}
	for _, g := range order {
		name := fmt.Sprintf("%s, %s, %d", g.species, underfoot.LayerName(g.topMM, g.bottomMM), g.year)
		if n := len(groups[g]); n < findings.LeastPeers {
			out.LeftOut = append(out.LeftOut, fmt.Sprintf("%s: %s, and %d are needed", name, counted(n, "course", "courses"), findings.LeastPeers))
			continue
		}
		lines = append(lines, append([]string{source, g.species, underfoot.FormatNumber(g.topMM), underfoot.FormatNumber(g.bottomMM), fmt.Sprint(g.year)}, summary(groups[g])...))
		out.Rows++
	}
	if out.Rows == 0 {
		return out, underfoot.Errorf(underfoot.Negative, "nothing is written: no species, layer and year has %d courses in this store", findings.LeastPeers)
	}
	if err := csv.NewWriter(w).WriteAll(lines); err != nil {
		return out, fmt.Errorf("writing the table of peers: %w", err)
	}
	return out, nil
}

// summary gives the cells from the number of courses on. A quantile that would be the figure of a single course, at
// either end, stays empty.
func summary(levels []findings.CourseLevel) []string {
	n := float64(len(levels))
	var se float64
	var om []float64
	for _, l := range levels {
		se += float64(l.SE) / n
		om = append(om, float64(l.OM))
	}
	slices.Sort(om)
	out := []string{fmt.Sprint(len(levels)), fixed(se)}
	for _, q := range peerQuantiles() {
		cell := fixed(findings.Quantile(om, q.p))
		if h := (n+1.0/3)*q.p + 1.0/3; h <= 1 || h >= n {
			cell = ""
		}
		out = append(out, cell)
	}
	return out
}

func fixed(v float64) string { return underfoot.FormatNumber(math.Round(v*1000) / 1000) }
