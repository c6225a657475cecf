package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/workbook"
)

type workbookCommand struct {
	source
	Out    string `short:"o" required:"" type:"path" placeholder:"FILE.xlsx" help:"Workbook to write."`
	NoPlan bool   `help:"Leave the season plan out: no search for it."`
}

// Run writes a course as a workbook.
func (c *workbookCommand) Run(env *Env) error {
	if ext := strings.ToLower(filepath.Ext(c.Out)); ext != ".xlsx" {
		return underfoot.Errorf(underfoot.Invalid, "--out is %s: a workbook ends in .xlsx", shown(c.Out))
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	zone := s.Records.Course.Zone()
	o := workbook.Options{Author: env.Who, When: env.Now().In(zone), Version: readVersion().Version, WhyNot: "the plan was left out with --no-plan."}
	if !c.NoPlan {
		if o.Plan, o.WhyNot, err = c.plan(env, s); err != nil {
			return err
		}
	}
	book := workbook.Of(s, o)
	var b bytes.Buffer
	if err := book.Write(&b); err != nil {
		return err
	}
	if err := writeWhole(c.Out, b.Bytes()); err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, map[string]any{"file": c.Out, "bytes": b.Len(), "sheets": len(book.Sheets)})
	}
	fmt.Fprintf(env.Stdout, "wrote %s, %s\n", shown(c.Out), counted(len(book.Sheets), "sheet", "sheets"))
	return nil
}

// plan looks for the usual season plan; why says why there is none.
func (c *workbookCommand) plan(env *Env, s *app.Standing) (p *workbook.Plan, why string, err error) {
	if s.Direction.Verdict == findings.Unknown {
		return nil, "there is no direction to plan for yet.", nil
	}
	m, err := s.Model()
	if err != nil {
		return nil, err.Error(), nil
	}
	begin := time.Now()
	plan, err := m.Season(env.Context, m.UsualAsk())
	if err != nil {
		return nil, err.Error(), nil
	}
	if err := env.Context.Err(); err != nil {
		return nil, "", err
	}
	found, err := plan.Found(time.Since(begin).Seconds(), 0, 0)
	if err != nil {
		return nil, "", err
	}
	return &workbook.Plan{Season: plan, Found: found}, found.Unmet, nil
}
