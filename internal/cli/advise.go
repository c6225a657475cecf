package cli

import (
	"underfoot/internal/app"
)

type adviseCommand struct {
	source
}

// Run prints next season's sand in plain words.
func (c *adviseCommand) Run(env *Env) error {
	_, err := c.standing(env, app.Wishes{})
	return err
}

type reportCommand struct {
	source
	Out string `short:"o" required:"" type:"path" help:"File to write, ending in .html."`
}

// Run writes the client report.
func (c *reportCommand) Run(env *Env) error {
	_, err := c.standing(env, app.Wishes{})
	return err
}
