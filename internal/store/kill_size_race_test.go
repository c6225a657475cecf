//go:build race

package store

// The race detector makes programs slow to start and to run: it has less to do.
const (
	killedDays = 3000
	killedRuns = 10
)
