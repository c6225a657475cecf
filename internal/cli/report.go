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
)

type reportCommand struct {
	source
	Out        string `short:"o" required:"" type:"path" help:"File to write, ending in .html."`
	Paper      string `enum:"auto,A4,letter" default:"auto" help:"Paper it is set for: auto, A4 or letter."`
	PreparedBy string `help:"Who prepared it; your login name if left out."`
	For        string `help:"Whom it is for, such as \"the greens committee\"."`
}

// Run writes the client report.
func (c *reportCommand) Run(env *Env) error {
	switch end := strings.ToLower(filepath.Ext(c.Out)); end {
	case ".html", ".htm":
	case ".pdf":
		return underfoot.Errorf(underfoot.Invalid, "%s: PDF is not written yet: give a name ending in .html, open it in a browser and print it to PDF", shown(c.Out))
	default:
		return underfoot.Errorf(underfoot.Invalid, "%s: give a name ending in .html", shown(c.Out))
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	by := c.PreparedBy
	if by == "" {
		by = env.Who
	}
	paper := report.Paper(c.Paper)
	if c.Paper == "auto" {
		paper = report.Auto
	}
	m := report.Build(s, report.Options{PreparedBy: by, Recipient: c.For, When: env.Now(), Version: readVersion().Version})
	var b bytes.Buffer
	if err := m.HTML(&b, paper, report.Embedded()); err != nil {
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
