package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"underfoot"
)

// big puts a sample and a result for every number in by one change, samples first, in the order of the numbers.
func big(b *testing.B, s *SQLite, numbers []int32) {
	b.Helper()
	_, err := s.Change(context.Background(), "ann", "imported a package", func(x underfoot.Tx) error {
		if _, err := x.Put(&underfoot.Course{ID: "a"}); err != nil {
			return err
		}
		if _, err := x.Put(&underfoot.Green{Course: "a", ID: "1"}); err != nil {
			return err
		}
		for _, i := range numbers {
			if _, err := x.Put(&underfoot.Sample{
				Course: "a", ID: fmt.Sprintf("s%07d", i), Green: "1", Round: "2026", Date: 20000, BottomMM: 20, Cores: underfoot.Some(5),
				CoreDiameterMM: underfoot.Some(19.5), Verdure: "removed",
			}); err != nil {
				return err
			}
		}
		for _, i := range numbers {
			if _, err := x.Put(&underfoot.Result{
				Course: "a", Sample: fmt.Sprintf("s%07d", i), OMPercent: float64(i%700) / 100, OMSDPercent: underfoot.Some(0.12), Method: "whole",
			}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
}

// BenchmarkImport puts in a million samples and a million results: how many rows a second, and how much memory.
func BenchmarkImport(b *testing.B) {
	const n = 1000000
	random := rand.New(rand.NewPCG(1, 2))
	for _, order := range []string{"sorted", "shuffled"} {
		b.Run(order, func(b *testing.B) {
			numbers := upTo(n)
			if order == "shuffled" {
				random.Shuffle(n, func(i, j int) { numbers[i], numbers[j] = numbers[j], numbers[i] })
			}
			for b.Loop() {
				big(b, openTest(b), numbers)
			}
			b.ReportMetric(float64(2*n*b.N)/b.Elapsed().Seconds(), "rows/s")
			b.ReportMetric(peakMB(b), "peak-MB")
		})
	}
}

func upTo(n int) []int32 {
	numbers := make([]int32, n)
	for i := range numbers {
		numbers[i] = int32(i)
	}
	return numbers
}

// BenchmarkImportAgain puts the same records in a second time, which changes nothing.
func BenchmarkImportAgain(b *testing.B) {
	const n = 200000
	numbers := upTo(n)
	s := openTest(b)
	big(b, s, numbers)
	for b.Loop() {
		big(b, s, numbers)
	}
	b.ReportMetric(float64(2*n*b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkUndoImport takes back and brings back 100,000 samples with their results.
func BenchmarkUndoImport(b *testing.B) {
	const n = 100000
	numbers := upTo(n)
	s := openTest(b)
	big(b, s, numbers)
	id := int64(1)
	for b.Loop() {
		c, err := s.Undo(context.Background(), "ann", id)
		if err != nil {
			b.Fatal(err)
		}
		id = c.ID
	}
	b.ReportMetric(float64(2*n*b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkRecords reads a course of the size of the example: 2,200 days of weather, 1,500 readings, 400 samples with
// two weighings each, 500 entries.
func BenchmarkRecords(b *testing.B) {
	ctx := context.Background()
	s := openTest(b)
	_, err := s.Change(ctx, "ann", "imported a package", func(x underfoot.Tx) error {
		put := func(r underfoot.Record) {
			if _, err := x.Put(r); err != nil {
				b.Fatal(err)
			}
		}
		put(&underfoot.Course{ID: "a"})
		put(&underfoot.Sand{Course: "a", ID: "m"})
		for i := range 18 {
			put(&underfoot.Green{Course: "a", ID: strconv.Itoa(i)})
		}
		for i := range 2200 {
			put(&underfoot.Weather{Course: "a", Date: underfoot.Date(i), TMinC: underfoot.Some(4.5), TMaxC: underfoot.Some(15.5), RainMM: underfoot.Some(1.2)})
		}
		for i := range 1500 {
			put(&underfoot.Reading{Course: "a", ID: fmt.Sprintf("r%d", i), Green: strconv.Itoa(i % 18), Date: underfoot.Date(i), Kind: "firmness_gmax", Value: 80, N: underfoot.Some(9)})
		}
		for i := range 500 {
			put(&underfoot.Work{Course: "a", ID: fmt.Sprintf("w%d", i), Date: underfoot.Date(i), Status: "done", Kind: "topdress", Sand: "m", SandMM: underfoot.Some(0.6), Cost: underfoot.Some(700.0)})
		}
		for i := range 400 {
			sample := fmt.Sprintf("s%d", i)
			put(&underfoot.Sample{Course: "a", ID: sample, Green: strconv.Itoa(i % 18), Date: underfoot.Date(i), BottomMM: 20, Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(19.5)})
			for _, crucible := range []string{"c1", "c2"} {
				put(&underfoot.Weighing{
					Course: "a", Sample: sample, Crucible: crucible, FurnaceRun: "f1", TareG: underfoot.Some(42.87), MoistG: underfoot.Some(90.0), DryG: underfoot.Some(82.268),
					AshG: underfoot.Some(80.589), DryC: underfoot.Some(105.0), AshC: underfoot.Some(440.0), AshHours: underfoot.Some(8.0), ResolutionG: underfoot.Some(0.001), Kind: "sample",
					Extra: underfoot.Extra{"tare_g": "42.870"},
				})
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Records(ctx, "a"); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOpen starts on a store that is there.
func BenchmarkOpen(b *testing.B) {
	path := filepath.Join(b.TempDir(), "courses.db")
	for b.Loop() {
		s, err := Open(context.Background(), path, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if err := s.Close(); err != nil {
			b.Fatal(err)
		}
	}
}

// peakMB returns the most memory this program has had since it began, in MB, as Linux tells; 0 elsewhere.
func peakMB(b *testing.B) float64 {
	b.Helper()
	if runtime.GOOS != "linux" {
		return 0
	}
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Fatal(err)
	}
	for line := range strings.Lines(string(status)) {
		if f := strings.Fields(line); f[0] == "VmHWM:" {
			kB, err := strconv.ParseFloat(f[1], 64)
			if err != nil {
				b.Fatal(err)
			}
			return kB / 1000
		}
	}
	return 0
}
