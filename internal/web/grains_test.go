package web

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"underfoot"
)

// tidied is the text of a page without the spaces that marks inside a sentence leave before its stops.
func tidied(html string) string {
	return strings.NewReplacer(" ,", ",", " .", ".", " )", ")", " :", ":", " ;", ";").Replace(plain(html))
}

// What the page of the sands says of the larger example: the answer, how sure it is, what the log leads one to expect, water
// with how far formulas go, the ranked sands with their price, and care for lungs.
func TestGrainsPage(t *testing.T) {
	s := newSite(t, Options{})
	got := tidied(s.local("/course/varrowmere/sands"))
	for _, says := range []string{
		"Fine dust at the sieves", "fine silica dust", "a qualified person come first",
		"The ash of 0–20 mm is becoming finer, by 5.6 % of grain size a year (4.1 to 6.9 %, 19 times in 20).",
		"13.2 kg/m² of sand since 8 October 2024 make up 72 % of 0–20 mm if it lies in order.",
		"Clean sand of this kind lets water through more slowly",
		"right to a factor of about three",
		"Dressing sand A, medium with care",
		"Limit not met: fine sand, 0.15–0.25 mm 27.3 %, allowed at most 20 %.",
		"Fine sand is 0.15–0.25 mm by the construction recommendation, 0.10–0.25 mm by USDA and 0.063–0.20 mm by ISO 14688-1.",
		"8.9 ± 0.7: too close to tell",
	} {
		if !strings.Contains(got, says) {
			t.Errorf("the page does not say %q", says)
		}
	}
	if t.Failed() {
		t.Log(got)
	}
	list := tidied(s.local("/sands"))
	for _, says := range []string{"Dressing sand B, medium-fine 0.157 0.308 0.507 2.26 7.6 6 of 8 with care", "The sand of 0–20 mm is becoming finer."} {
		if !strings.Contains(list, says) {
			t.Errorf("the list of sands does not say %q:\n%s", says, list)
		}
	}
}

// A gravel among the sands is held against the root zone; a table that cannot be worked out is named, not drawn.
func TestGravelAndBrokenTable(t *testing.T) {
	s := newSite(t, Options{})
	_, err := s.app.Store.Change(context.Background(), "a test", "sieved a gravel", func(tx underfoot.Tx) error {
		put := func(r underfoot.Record) error { _, err := tx.Put(r); return err }
		for _, id := range []string{"gravel \"6\"", "nothing"} {
			if err := put(&underfoot.Sand{Course: "varrowmere", ID: id, Role: "other"}); err != nil {
				return err
			}
		}
		for mm, g := range map[float64]float64{12.5: 0, 9.5: 5, 6.3: 300, 4: 550, 2: 140, 1: 3, 0: 2} {
			if err := put(&underfoot.Sieve{Course: "varrowmere", Source: "sand:gravel \"6\"", SieveMM: mm, RetainedG: g}); err != nil {
				return err
			}
		}
		return put(&underfoot.Sieve{Course: "varrowmere", Source: "sand:nothing", SieveMM: 1})
	})
	if err != nil {
		t.Fatal(err)
	}
	w := s.get("/course/varrowmere/sands")
	if w.Code != http.StatusOK {
		t.Fatalf("status %d", w.Code)
	}
	got := tidied(w.Body.String())
	_, choice, _ := strings.Cut(got, "Choosing a sand")
	if choice, _, _ = strings.Cut(choice, "Effective are"); choice == "" || strings.Contains(choice, "gravel \"6\"") {
		t.Errorf("a gravel is offered as a sand to choose: %s", choice)
	}
	for _, says := range []string{
		`Gravel: gravel "6"`, "Bridging: D15 of the gravel over D85 of the root zone. at most 8", "nothing: sieving: every fraction is 0 g: nothing was sieved",
	} {
		if !strings.Contains(got, says) {
			t.Errorf("the page does not say %q:\n%s", says, got)
		}
	}
}
