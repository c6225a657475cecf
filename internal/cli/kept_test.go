package cli_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/store"
)

// A report is the same to the last byte whether its model was worked out for it, taken from what the store keeps, or worked out
// again because what is kept was spoilt. Nothing of it travels.
func TestReportWithWhatIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "courses.db")
	must(t, "import", example(t, "varrowmere"), "--store", path)
	report := func() []byte {
		t.Helper()
		file := filepath.Join(t.TempDir(), "report.pdf")
		must(t, "report", "--store", path, "--course", "varrowmere", "--out", file)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	kinds := []string{"model: balance", "model: calibration", "model: looking back", "model: outlook"}
	kept := func(change func(*underfoot.Kept)) map[string]string {
		t.Helper()
		st, err := store.Open(context.Background(), path, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer st.Close()
		all := map[string]string{}
		for _, kind := range kinds {
			k, err := st.KeptOf(t.Context(), kind, "varrowmere")
			if err != nil || k == nil {
				t.Fatalf("%s is not kept: %v", kind, err)
			}
			all[kind] = string(k.Data)
			if change != nil {
				change(k)
				if err := st.Keep(t.Context(), *k); err != nil {
					t.Fatal(err)
				}
			}
		}
		return all
	}
	first := report()
	whole := kept(nil)
	if !bytes.Equal(first, report()) {
		t.Error("the report from what is kept differs")
	}

	out := filepath.Join(t.TempDir(), "out")
	must(t, "export", "--store", path, "-o", out)
	for name, text := range folder(t, out) {
		for kind, data := range whole {
			if strings.Contains(text, kind) || strings.Contains(text, data[64:]) {
				t.Errorf("%s of the export holds what is kept as %q", name, kind)
			}
		}
	}

	kept(func(k *underfoot.Kept) { k.Data[len(k.Data)/2] ^= 4 })
	if !bytes.Equal(first, report()) {
		t.Error("the report after what is kept was spoilt differs")
	}
	for kind, data := range kept(nil) {
		if data != whole[kind] {
			t.Errorf("%s was not worked out anew", kind)
		}
	}
}
