// Package golden compares what we print with what we printed last time. It says that something changed,
// never that it is right; what is right lives in package reference.
//
// Run a test with -update to write the new text, then read the difference before committing it.
package golden

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

// A test flag has to be registered before the test's main parses the command line.
var update = flag.Bool("update", false, "write golden files instead of comparing with them")

// Equal fails the test when got differs from the file, and with -update writes the file.
func Equal(t testing.TB, path string, got []byte) {
	t.Helper()
	if *update {
		write(t, path, got)
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("reading golden file: %v: run this test with -update to make it, then read what it wrote", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s: the output changed: read the difference, and if it is meant, run this test with -update\n%s",
			path, difference(want, got))
	}
}

func difference(want, got []byte) string {
	if utf8.Valid(want) && utf8.Valid(got) {
		return "(-last time +now)\n" + cmp.Diff(string(want), string(got))
	}
	return cmp.Diff(want, got)
}

func write(t testing.TB, path string, got []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatalf("making the folder of a golden file: %v", err)
	}
	if err := os.WriteFile(path, got, 0o644); err != nil {
		t.Fatalf("writing golden file: %v", err)
	}
}
