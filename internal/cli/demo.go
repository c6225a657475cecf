package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"underfoot/examples"
	"underfoot/internal/app"
)

type demoCommand struct {
	Listen string `default:"127.0.0.1:8420" help:"Address to listen on."`
}

// Run loads the example courses into a fresh store and serves the web app over it. The store goes when the demo ends.
func (c *demoCommand) Run(env *Env) error {
	dir, err := os.MkdirTemp("", "underfoot-demo-")
	if err != nil {
		return fmt.Errorf("making a folder for the demo: %w", err)
	}
	defer os.RemoveAll(dir)
	packages := filepath.Join(dir, "packages")
	if err := os.CopyFS(packages, examples.Files); err != nil {
		return fmt.Errorf("unpacking the example courses: %w", err)
	}
	st, err := openStore(env, filepath.Join(dir, "demo.db"), true)
	if err != nil {
		return err
	}
	defer st.Close()
	a := app.New(st, env.Now, env.Who)
	for _, name := range examples.Packages() {
		said := newSpeaker(env)
		if _, err := a.Import(env.Context, filepath.Join(packages, name), "the demo", app.Reading{OnProblem: said.problem}); err != nil {
			return fmt.Errorf("loading the example course %s: %w", name, err)
		}
	}
	err = serve(env, a, c.Listen, "invented example courses", demoRemark)
	if errors.Is(err, syscall.EADDRINUSE) && c.Listen == "127.0.0.1:8420" {
		return serve(env, a, "127.0.0.1:0", "invented example courses", demoRemark) // the usual place is taken
	}
	return err
}

const demoRemark = "All courses, names and figures here are invented."
