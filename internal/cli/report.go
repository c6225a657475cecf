package cli

import (
	"underfoot/internal/app"
)

type reportCommand struct {
	source
	Out string `short:"o" required:"" type:"path" help:"File to write, ending in .html."`
}

// Run writes the client report.
func (c *reportCommand) Run(env *Env) error {
	_, err := c.standing(env, app.Wishes{})
	return err
}
