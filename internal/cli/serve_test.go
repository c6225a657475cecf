package cli_test

import (
	"io"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var address = regexp.MustCompile(`http://[0-9.:]+`)

// A page of the web app comes from the address that is printed, and an interrupt ends the program in good order.
func TestServe(t *testing.T) {
	db := filepath.Join(t.TempDir(), "s.db")
	must(t, "import", example(t, "varrowmere"), "--store", db)
	page, rest := firstPage(t, "serve", "--store", db, "--listen", "127.0.0.1:0")
	if !strings.Contains(page, "Varrowmere Links") {
		t.Errorf("the first page does not name the course:\n%.2000s", page)
	}
	if rest != "" {
		t.Errorf("standard error: %s", rest)
	}
}

// The demo shows both example courses, says that they are invented, and leaves nothing behind.
func TestDemo(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	page, rest := firstPage(t, "demo", "--listen", "127.0.0.1:0")
	for _, want := range []string{"Varrowmere Links", "Ostrelby Common", "invented"} {
		if !strings.Contains(page, want) {
			t.Errorf("the first page does not say %q:\n%.2000s", want, page)
		}
	}
	if rest != "" {
		t.Errorf("standard error: %s", rest)
	}
	if left := folder(t, temp); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// An address that is taken is named, with what to do.
func TestServeAddressTaken(t *testing.T) {
	cmd, _, _ := process(t, "serve", "--store", filepath.Join(t.TempDir(), "s.db"), "--listen", "127.0.0.1:0")
	at := strings.TrimPrefix(start(t, cmd), "http://")
	s := run(t, "serve", "--store", filepath.Join(t.TempDir(), "other.db"), "--listen", at)
	want := "underfoot: listening on " + at + ": listen tcp " + at + ": bind: address already in use: give another address with --listen\n"
	if s.status != 2 || s.stderr != want {
		t.Errorf("status %d, %q, want 2, %q", s.status, s.stderr, want)
	}
	stop(t, cmd)
}

// firstPage runs a command that serves, fetches its first page, ends it with an interrupt, and returns the page and
// what came on standard error.
func firstPage(t *testing.T, args ...string) (page, stderr string) {
	t.Helper()
	cmd, _, said := process(t, args...)
	reply, err := http.Get(start(t, cmd))
	if err != nil {
		t.Fatal(err)
	}
	defer reply.Body.Close()
	text, err := io.ReadAll(reply.Body)
	if err != nil || reply.StatusCode != http.StatusOK {
		t.Fatalf("status %s, %v", reply.Status, err)
	}
	stop(t, cmd)
	return string(text), slow.ReplaceAllString(said.String(), "")
}

// slow is what the program says of a page that took long: on a busy machine under the race detector the first one does.
var slow = regexp.MustCompile(`(?m)^.* WARN slow page .*\n`)
