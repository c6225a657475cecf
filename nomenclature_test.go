package underfoot_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/golden"
)

// TestNomenclature keeps the tables of docs/nomenclature.md true to the records (go test . -run Nomenclature -update).
func TestNomenclature(t *testing.T) {
	const file, mark = "docs/nomenclature.md", "<!-- tables: written by nomenclature_test.go -->\n"
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	head, _, found := strings.Cut(string(have), mark)
	if !found {
		t.Fatalf("%s has lost its mark %q", file, mark)
	}
	var b strings.Builder
	b.WriteString(head + mark)
	for _, table := range underfoot.Tables() {
		if table == underfoot.Outlines {
			continue // greens.geojson
		}
		fmt.Fprintf(&b, "\n### %s (`%s.csv`)\n\n| column | unit | holds | about |\n| --- | --- | --- | --- |\n", table.Title, table.Name)
		for _, c := range table.Columns {
			name := "`" + c.Name + "`"
			if c.Key {
				name = "**" + name + "**"
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", name, c.Unit, holds(c), about(c))
		}
	}
	golden.Equal(t, file, []byte(b.String()))
}

func holds(c underfoot.Column) string {
	s := [...]string{"text", "number", "whole number", "date"}[c.Kind]
	if c.OneOf != nil {
		s = strings.Join(c.OneOf, ", ")
	}
	limit := func(word string, v *float64) {
		if v != nil {
			s += fmt.Sprintf(", %s %s", word, underfoot.FormatNumber(*v))
		}
	}
	limit("from", c.Min)
	limit("above", c.Above)
	limit("to", c.Max)
	if c.Need {
		s += "; needed"
	}
	return s
}

func about(c underfoot.Column) string {
	s := c.About
	if c.Default != "" {
		s += " Empty: " + c.Default + "."
	}
	if c.Refers != "" {
		s += " Names a row of `" + c.Refers + "`."
	}
	return strings.TrimSpace(s)
}
