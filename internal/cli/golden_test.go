package cli_test

import (
	"path/filepath"
	"testing"

	"underfoot/internal/golden"
)

// What the commands printed last time about the example courses. Numbers move when the science moves; then read the
// difference and run with -update.
func TestTables(t *testing.T) {
	kept, err := filepath.Abs("testdata/golden")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(example(t, ""))
	for _, command := range []string{"check", "bench", "sieve", "findings", "balance", "advise", "power"} {
		for _, course := range []string{"varrowmere", "second"} {
			t.Run(command+" "+course, func(t *testing.T) {
				golden.Equal(t, filepath.Join(kept, command+"-"+course+".txt"), []byte(must(t, command, course)))
			})
		}
	}
}
