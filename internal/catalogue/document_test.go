package catalogue

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/golden"
	"underfoot/season"
)

// TestDocument keeps the tables of operations in docs/model/plan.md true to the code (go test ./internal/catalogue -run Document -update).
func TestDocument(t *testing.T) {
	const file = "../../docs/model/plan.md"
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := between(t, string(have), "operations", builtInTable())
	text = between(t, text, "limits", limitTable())
	golden.Equal(t, file, []byte(text))
}

// between puts a table between its marks.
func between(t *testing.T, text, name, table string) string {
	t.Helper()
	begin, end := "<!-- "+name+": written by internal/catalogue/document_test.go -->\n", "<!-- end of "+name+" -->\n"
	head, rest, ok := strings.Cut(text, begin)
	_, tail, closed := strings.Cut(rest, end)
	if !ok || !closed {
		t.Fatalf("the document has lost its marks %q and %q", begin, end)
	}
	return head + begin + table + end + tail
}

func builtInTable() string {
	var b strings.Builder
	b.WriteString("| operation | depth, mm | filled | sand an event, mm | contractor, money | fuel, money | work, h/ha | disturbed days, full growth | least growth | days apart | to other openings | a season | source |\n")
	b.WriteString("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for _, o := range season.Usual() {
		most := "any"
		if o.PerSeason > 0 {
			most = fmt.Sprint(o.PerSeason)
		}
		fmt.Fprintf(&b, "| %s (`%s`) | %g | %g | %g to %g | %g | %g | %g | %g | %g | %d | %d | %s | %s |\n",
			o.Name, o.ID, o.Depth, o.Fill, o.SandLow, o.SandHigh, o.Contract, o.Fuel, o.Labour, o.Disturbed, o.Growth, o.Spacing, o.Apart, most, o.Source)
	}
	return b.String()
}

func limitTable() string {
	var b strings.Builder
	b.WriteString("| value | unit | allowed | what it is |\n| --- | --- | --- | --- |\n")
	for _, k := range keys() {
		if k.number != nil {
			fmt.Fprintf(&b, "| `%s` | %s | %s to %s | %s |\n", k.name, k.unit, underfoot.FormatNumber(k.low), underfoot.FormatNumber(k.high), k.about)
		}
	}
	return b.String()
}
