package golden

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// recorder stands in for a test so that its failure can be looked at.
type recorder struct {
	testing.TB
	failed string
}

func (r *recorder) Helper() {}

func (r *recorder) Errorf(format string, args ...any) { r.failed = fmt.Sprintf(format, args...) }

func TestEqual(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	if err := os.WriteFile(path, []byte("one\ntwo\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	same := &recorder{TB: t}
	Equal(same, path, []byte("one\ntwo\n"))
	if same.failed != "" {
		t.Errorf("equal text failed: %s", same.failed)
	}
	other := &recorder{TB: t}
	Equal(other, path, []byte("one\nthree\n"))
	if !strings.Contains(other.failed, "the output changed") || !strings.Contains(other.failed, "three") {
		t.Errorf("changed text: got message %q", other.failed)
	}
}

func TestWriteMakesTheFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "b.txt")
	write(t, path, []byte("now"))
	got, err := os.ReadFile(path)
	if err != nil || string(got) != "now" {
		t.Errorf("wrote %q, %v", got, err)
	}
}
