package cli

import (
	"fmt"

	"underfoot/internal/app"
)

type exportCommand struct {
	Store  string   `required:"" type:"path" help:"Store file."`
	Course []string `help:"Course to export; may be given several times. All courses if left out."`
	Out    string   `short:"o" required:"" type:"path" help:"Folder to write the package into."`
}

// Run writes courses of a store as a package.
func (c *exportCommand) Run(env *Env) error {
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
