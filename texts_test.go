package underfoot_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// Each text that pages ask the catalogue for is there, and each that is there is asked for. A key that ends in a point is the
// beginning of several.
func TestCatalogueOfTexts(t *testing.T) {
	asked := regexp.MustCompile(`(?:txt|\bT)\((?:ctx|r\.Context\(\)), "([a-z0-9_.]+)"`)
	used := map[string]bool{"language.name": true, "calendar.": true} // names in dates are read as a whole
	for _, pattern := range []string{"internal/web/*.go", "internal/web/page/*.go", "internal/web/page/*.templ"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_templ.go") || strings.HasSuffix(f, "_test.go") {
				continue
			}
			body, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range asked.FindAllStringSubmatch(string(body), -1) {
				used[m[1]] = true
			}
		}
	}
	if len(used) < 20 {
		t.Fatalf("only %d texts are asked for: the test looks in the wrong place", len(used))
	}
	there := map[string]bool{}
	for _, key := range say.Keys() {
		there[key] = true
		if !used[key] && !used[key[:strings.LastIndexByte(key, '.')+1]] {
			t.Errorf("nobody asks for %s", key)
		}
	}
	for key := range used {
		if !there[key] && !strings.HasSuffix(key, ".") {
			t.Errorf("%s is not in the catalogue", key)
		}
	}
}
