package cli_test

import (
	"bufio"
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"underfoot/examples"
	"underfoot/internal/cli"
)

// clock is the moment at which every test here runs.
func clock() time.Time { return time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC) }

// TestMain makes the test binary answer to the name underfoot too: scripts and the tests that need a process of their own
// run the real command line that way, with a clock that stands still.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"underfoot": func() {
			env := cli.Process()
			env.Now, env.Who = clock, "tester"
			status := cli.Main(os.Args[1:], env)
			if file := os.Getenv(peakFile); file != "" {
				text, _ := os.ReadFile("/proc/self/status") // the reader misses the peak when this fails
				os.WriteFile(file, text, 0o644)
			}
			os.Exit(status)
		},
	})
}

// peakFile names the variable with the file into which a process writes, at its end, what Linux says of its memory. What
// the parent is told of a child's peak includes the parent's own size at the start.
const peakFile = "UNDERFOOT_TEST_PEAK"

// said is what a command line came to.
type said struct {
	stdout, stderr string
	status         int
}

// run runs a command line inside this process.
func run(t testing.TB, args ...string) said {
	t.Helper()
	var out, err bytes.Buffer
	status := cli.Main(args, &cli.Env{Context: t.Context(), Stdout: &out, Stderr: &err, Now: clock, Who: "tester"})
	return said{out.String(), err.String(), status}
}

// must runs a command line that has to succeed and returns what it printed.
func must(t testing.TB, args ...string) string {
	t.Helper()
	s := run(t, args...)
	if s.status != 0 {
		t.Fatalf("underfoot %s: status %d\n%s%s", strings.Join(args, " "), s.status, s.stdout, s.stderr)
	}
	return s.stdout
}

// process returns a command line that will run in a process of its own.
func process(t testing.TB, args ...string) (cmd *exec.Cmd, stdout, stderr *bytes.Buffer) {
	t.Helper()
	cmd = exec.CommandContext(t.Context(), "underfoot", args...)
	stdout, stderr = &bytes.Buffer{}, &bytes.Buffer{}
	cmd.Stdout, cmd.Stderr = stdout, stderr
	return cmd, stdout, stderr
}

// example unpacks the example courses and returns the folder of the named one, or of all when name is empty.
func example(t testing.TB, name string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, examples.Files); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(dir, name)
}

// lay writes files into a new folder and returns it.
func lay(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "pack")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// folder returns the files of a folder by name.
func folder(t testing.TB, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(text)
	}
	return out
}

// start starts a command that serves and returns the address it prints.
func start(t testing.TB, cmd *exec.Cmd) string {
	t.Helper()
	cmd.Stdout = nil
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	at := address.FindString(line)
	if at == "" {
		t.Fatalf("no address in %q (%v)", line, err)
	}
	return at
}

// stop interrupts a command that serves; it must end with status 0.
func stop(t testing.TB, cmd *exec.Cmd) {
	t.Helper()
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("after an interrupt: %v", err)
	}
}
