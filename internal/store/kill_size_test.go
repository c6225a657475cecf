//go:build !race

package store

const (
	killedDays = 40000 // days of weather that the child puts in, in one change: enough to spill over from memory to the log
	killedRuns = 50    // children killed
)
