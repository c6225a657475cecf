package calibrate_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"underfoot/calibrate"
	"underfoot/internal/golden"
	"underfoot/profile"
)

// TestDocument keeps the table of docs/model/calibrate.md true to the code (go test ./calibrate -run Document -update).
func TestDocument(t *testing.T) {
	const file = "../docs/model/calibrate.md"
	const begin, end = "<!-- priors: written by calibrate/document_test.go -->\n", "<!-- end of priors -->\n"
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, ok := strings.Cut(string(have), begin)
	_, tail, closed := strings.Cut(rest, end)
	if !ok || !closed {
		t.Fatalf("%s has lost its marks %q and %q", file, begin, end)
	}
	golden.Equal(t, file, []byte(head+begin+priors(calibrate.Usual())+end+tail))
}

func priors(p calibrate.Prior) string {
	var b strings.Builder
	b.WriteString("| what | symbol | scale | middle | 9 in 10 between | standard deviation on the scale | worth |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	for u, e := range profile.Table {
		low, high := e.Range()
		scale := "log"
		if e.Scale == profile.Logit {
			scale = "logit"
		}
		unit := " " + e.Unit
		if e.Unit == "1" {
			unit = ""
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %.3g%s | %.3g to %.3g | %g | |\n", e.Name, e.Symbol, scale, e.Scale.Value(p.Mean[u]), unit, low, high, e.Spread)
	}
	fmt.Fprintf(&b, "| mass of every composite over what it should be | | log | 1 | | %g | |\n", p.Corer)
	for _, s := range []struct {
		name, symbol, of string
		spread           calibrate.Spread
	}{
		{"organic matter made, between greens", "σ_u", "greens", p.GreenGrowth},
		{"first surface value, between greens", "σ_v", "greens", p.GreenSurface},
		{"composites of 5 cores that begin above 10 mm", "σ_layer", "composites", p.Composite(0)},
		{"composites of 5 cores that begin deeper", "σ_layer", "composites", p.Composite(20)},
		{"discrepancies of rounds and layers", "τ", "rounds and layers", p.Discrepancy},
		{"masses of composites of 5 cores", "σ_mass", "composites", p.Mass},
	} {
		fmt.Fprintf(&b, "| spread of %s | %s | log | | | about %.3g | %g %s |\n", s.name, s.symbol, s.spread.SD, s.spread.Worth, s.of)
	}
	return b.String()
}
