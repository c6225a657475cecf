package cli_test

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A file of 200 MB is read to its last row within 300 MB of memory, and what is wrong with it is said.
func TestLargeFile(t *testing.T) {
	if testing.Short() {
		t.Skip("writes and reads 200 MB")
	}
	if runtime.GOOS != "linux" {
		t.Skip("the peak memory of a process is read as Linux tells it")
	}
	const size = 200 << 20
	cases := []struct {
		name  string
		write func(w *bufio.Writer) (want []string)
	}{
		{"four million rows, the first and the last bad", func(w *bufio.Writer) []string {
			fmt.Fprintln(w, "reading,course,green,date,kind,value,depth_mm,n")
			fmt.Fprintln(w, "first,c,g1,2025-06-31,firmness_gmax,80,,3")
			lines := 2
			for n := 0; n < size; lines++ {
				k, _ := fmt.Fprintf(w, "r%07d,c,g%d,20%02d-06-%02d,firmness_gmax,%d,,3\n", lines, lines%2+1, lines%26, lines%30+1, 60+lines%40)
				n += k
			}
			fmt.Fprintln(w, "last,c,g1,2025-06-30,firmness_gmax,-80,,3")
			return []string{
				`readings.csv:2: date: "2025-06-31" is not a day of the calendar (form 2026-10-08, year-month-day)`,
				fmt.Sprintf("readings.csv:%d: value: -80 is out of range: 0 to 100000 is allowed", lines+1),
			}
		}},
		{"one line without end", func(w *bufio.Writer) []string {
			fmt.Fprintln(w, "reading,course,green,date,kind,value,depth_mm,n")
			for range size / 16 {
				w.WriteString("0123456789abcdef")
			}
			return []string{"readings.csv:2: the line is longer than 4 MB: no row is"}
		}},
		{"a quote that is never closed", func(w *bufio.Writer) []string {
			fmt.Fprintln(w, "reading,course,green,date,kind,value,depth_mm,n")
			fmt.Fprintln(w, `"open,c,g1,2025-06-30,firmness_gmax,80,,3`)
			for n := 0; n < size; {
				k, _ := fmt.Fprintf(w, "r%0200d,c,g1,2025-06-30,firmness_gmax,80,,3\n", n)
				n += k
			}
			return []string{"readings.csv:2: a cell is longer than 1 MB: no cell is; is the quote opened on line 2 never closed?"}
		}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := lay(t, small())
			want := large(t, filepath.Join(dir, "readings.csv"), c.write)
			db := filepath.Join(t.TempDir(), "s.db")

			s, memory := measured(t, "check", dir)
			if diff := cmp.Diff(want, problems(s.stdout)); diff != "" || s.status != 1 {
				t.Errorf("check: status %d, problems (-want +got):\n%s", s.status, diff)
			}
			t.Logf("check took at most %d MB", memory/1e6)
			if memory > 300e6 {
				t.Errorf("check took %d MB, more than 300", memory/1e6)
			}

			s, memory = measured(t, "import", dir, "--store", db)
			want = append(want, "underfoot: package "+dir+" has "+plural(len(want))+": nothing was taken from it")
			if diff := cmp.Diff(want, problems(s.stderr)); diff != "" || s.status != 2 {
				t.Errorf("import: status %d, problems (-want +got):\n%s", s.status, diff)
			}
			t.Logf("import took at most %d MB", memory/1e6)
			if memory > 300e6 {
				t.Errorf("import took %d MB, more than 300", memory/1e6)
			}
			if left := folder(t, filepath.Dir(db)); len(left) > 0 {
				t.Errorf("import left %d files of a store that was not there before", len(left))
			}
		})
	}
}

// large writes a file and returns what must be said about it.
func large(t *testing.T, path string, write func(*bufio.Writer) []string) []string {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewWriterSize(f, 1<<20)
	want := write(w)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return want
}

var highWater = regexp.MustCompile(`VmHWM:\s+([0-9]+) kB`)

// measured runs a command line in a process of its own and returns its peak memory in bytes as well.
func measured(t *testing.T, args ...string) (said, int64) {
	t.Helper()
	cmd, stdout, stderr := process(t, args...)
	file := filepath.Join(t.TempDir(), "status")
	cmd.Env = append(os.Environ(), peakFile+"="+file)
	cmd.Run() // the status says how it went
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	found := highWater.FindSubmatch(text)
	if found == nil {
		t.Fatalf("no peak memory in:\n%s", text)
	}
	kB, err := strconv.ParseInt(string(found[1]), 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return said{stdout.String(), stderr.String(), cmd.ProcessState.ExitCode()}, kB << 10
}
