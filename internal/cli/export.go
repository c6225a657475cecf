package cli

import (
	"fmt"
	"path/filepath"
	"strings"

	"underfoot"
	"underfoot/internal/app"
)

type exportCommand struct {
	Store  string   `required:"" type:"path" help:"Store file."`
	Course []string `help:"Course to export; may be given several times. All courses if left out."`
	Out    string   `short:"o" required:"" type:"path" help:"Folder to write the package into; a name that ends in .xlsx writes a workbook of one course instead."`
}

// Run writes courses of a store as a package, or one of them as a workbook.
func (c *exportCommand) Run(env *Env) error {
	if strings.EqualFold(filepath.Ext(c.Out), ".xlsx") {
		if len(c.Course) > 1 {
			return underfoot.Errorf(underfoot.Invalid, "%s is a workbook, which holds one course, and %d are named: write them one at a time", shown(c.Out), len(c.Course))
		}
		return (&workbookCommand{source: source{Store: c.Store, Course: strings.Join(c.Course, "")}, Out: c.Out}).Run(env)
	}
	st, err := openStore(env, c.Store, false)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := app.New(st, env.Now, env.Who).Export(env.Context, c.Course, c.Out); err != nil {
		return err
	}
	fmt.Fprintf(env.Stdout, "wrote %s\n", shown(c.Out))
	return nil
}
