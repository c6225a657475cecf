package underfoot_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// imports is the import table: which packages of this module each package may use outside its tests. Top level = words
// an agronomist says, and knows no record, database, page or flag; internal/app joins records to science; the others
// do not know one another except as written here.
var imports = map[string][]string{
	".":                 {},
	"unit":              {},
	"coring":            {"unit"},
	"bench":             {"unit"},
	"mixed":             {},
	"findings":          {"unit", "mixed"},
	"sampling":          {"unit"},
	"outline":           {"unit"},
	"sieve":             {"unit"},
	"balance":           {"unit", "coring"},
	"growth":            {"unit"},
	"profile":           {"unit"},
	"calibrate":         {"unit", "growth", "profile"},
	"season":            {"unit", "coring", "balance", "findings", "profile", "calibrate", "sieve"},
	"docs":              {},
	"examples":          {},
	"examples/generate": {},
	"bench/findings":    {},
	"bench/forecast":    {},

	"internal/reference":       {},
	"internal/golden":          {},
	"internal/numeral":         {},
	"internal/say":             {"unit", "internal/numeral"},
	"internal/say/gather":      {},
	"internal/figure":          {},
	"internal/raster":          {"internal/figure", "internal/typeface"},
	"internal/exchange":        {"."},
	"internal/catalogue":       {".", "unit", "coring", "season"},
	"internal/ical":            {},
	"internal/typeface":        {},
	"internal/label":           {"internal/numeral", "internal/typeface"},
	"internal/labsheet":        {"internal/numeral"},
	"internal/store":           {"."},
	"internal/store/storetest": {"."},
	"internal/app":             {".", "unit", "bench", "coring", "findings", "mixed", "sampling", "outline", "sieve", "balance", "growth", "profile", "calibrate", "season", "internal/catalogue", "internal/exchange", "internal/ical", "internal/label", "internal/labsheet"},
	"internal/report":          {".", "unit", "bench", "coring", "findings", "mixed", "sampling", "outline", "sieve", "balance", "growth", "profile", "calibrate", "season", "internal/app", "internal/figure", "internal/numeral", "internal/say", "internal/typeface"},
	"internal/workbook":        {".", "calibrate", "season", "internal/app"},
	"internal/web":             {".", "unit", "bench", "coring", "findings", "mixed", "sampling", "outline", "sieve", "balance", "growth", "profile", "calibrate", "season", "internal/app", "internal/catalogue", "internal/ical", "internal/label", "internal/labsheet", "internal/exchange", "internal/figure", "internal/raster", "internal/report", "internal/say", "internal/workbook", "internal/web/page", "docs"},
	"internal/web/page":        {"docs", "internal/figure", "internal/numeral", "internal/say"},
	"internal/cli":             {".", "unit", "bench", "coring", "findings", "mixed", "sampling", "outline", "sieve", "balance", "growth", "profile", "calibrate", "season", "internal/app", "internal/catalogue", "internal/ical", "internal/label", "internal/labsheet", "internal/exchange", "internal/store", "internal/web", "internal/report", "internal/say", "internal/workbook", "internal/figure", "internal/raster", "examples"},
	"cmd/underfoot":            {"internal/cli"},
}

func TestImportTable(t *testing.T) {
	const module = "underfoot"
	seen := map[string]bool{}
	err := filepath.WalkDir(".", func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name := d.Name(); file != "." && (strings.HasPrefix(name, ".") || name == "testdata" || name == "tools" || name == "node_modules") {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		pkg := path.Dir(filepath.ToSlash(file))
		allowed, known := imports[pkg]
		if !known {
			if !seen[pkg] {
				t.Errorf("package %s is not in the import table", pkg)
			}
			seen[pkg] = true
			return nil
		}
		seen[pkg] = true
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range parsed.Imports {
			used, _ := strconv.Unquote(spec.Path.Value)
			if used == module {
				used = "."
			} else if rest, ok := strings.CutPrefix(used, module+"/"); ok {
				used = rest
			} else {
				continue
			}
			if !slices.Contains(allowed, used) {
				t.Errorf("%s imports %s: not in the import table", file, used)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for pkg := range imports {
		if !seen[pkg] {
			t.Errorf("the import table names %s, which is not there", pkg)
		}
	}
}
