package mixed_test

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"underfoot/mixed"
)

// Figures beside lme4 come from bench/mixed/run.sh, which makes the tables and names their folder in the environment.
const benchData = "UNDERFOOT_BENCH_DATA"

const (
	panelModel     = "value ~ layer * t + (1 + t | green) + (1 | green:layer)"
	portfolioModel = "value ~ t + layer + (1 + t | course) + (1 | cg)"
)

// lmer does what one call of lme4's lmer does: reads the formula, writes the table out as a design and fits it.
func lmer(b *testing.B, frame *mixed.Frame, model string) *mixed.Fitted {
	b.Helper()
	formula, err := mixed.ParseFormula(model)
	if err != nil {
		b.Fatal(err)
	}
	d, err := formula.Design(frame, mixed.DesignOptions{})
	if err != nil {
		b.Fatal(err)
	}
	f, err := mixed.Fit(d, mixed.Options{})
	if err != nil {
		b.Fatal(err)
	}
	return f
}

// madeTable is a table that bench/mixed/run.sh made; without it the benchmark is left out.
func madeTable(b *testing.B, name string) *mixed.Frame {
	b.Helper()
	folder := os.Getenv(benchData)
	if folder == "" {
		b.Skipf("%s is not set: bench/mixed/run.sh makes the tables", benchData)
	}
	frame, err := mixed.ReadCSV(func() (io.ReadCloser, error) { return os.Open(filepath.Join(folder, name)) }, mixed.CSVOptions{Name: name})
	if err != nil {
		b.Fatal(err)
	}
	return frame
}

func BenchmarkSleepstudy(b *testing.B) {
	in := problem{Data: "sleepstudy.csv", Formula: "Reaction ~ Days + (Days | Subject)", Factors: []string{"Subject"}}
	frame := readTable(b, in.Data).frame(b, in.Factors)
	b.Run("lmer", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			lmer(b, frame, in.Formula)
		}
	})
	d := designOf(b, in)
	for _, of := range []struct {
		name string
		run  func(f *mixed.Fitted) error
	}{
		{"fit", func(*mixed.Fitted) error { return nil }},
		{"satterthwaite", func(f *mixed.Fitted) error { _, err := f.Satterthwaite(); return err }},
		{"kenward-roger", func(f *mixed.Fitted) error { _, _, err := f.KenwardRoger(); return err }},
		{"intervals", func(f *mixed.Fitted) error { _, err := f.Intervals(0.95); return err }},
	} {
		b.Run(of.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f, err := mixed.Fit(d, mixed.Options{})
				if err != nil {
					b.Fatal(err)
				}
				if err := of.run(f); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkPanel(b *testing.B) {
	for _, of := range []struct{ name, model string }{{"plain", panelModel}, {"dates", panelModel + " + (1 | date)"}} {
		b.Run(of.name, func(b *testing.B) {
			frame := madeTable(b, "panel.csv")
			b.ReportAllocs()
			for b.Loop() {
				lmer(b, frame, of.model)
			}
		})
	}
}

func BenchmarkPortfolio(b *testing.B) {
	frame := madeTable(b, "portfolio.csv")
	b.ReportAllocs()
	for b.Loop() {
		lmer(b, frame, portfolioModel)
	}
}
