package mixed_test

import (
	"testing"

	"underfoot/internal/reference"
	"underfoot/mixed"
)

func TestReferenceClassic(t *testing.T) { compareFile(t, "classic.json") }

func TestReferencePanels(t *testing.T) { compareFile(t, "panels.json") }

func TestReferenceStress(t *testing.T) { compareFile(t, "stress.json") }

// compareFile fits every case of a file by REML and by maximum likelihood, as far as the case has answers, and compares
// all there is. Where our criterion is lower than the reference the rest belongs to another point and is left out; the
// table at the end says which cases those are.
func compareFile(t *testing.T, file string) {
	var y tally
	eachCase(t, file, func(t *testing.T, _ reference.Case, in problem, want answer) {
		d, f := fitCase(t, in, mixed.Options{ML: in.ML})
		if y.criterion(t, "criterion", f.Criterion, want.Criterion) {
			y.fit(t, d, f, want)
			y.degrees(t, f, want)
			y.intervals(t, "REML interval", f, want.ProfileREML)
			y.contrasts(t, f, want.Contrasts)
			y.predictions(t, d, f, in, want)
		}
		if want.ML == nil {
			return
		}
		f, err := mixed.Fit(d, mixed.Options{ML: true})
		if err != nil {
			t.Fatalf("fitting by maximum likelihood: %v", err)
		}
		if y.likelihood(t, d, f, want.Terms, *want.ML) {
			y.intervals(t, "ML interval", f, want.ProfileML)
		}
	})
	y.log(t)
}
