package exchange

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"underfoot"
)

// million writes a package of n samples with a result each: greens in turn, three layers, rounds of 54 samples.
func million(b testing.TB, n int) string {
	dir := b.TempDir()
	file := func(name string, f func(w *bufio.Writer)) {
		to, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			b.Fatal(err)
		}
		w := bufio.NewWriter(to)
		f(w)
		w.Flush()
		if err := to.Close(); err != nil {
			b.Fatal(err)
		}
	}
	file("courses.csv", func(w *bufio.Writer) { fmt.Fprintf(w, "course,name,time_zone\nbig,Big course,UTC\n") })
	file("greens.csv", func(w *bufio.Writer) {
		fmt.Fprintln(w, "course,green,name")
		for g := range 18 {
			fmt.Fprintf(w, "big,g%02d,Green %d\n", g, g)
		}
	})
	file("samples.csv", func(w *bufio.Writer) {
		fmt.Fprintln(w, "sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm,verdure,position")
		first := underfoot.MakeDate(2000, time.January, 1)
		for i := range n {
			top := i / 18 % 3 * 20
			fmt.Fprintf(w, "big-%07d,big,g%02d,round %d,%s,%d,%d,5,20,kept,\n", i, i%18, i/54, first+underfoot.Date(i/54%9000), top, top+20)
		}
	})
	file("results.csv", func(w *bufio.Writer) {
		fmt.Fprintln(w, "sample,om_percent,om_sd_percent,dry_mass_g,method,lab")
		for i := range n {
			fmt.Fprintf(w, "big-%07d,%.2f,0.12,%.3f,whole,own\n", i, 2+float64(i%400)/100, 30+float64(i%1000)/1000)
		}
	})
	return dir
}

// BenchmarkReadMillion reads a package of a million samples and a million results.
func BenchmarkReadMillion(b *testing.B) {
	const n = 1_000_000
	dir := million(b, n)
	b.ReportAllocs()
	b.ResetTimer()
	peak := uint64(0)
	for range b.N {
		rows := 0
		_, err := Read(b.Context(), dir, Options{Sink: func(underfoot.Record) error {
			if rows++; rows%50_000 == 0 {
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				peak = max(peak, m.HeapAlloc)
			}
			return nil
		}})
		if err != nil {
			b.Fatal(err)
		}
		if rows != 2*n+19 {
			b.Fatalf("%d rows", rows)
		}
	}
	b.ReportMetric(float64(2*n*b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(float64(peak)/1e6, "peak-heap-MB")
}
