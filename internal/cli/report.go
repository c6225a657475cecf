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
	Kind       string   `enum:",client,full,committee,crew,bench" default:"" help:"What it is for: client (2 to 4 pages), full, committee (one page in plain words), crew (the dated work) or bench (a round to weigh, or its results). Left out, the report is the one put together last on its page, with the sections, note, names, paper and logo kept with the course; a client report where none was."`
	Paper      string   `enum:",auto,A4,a4,letter,Letter" default:"" help:"Paper it is set for: auto, A4 or letter; auto is A4 in a PDF."`
	PreparedBy string   `help:"Who prepared it; the name kept with the course, else your login name, if left out."`
	For        string   `help:"Whom it is for, such as \"the greens committee\"."`
	Units      string   `enum:"metric,us" default:"metric" help:"Units it is set in: metric, or us for US customary with the month first. Bench readings stay metric."`
	Sections   []string `help:"Sections to set instead of those of the kind, by their keys with commas between, in this order."`
	Note       *string  `help:"A word of your own, set first; empty for none."`
	Logo       string   `type:"path" xor:"logo" help:"PNG or JPEG file to set at the head of the first page, 8 MB at most."`
	NoLogo     bool     `xor:"logo" help:"Leave out the logo that is kept."`
	Plain      bool     `help:"Use nothing of what is kept: the untouched document of its kind, a client report if no kind is named."`
}

// Run writes the report.
func (c *reportCommand) Run(env *Env) error {
	end := strings.ToLower(filepath.Ext(c.Out))
	if end != ".pdf" && end != ".html" && end != ".htm" {
		return underfoot.Errorf(underfoot.Invalid, "%s: give a name ending in .pdf or .html", shown(c.Out))
	}
	said, err := c.said()
	if err != nil {
		return err
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	o := c.over(env, s, said)
	m := report.Build(s, o)
	var b bytes.Buffer
	if end == ".pdf" {
		err = m.PDF(&b, o.Paper)
	} else {
		err = m.HTML(&b, o.Paper, report.Embedded())
	}
	if err != nil {
		return fmt.Errorf("laying out the report: %w", err)
	}
	if err := writeWhole(c.Out, b.Bytes()); err != nil {
		return err
	}
	if end == ".pdf" {
		if err := notePages(env, m, o.Paper); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(env.Stdout, map[string]any{"file": c.Out, "bytes": b.Len(), "kind": string(m.Kind)})
	}
	fmt.Fprintf(env.Stdout, "wrote %s\n", shown(c.Out))
	return nil
}

// notePages says that a PDF is longer than its kind is meant to be; one of a course with little on record may well be shorter.
func notePages(env *Env, m report.Model, paper report.Paper) error {
	pages, err := m.Pages(paper)
	if err != nil {
		return err
	}
	words, wrong := m.Kind.PagesSay(paper, pages)
	if _, most := m.Kind.Allowed(); wrong && pages > most {
		fmt.Fprintln(env.Stderr, "note: "+words)
	}
	return nil
}

// said are what the flags say of the report, checked before anything is read.
func (c *reportCommand) said() (report.Options, error) {
	o := report.Options{Kind: report.Kind(c.Kind), PreparedBy: c.PreparedBy, Recipient: c.For, Sections: c.Sections}
	if c.Units == "us" {
		o.Style = say.Style{Units: say.US, Dates: say.MonthFirst}
	}
	if err := o.CheckSections(); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--sections: %w", err)
	}
	if c.Logo == "" {
		return o, nil
	}
	file, err := os.ReadFile(c.Logo)
	if err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--logo: %w", err)
	}
	if o.Logo, err = report.FitLogo(file); err != nil {
		return o, underfoot.Errorf(underfoot.Invalid, "--logo: %s: %w", shown(c.Logo), err)
	}
	return o, nil
}

// over lays what the flags say over what is kept of the course's report.
func (c *reportCommand) over(env *Env, s *app.Standing, said report.Options) report.Options {
	var kept underfoot.Document
	if !c.Plain {
		kept = s.Document()
	}
	o, bad := report.Kept(kept, said.Kind)
	if bad != nil && c.Logo == "" && !c.NoLogo {
		fmt.Fprintf(env.Stderr, "note: the logo kept with the course is left out: %v\n", bad)
	}
	o.When, o.Version, o.Style = env.Now().In(s.Records.Course.Zone()), readVersion().Version, said.Style
	for _, x := range []struct {
		to          *string
		said, usual string
	}{{&o.PreparedBy, said.PreparedBy, env.Who}, {&o.Recipient, said.Recipient, ""}} {
		if x.said != "" {
			*x.to = x.said
		}
		if *x.to == "" {
			*x.to = x.usual
		}
	}
	if len(said.Sections) > 0 {
		o.Sections = said.Sections
	}
	if c.Note != nil {
		o.Note = *c.Note
	}
	if c.Logo != "" || c.NoLogo {
		o.Logo = said.Logo
	}
	if c.Paper != "" {
		o.Paper = map[string]report.Paper{"auto": report.Auto, "a4": report.A4, "letter": report.Letter}[strings.ToLower(c.Paper)]
	}
	return o
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
