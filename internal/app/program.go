package app

import (
	"fmt"
	"os"
	"runtime/debug"
	"sync"
)

// program names the program that runs, so that what another version worked out and kept is worked out again: by its
// version and commit, and where it was built from changed or unknown source by the file it is in as well.
var program = sync.OnceValue(func() string {
	name, certain := "", false
	if info, ok := debug.ReadBuildInfo(); ok {
		name = info.Main.Version
		modified := ""
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				name, certain = name+" "+s.Value, true
			case "vcs.modified":
				modified = s.Value
			}
		}
		certain = certain && modified == "false"
	}
	if certain {
		return name
	}
	if file, err := os.Executable(); err == nil {
		if about, err := os.Stat(file); err == nil {
			return fmt.Sprintf("%s %d %d", name, about.Size(), about.ModTime().UnixNano())
		}
	}
	return name
})
