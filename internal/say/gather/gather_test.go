package gather

import (
	"os"
	"slices"
	"strings"
	"testing"

	"underfoot/docs"
	"underfoot/internal/golden"
)

// read lists the packages whose words reach a page, a report or a workbook. The command line speaks English to everybody.
var read = []string{
	".", "balance", "bench", "bench/findings", "bench/forecast", "calibrate", "coring", "findings", "growth", "mixed", "outline", "profile", "sampling", "season", "sieve",
	"internal/app", "internal/catalogue", "internal/exchange", "internal/figure", "internal/label", "internal/labsheet", "internal/report", "internal/web", "internal/web/page", "internal/workbook",
}

// The catalogue of composed texts lists every text of the source, and none that is gone. Run with -update to write it anew.
func TestCatalogueOfComposedTexts(t *testing.T) {
	texts, err := From(os.DirFS("../../.."), read...)
	if err != nil {
		t.Fatal(err)
	}
	if len(texts) < 3000 {
		t.Fatalf("only %d texts in the source: the test looks in the wrong place", len(texts))
	}
	ofScripts, unasked, err := FromScripts(os.DirFS("../../.."), scripts)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range unasked {
		t.Errorf("%s: a text for a person that txt does not ask for", line)
	}
	texts = append(texts, ofScripts...)
	for _, term := range docs.Terms() {
		for _, words := range []string{term.Title, term.Means, term.Formula, term.Source, term.Limits} {
			if readable(words) {
				texts = append(texts, Text{"docs", strings.ReplaceAll(words, "%", "%%")})
			}
		}
	}
	for _, name := range docs.Models() {
		texts = append(texts, Text{"docs", strings.ReplaceAll(docs.Title(name), "%", "%%")})
	}
	got, err := Catalogue(texts)
	if err != nil {
		t.Fatal(err)
	}
	golden.Equal(t, "../texts/en.composed.toml", got)
}

func TestFrom(t *testing.T) {
	tests := []struct{ name, source, want string }{
		{"a text", `var a = "Sand so far"`, "Sand so far"},
		{"a format", `var a = fmt.Sprintf("%d greens, %.1f %% water", n, w)`, "%d greens, %.1f %% water"},
		{"a share in a text", `var a = "Organic matter, %"`, "Organic matter, %%"},
		{"put together", `var a = "The course " + name + " needs " + plural(n, "green") + "."`, "The course %s needs %s.|green"},
		{"a format in two lines", `var a = fmt.Sprintf("%s asks " + "for sand", x)`, "%s asks for sand"},
		{"what it is asked by", `var a = r.FormValue("green top")`, ""},
		{"cases and keys", `func f() { switch a { case "the first": }; _ = m["the key"] == "the value" }`, ""},
		{"addresses, fields and layouts of dates", `var a = []string{"/course/x", "om_pct", "2 January 2006", "a.csv", "weighedAt"}`, ""},
		{"an import and a tag", "import \"strings\"\ntype t struct { A string `json:\"a thing\"` }", ""},
		{"what a column is", "type t struct { A string `col:\"a\" about:\"Water, %.\"` }", "Water, %%."},
		{"an expression of letters", `var a = "(?i)sand|ash"`, ""},
		{"a file of the words of others", "//gather:none\n\nvar a = \"Siebrückstand gesamt\"", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			words, err := fromFile("a.go", []byte("package a\n\n"+tt.source))
			if err != nil {
				t.Fatal(err)
			}
			slices.Sort(words)
			if got := strings.Join(words, "|"); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
	if _, err := fromFile("a.go", []byte("not go")); err == nil {
		t.Error("a file that is not Go is read without a word")
	}
}
