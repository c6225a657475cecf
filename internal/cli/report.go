package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/report"
	"underfoot/internal/say"
)

type reportCommand struct {
	source
	Out        string   `short:"o" required:"" type:"path" help:"File to write, ending in .pdf or .html."`
	Kind       string   `enum:"client,full,committee,crew,bench" default:"client" help:"What it is for: client (2 to 4 pages), full, committee (one page in plain words), crew (the dated work) or bench (a round to weigh, or its results)."`
	Paper      string   `enum:"auto,A4,a4,letter,Letter" default:"auto" help:"Paper it is set for: auto, A4 or letter; auto is A4 in a PDF."`
	PreparedBy string   `help:"Who prepared it; your login name if left out."`
	For        string   `help:"Whom it is for, such as \"the greens committee\"."`
	Units      string   `enum:"metric,us" default:"metric" help:"Units it is set in: metric, or us for US customary with the month first. Bench readings stay metric."`
	Sections   []string `help:"Sections to set instead of those of the kind, by their keys with commas between, in this order."`
	Note       string   `help:"A word of your own, set first."`
	Logo       string   `type:"path" help:"PNG or JPEG file to set at the head of the first page."`
}

// Run writes the report.
func (c *reportCommand) Run(env *Env) error {
	end := strings.ToLower(filepath.Ext(c.Out))
	if end != ".pdf" && end != ".html" && end != ".htm" {
		return underfoot.Errorf(underfoot.Invalid, "%s: give a name ending in .pdf or .html", shown(c.Out))
	}
	o, err := c.options(env)
	if err != nil {
		return err
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	paper := map[string]report.Paper{"auto": report.Auto, "a4": report.A4, "letter": report.Letter}[strings.ToLower(c.Paper)]
	o.Paper = paper
	m := report.Build(s, o)
	var b bytes.Buffer
	if end == ".pdf" {
		err = m.PDF(&b, paper)
	} else {
		err = m.HTML(&b, paper, report.Embedded())
	}
	if err != nil {
		return fmt.Errorf("laying out the report: %w", err)
	}
	if err := writeWhole(c.Out, b.Bytes()); err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, map[string]any{"file": c.Out, "bytes": b.Len()})
	}
	fmt.Fprintf(env.Stdout, "wrote %s\n", shown(c.Out))
	return nil
}

// options are what the flags say of the report.
func (c *reportCommand) options(env *Env) (report.Options, error) {
	o := report.Options{
		PreparedBy: c.PreparedBy, Recipient: c.For, When: env.Now(), Version: readVersion().Version, Kind: report.Kind(c.Kind), Sections: c.Sections, Note: c.Note,
	}
	if c.Units == "us" {
		o.Style = say.Style{Units: say.US, Dates: say.MonthFirst}
	}
	if o.PreparedBy == "" {
		o.PreparedBy = env.Who
	}
	if err := o.CheckSections(); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--sections: %w", err)
	}
	if c.Logo == "" {
		return o, nil
	}
	var err error
	if o.Logo, err = os.ReadFile(c.Logo); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--logo: %w", err)
	}
	if err := o.CheckLogo(); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--logo: %s: %w", shown(c.Logo), err)
	}
	return o, nil
}

// writeWhole writes a file beside its place and moves it there, so that a half-written one never stands in it.
func writeWhole(path string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".underfoot-*")
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "writing %s: %w", shown(path), err)
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(text); err != nil {
		f.Close()
		return fmt.Errorf("writing %s: %w", shown(path), err)
	}
	if err := f.Close(); err != nil {
		return fmt.Errorf("writing %s: %w", shown(path), err)
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return fmt.Errorf("writing %s: %w", shown(path), err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("writing %s: %w", shown(path), err)
	}
	return nil
}
