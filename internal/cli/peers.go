package cli

import (
	"bytes"
	"fmt"
	"os"

	"underfoot"
	"underfoot/internal/app"
)

type peersCommand struct {
	Course    string `arg:"" optional:"" help:"Course to set among its peers; not needed where the store has one only."`
	Store     string `type:"path" required:"" help:"Store file."`
	Reference string `type:"path" help:"Table of peers from elsewhere, CSV, to be counted with the courses of the store."`
	Export    string `type:"path" help:"Write the anonymous summary of the store's courses to this CSV file instead."`
	Source    string `help:"With --export: who the summary is from, for the table's source column."`
	JSON      bool   `help:"Print JSON."`
}

// Run prints where a course stands among its peers, or writes the summary.
func (c *peersCommand) Run(env *Env) error {
	if c.Export != "" && (c.Course != "" || c.Reference != "") {
		return underfoot.Errorf(underfoot.Invalid, "--export sums up all courses of the store: give it without a course and without --reference")
	}
	st, err := openStore(env, c.Store, false)
	if err != nil {
		return err
	}
	defer st.Close()
	a := app.New(st, env.Now, env.Who)
	if c.Export != "" {
		return c.export(env, a)
	}
	var tables []app.PeerRow
	if c.Reference != "" {
		f, err := os.Open(c.Reference)
		if err != nil {
			return underfoot.Errorf(underfoot.NotFound, "opening the table of peers: %w", err)
		}
		defer f.Close()
		if tables, err = app.ReadPeerTable(f, shown(c.Reference)); err != nil {
			return err
		}
	}
	course, err := c.course(env, a)
	if err != nil {
		return err
	}
	p, err := a.Peers(env.Context, course, tables)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, p)
	}
	printPeers(env, p)
	return nil
}

// course is the one that was named, or the only one of the store.
func (c *peersCommand) course(env *Env, a *app.App) (string, error) {
	if c.Course != "" {
		return c.Course, nil
	}
	list, err := a.Store.Courses(env.Context)
	if err != nil {
		return "", err
	}
	if len(list) != 1 {
		return "", underfoot.Errorf(underfoot.Invalid, "the store has %s: say which to set among the others", counted(len(list), "course", "courses"))
	}
	return list[0].ID, nil
}

func (c *peersCommand) export(env *Env, a *app.App) error {
	var b bytes.Buffer
	written, err := a.ExportPeers(env.Context, &b, c.Source)
	if !c.JSON {
		for _, left := range written.LeftOut {
			fmt.Fprintln(env.Stderr, "note: left out "+left)
		}
	}
	if err != nil {
		return err
	}
	if err := writeWhole(c.Export, b.Bytes()); err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, map[string]any{"file": c.Export, "rows": written.Rows, "left_out": append([]string{}, written.LeftOut...)})
	}
	fmt.Fprintf(env.Stdout, "wrote %s: %s, no course named\n", shown(c.Export), counted(written.Rows, "row", "rows"))
	return nil
}

func printPeers(env *Env, p *app.PeersFound) {
	w := env.Stdout
	fmt.Fprintf(w, "%s among its peers\n%s\n", p.Course, wrapped(p.Caution))
	if p.Why != "" {
		fmt.Fprintln(w, "\n"+wrapped(p.Why))
	}
	g := newGrid("layer", "species", "year", ">OM, %", ">± (s.e.)", ">level, %", ">of 100 below", ">9 in 10", ">others", ">10 %", ">25 %", ">50 %", ">75 %", ">90 %")
	for _, l := range p.Layers {
		fmt.Fprintln(w, "\n"+wrapped(underfoot.LayerName(l.TopMM, l.BottomMM)+", "+l.Species+": "+l.Says))
		if l.Why != "" {
			continue
		}
		row := []string{
			underfoot.LayerName(l.TopMM, l.BottomMM), l.Species, fmt.Sprint(l.Year), number(l.Measured, 2), maybe(l.MeasuredSE, 2), maybe(l.Level, 2),
			maybe(l.Percentile, 0), maybe(l.Lower90, 0) + "–" + maybe(l.Upper90, 0), fmt.Sprint(l.Courses),
		}
		for _, q := range l.Quantiles {
			row = append(row, number(q.OM, 1))
		}
		g.row(row...)
	}
	if len(g.rows) > 0 {
		fmt.Fprintln(w)
		g.print(w)
		fmt.Fprintln(w, wrapped("Level: the measured value drawn towards the others by how little its sampling says. The last columns are the levels that 10 to 90 % of the other courses stay below."))
	}
	for _, n := range p.Notes {
		fmt.Fprintln(w, "note: "+n)
	}
}
