package cli

import (
	"os"
	"runtime/debug"
)

// thrifty collects garbage earlier until the returned function is called, unless GOGC says how early: the keys of a
// package of millions of rows are one large live heap, on top of which the runtime would let as much garbage grow.
// Common practice, no source: at 50 reading takes about a fifth less memory and hardly more time.
func thrifty() (end func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	before := debug.SetGCPercent(50)
	return func() { debug.SetGCPercent(before) }
}
