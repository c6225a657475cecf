package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/label"
)

// papers are the flags that both papers of a round share.
type papers struct {
	source
	Out   string `short:"o" required:"" type:"path" help:"File to write, ending in .pdf."`
	Round string `help:"Label of the round, taken or planned in rounds.csv; the latest if left out."`
	Paper string `enum:"auto,A4,letter" default:"auto" help:"Paper it is printed on: A4, letter, or auto for the paper usual where the course is."`
}

// round finds the round and the paper.
func (p *papers) round(env *Env) (*app.FieldRound, label.Paper, error) {
	if !strings.EqualFold(filepath.Ext(p.Out), ".pdf") {
		return nil, "", underfoot.Errorf(underfoot.Invalid, "%s: give a name ending in .pdf", shown(p.Out))
	}
	list, err := p.records(env)
	if err != nil {
		return nil, "", err
	}
	rs, err := app.OneCourse(list, p.source.Course)
	if err != nil {
		return nil, "", err
	}
	r, err := app.FieldRoundOf(rs, p.Round)
	paper := label.Paper(p.Paper)
	if p.Paper == "auto" {
		paper = app.PaperOf(&rs.Course)
	}
	return r, paper, err
}

// write writes the PDF and says so.
func (p *papers) write(env *Env, r *app.FieldRound, body []byte) error {
	if err := writeWhole(p.Out, body); err != nil {
		return err
	}
	greens := map[string]bool{}
	for _, c := range r.Composites {
		greens[c.Green] = true
	}
	if p.JSON {
		return printJSON(env.Stdout, map[string]any{
			"file": p.Out, "bytes": len(body), "round": r.Label, "planned": r.Planned, "samples": len(r.Composites), "greens": len(greens),
		})
	}
	fmt.Fprintf(env.Stdout, "wrote %s: round %s, %s on %s\n", shown(p.Out), r.Label, counted(len(r.Composites), "bag", "bags"), counted(len(greens), "green", "greens"))
	return nil
}

type fieldsheetCommand struct {
	papers
}

// Run writes the field sheet of a round.
func (c *fieldsheetCommand) Run(env *Env) error {
	r, paper, err := c.round(env)
	if err != nil {
		return err
	}
	sheet := r.Sheet(paper)
	sheet.About = r.About("Field sheet", readVersion().Version, env.Now())
	var b bytes.Buffer
	if err := label.WriteSheet(&b, sheet); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "field sheet of round %q: %w", r.Label, err)
	}
	if err := c.write(env, r, b.Bytes()); err != nil || c.JSON {
		return err
	}
	fmt.Fprintln(env.Stdout, "Print it at 100 %: the bar at its foot must be 50 mm long.")
	fmt.Fprintln(env.Stdout, "Care: "+strings.Join(label.Cautions(), " "))
	return nil
}

type labelsCommand struct {
	papers
	Sheet      string   `help:"Sheet of labels by its key, such as a4-3x7; list prints them all."`
	Columns    int      `help:"Labels across."`
	Rows       int      `help:"Labels down."`
	Width      float64  `help:"Width of a label in mm."`
	Height     float64  `help:"Height of a label in mm."`
	Left       *float64 `help:"Left margin in mm."`
	Top        *float64 `help:"Top margin in mm."`
	GapX       *float64 `help:"Gap between labels across in mm."`
	GapY       *float64 `help:"Gap between labels down in mm."`
	First      int      `default:"1" help:"First free label on the first sheet."`
	Copies     int      `default:"1" help:"Copies of each label."`
	SampleOnly bool     `help:"The code holds the sample's name only, for readers that type what they read."`
	Edges      bool     `help:"Draw the edges, to cut the labels from plain paper."`
	Sample     []string `help:"Only these composites."`
}

// Run writes the bag labels of a round.
func (c *labelsCommand) Run(env *Env) error {
	r, paper, err := c.round(env)
	if err != nil {
		return err
	}
	stock, err := c.stock(paper)
	if err != nil {
		return err
	}
	if err := r.Only(c.Sample); err != nil {
		return err
	}
	if faults := stock.Faults(c.First); len(faults) > 0 {
		return underfoot.Errorf(underfoot.Invalid, "bag labels: %s", faults[0].Text)
	}
	if c.Copies < 1 {
		return underfoot.Errorf(underfoot.Invalid, "bag labels: %d copies of each label: 1 to 10 are allowed", c.Copies)
	}
	o := label.Labels{
		Stock: stock, First: c.First, Copies: c.Copies, SampleOnly: c.SampleOnly, Edges: c.Edges,
		About: r.About("Bag labels", readVersion().Version, env.Now()),
	}
	var b bytes.Buffer
	if err := label.WriteLabels(&b, r.Bags(), o); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "bag labels of round %q: %w", r.Label, err)
	}
	return c.write(env, r, b.Bytes())
}

// stock is the sheet that is named, or the first on the paper, with the sizes that were given instead of its own.
func (c *labelsCommand) stock(paper label.Paper) (label.Stock, error) {
	var chosen *label.Preset
	var keys []string
	for _, p := range label.Presets() {
		keys = append(keys, fmt.Sprintf("%s (%s)", p.Key, p.Title))
		if p.Key == c.Sheet || (c.Sheet == "" && chosen == nil && p.Stock.Paper == paper) {
			chosen = &p
		}
	}
	if chosen == nil {
		return label.Stock{}, underfoot.Errorf(underfoot.Invalid, "no sheet of labels %q: there are %s; or give the sizes of your own with --columns, --rows, --width, --height, --left, --top, --gap-x and --gap-y", c.Sheet, strings.Join(keys, ", "))
	}
	s := chosen.Stock
	if c.Paper != "auto" {
		s.Paper = paper
	}
	for _, x := range []struct {
		to   *int
		from int
	}{{&s.Columns, c.Columns}, {&s.Rows, c.Rows}} {
		if x.from != 0 {
			*x.to = x.from
		}
	}
	for _, x := range []struct {
		to   *float64
		from float64
	}{{&s.Width, c.Width}, {&s.Height, c.Height}} {
		if x.from != 0 {
			*x.to = x.from
		}
	}
	for _, x := range []struct{ to, from *float64 }{{&s.Left, c.Left}, {&s.Top, c.Top}, {&s.GapX, c.GapX}, {&s.GapY, c.GapY}} {
		if x.from != nil {
			*x.to = *x.from
		}
	}
	return s, nil
}
