package profile_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"underfoot/internal/golden"
	"underfoot/profile"
)

// TestDocument keeps the tables of docs/model/profile.md true to the code (go test ./profile -run Document -update).
func TestDocument(t *testing.T) {
	const file = "../docs/model/profile.md"
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := between(t, string(have), "unknowns", unknowns())
	text = between(t, text, "settings", settings())
	golden.Equal(t, file, []byte(text))
}

// between puts a table between its marks.
func between(t *testing.T, text, name, table string) string {
	t.Helper()
	begin, end := "<!-- "+name+": written by profile/document_test.go -->\n", "<!-- end of "+name+" -->\n"
	head, rest, ok := strings.Cut(text, begin)
	_, tail, closed := strings.Cut(rest, end)
	if !ok || !closed {
		t.Fatalf("the document has lost its marks %q and %q", begin, end)
	}
	return head + begin + table + end + tail
}

func unknowns() string {
	var b strings.Builder
	b.WriteString("| unknown | symbol | unit | middle | 9 in 10 between | allowed | scale | where from |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n")
	for _, e := range profile.Table {
		low, high := e.Range()
		scale := "log"
		if e.Scale == profile.Logit {
			scale = "logit"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %g | %.3g to %.3g | %g to %g | %s, %g | %s |\n",
			e.Name, e.Symbol, e.Unit, e.Middle, low, high, e.Low, e.High, scale, e.Spread, e.Source)
	}
	return b.String()
}

func settings() string {
	var b strings.Builder
	b.WriteString("| setting | symbol | unit | usual | allowed | where from |\n| --- | --- | --- | --- | --- | --- |\n")
	for _, r := range profile.Usual().Rows() {
		fmt.Fprintf(&b, "| %s | %s | %s | %g | %g to %g | %s |\n", r.Name, r.Symbol, r.Unit, r.Value, r.Low, r.High, r.Source)
	}
	return b.String()
}
