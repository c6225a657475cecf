package cli

import (
	_ "embed" // for the number of the release
	"fmt"
	"runtime/debug"
	"strings"
)

// release is the number of the release, set in one file; the toolchain adds the revision it was built from.
//
//go:embed VERSION
var release string

type versionCommand struct {
	JSON bool `help:"Print JSON."`
}

// Run prints the release, and the revision that the Go toolchain stamped into the program.
func (c *versionCommand) Run(env *Env) error {
	v := readVersion()
	if c.JSON {
		return printJSON(env.Stdout, v)
	}
	fmt.Fprintln(env.Stdout, v)
	return nil
}

type version struct {
	Version  string `json:"version"`
	Revision string `json:"revision"`
	Date     string `json:"date"`
	Changed  bool   `json:"locally_changed"`
	Go       string `json:"go"`
}

// String puts the version on one line.
func (v version) String() string {
	parts := []string{"underfoot " + v.Version}
	if v.Revision != "" {
		parts = append(parts, "revision "+v.Revision[:min(12, len(v.Revision))]+" of "+v.Date)
	}
	if v.Changed {
		parts = append(parts, "with local changes")
	}
	return strings.Join(append(parts, v.Go), ", ")
}

func readVersion() version {
	v := version{Version: strings.TrimSpace(release)}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return v
	}
	v.Go = info.GoVersion
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Revision = s.Value
		case "vcs.time":
			v.Date = s.Value
		case "vcs.modified":
			v.Changed = s.Value == "true"
		}
	}
	return v
}
