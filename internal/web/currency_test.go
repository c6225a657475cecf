package web

import (
	"net/http"
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/say"
)

// Money whose sand names no currency reads in the reader's own on every page that shows money, with the same figures as without
// one: nothing is converted. Where the sand names a currency the reader's own appears nowhere.
func TestOwnCurrency(t *testing.T) {
	s := newSite(t, Options{})
	plan := planAt + "?" + typed(asking(), "2027-05-03", "light-dressing", "0.4", "2027-08-16", "core-8", "1", "2028-06-05", "dressing", "0.8").Encode()
	pages := []string{plan, "/course/varrowmere/report", "/course/varrowmere/report?kind=client", "/course/varrowmere/operations", "/course/varrowmere/operation/core-8", "/course/varrowmere/sands", "/sands"}
	order := strings.Replace(plan, "/plan?", "/plan/file/order.csv?", 1)
	read := func(path, currency string) string {
		w := s.as(say.Style{Currency: currency}, http.MethodGet, path, nil)
		if w.Code != http.StatusOK {
			t.Fatalf("%s: status %d\n%s", path, w.Code, plain(w.Body.String()))
		}
		return w.Body.String()
	}
	for _, path := range append(pages, order) {
		if text := plain(read(path, "NZD")); strings.Contains(text, "NZD") || !strings.Contains(text, "GBP") {
			t.Errorf("%s: the sand names GBP, the reader NZD; the page says GBP: %v, NZD: %v", path, strings.Contains(text, "GBP"), strings.Contains(text, "NZD"))
		}
	}
	rs, err := s.app.Store.Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.app.Store.Change(t.Context(), "a test", "sands without a currency", func(tx underfoot.Tx) error {
		for i := range rs.Sands {
			x := rs.Sands[i]
			x.Currency = ""
			if _, err := tx.Put(&x); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	for _, path := range append(pages, order) {
		without, with := plain(read(path, "")), plain(read(path, "NZD"))
		if strings.Contains(without, "NZD") || path != "/sands" && strings.Contains(without, "GBP") {
			t.Errorf("%s: nobody names a currency, but the page does", path)
		}
		if !strings.Contains(with, "NZD") {
			t.Errorf("%s: the reader's NZD is not on the page", path)
		}
		for _, x := range []string{"Cost, NZD", "NZD/t", " NZD"} {
			if path == plan && !strings.Contains(with, x) {
				t.Errorf("%s: no %q on the page", path, x)
			}
		}
		if a, b := apart(without, strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(with, ", NZD", ""), " (NZD)", ""), " NZD", ""), ",NZD,", ",,")); a != "" {
			t.Errorf("%s: with a currency other words or figures stand there:\n%s\n%s", path, a, b)
		}
	}
}

// apart gives two texts from the first word on in which they differ; nothing where they do not.
func apart(a, b string) (string, string) {
	x, y := strings.Fields(a), strings.Fields(b)
	for i := range max(len(x), len(y)) {
		if i >= len(x) || i >= len(y) || x[i] != y[i] {
			from := max(0, i-6)
			return strings.Join(x[min(from, len(x)):min(i+8, len(x))], " "), strings.Join(y[min(from, len(y)):min(i+8, len(y))], " ")
		}
	}
	return "", ""
}
