package mixed_test

import (
	"fmt"
	"slices"
	"testing"

	"underfoot/mixed"
)

// contrast is one linear combination l of the coefficients, tested both ways.
type contrast struct {
	L             []float64     `json:"l"`
	Satterthwaite *contrastTest `json:"satterthwaite"`
	KenwardRoger  *contrastTest `json:"kenward_roger"`
}

type contrastTest struct {
	Value float64 `json:"value"`
	SE    float64 `json:"se"`
	DF    float64 `json:"df"`
	T     float64 `json:"t"`
	P     float64 `json:"p"`
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`
}

// predictions are values at given rows: with the modes of the levels that the fit has seen, and without any.
type predictions struct {
	Value        []float64 `json:"value"`
	SE           []float64 `json:"se"`     // as a predictor of the mean there; a level not in the fit adds its own variance
	SENew        []float64 `json:"se_new"` // of a new observation
	Population   []float64 `json:"population"`
	PopulationSE []float64 `json:"population_se"`
}

func (y *tally) contrasts(t *testing.T, f *mixed.Fitted, want []contrast) {
	t.Helper()
	for _, w := range want {
		for _, by := range []struct {
			name   string
			method mixed.DF
			want   *contrastTest
		}{{"Satterthwaite", mixed.Satterthwaite, w.Satterthwaite}, {"Kenward–Roger", mixed.KenwardRoger, w.KenwardRoger}} {
			if by.want == nil {
				continue
			}
			got, err := f.Contrast(w.L, by.method)
			name := fmt.Sprintf("%s %v", by.name, w.L)
			if err != nil {
				t.Errorf("contrast %s: %v", name, err)
				continue
			}
			y.check(t, "contrast", name, got.Value, by.want.Value, by.want.SE)
			y.check(t, "contrast se", name, got.SE, by.want.SE, 0)
			y.check(t, "contrast df", name, got.DF, by.want.DF, 0)
			y.check(t, "contrast p", name, got.P, by.want.P, 0)
			y.check(t, "contrast interval", name+" lower", got.Lower95, by.want.Lower, by.want.SE)
			y.check(t, "contrast interval", name+" upper", got.Upper95, by.want.Upper, by.want.SE)
		}
	}
}

func (y *tally) predictions(t *testing.T, d *mixed.Design, f *mixed.Fitted, in problem, want answer) {
	t.Helper()
	w := want.Predictions
	if w == nil {
		return
	}
	at, err := d.At(table(in.At).frame(t, in.Factors))
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.Predict(at)
	if err != nil {
		t.Fatal(err)
	}
	for i, g := range got {
		row := fmt.Sprint("row ", i+1)
		y.check(t, "prediction", row, g.Value, w.Value[i], want.Sigma)
		y.check(t, "prediction se", row, g.SE, w.SE[i], 0)
		y.check(t, "prediction se", row+" new", g.SENew, w.SENew[i], 0)
	}
	for i := range at {
		at[i].Level = slices.Repeat([]int32{-1}, len(at[i].Level))
	}
	if got, err = f.Predict(at); err != nil {
		t.Fatal(err)
	}
	for i, g := range got {
		row := fmt.Sprint("row ", i+1, " of the population")
		y.check(t, "prediction", row, g.Value, w.Population[i], want.Sigma)
		y.check(t, "prediction se", row, g.SE, w.PopulationSE[i], 0)
	}
}
