package exchange

import (
	"bufio"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A file of 200 MB, good or broken, is read without keeping it.
func TestReadLargeFile(t *testing.T) {
	if testing.Short() {
		t.Skip("writes 200 MB")
	}
	const size = 200 << 20
	line := "s1,a,g1,spring,2026-04-01,0,20\n"
	tests := []struct {
		name, body string // the body is repeated up to 200 MB
		want       []string
	}{
		{"one line", "x", []string{"samples.csv:3: the line is longer than 4 MB: no row is"}},
		{"one quote", "x", []string{
			"samples.csv:3: the row is longer than 4 MB: no row is; is the quote opened on line 3 never closed?",
			"samples.csv:4: the line is longer than 4 MB: no row is",
		}},
		{"blank lines", "\r\n", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := base()
			delete(files, "weighings.csv")
			delete(files, "results.csv")
			dir := lay(t, files)
			f, err := os.Create(filepath.Join(dir, "samples.csv"))
			if err != nil {
				t.Fatal(err)
			}
			w := bufio.NewWriterSize(f, 1<<20)
			w.WriteString("sample,course,green,round,date,top_mm,bottom_mm\n" + line)
			if tt.name == "one quote" {
				w.WriteString("\"\n")
			}
			part := strings.Repeat(tt.body, 1<<10)
			for n := 0; n < size; n += len(part) {
				w.WriteString(part)
			}
			if err := w.Flush(); err != nil {
				t.Fatal(err)
			}
			if err := f.Close(); err != nil {
				t.Fatal(err)
			}
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			got, _ := said(t, dir, Options{})
			runtime.ReadMemStats(&after)
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
			if used := (after.TotalAlloc - before.TotalAlloc) >> 20; used > 40 {
				t.Errorf("%d MB were allocated", used)
			}
		})
	}
}

func TestReadLargeOutlines(t *testing.T) {
	dir := lay(t, base())
	path := filepath.Join(dir, outlineFile)
	if err := os.WriteFile(path, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, maxOutlines+1); err != nil {
		t.Fatal(err)
	}
	got, _ := said(t, dir, Options{})
	if diff := cmp.Diff([]string{"greens.geojson: is larger than 64 MB: no such file is"}, got); diff != "" {
		t.Error(diff)
	}
}
