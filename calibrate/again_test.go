package calibrate

import (
	"bytes"
	"encoding/gob"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/mat"

	"underfoot/profile"
)

// What was found, written down and read back, gives everything that is asked of a calibration again to the last bit.
func TestAgainToTheLastBit(t *testing.T) {
	s := simulate(t, plan{greens: 3, years: 4, seed: 71, truth: drawPrior, ahead: 1})
	fit := s.fit(t)
	now := s.course.Last()
	first, err := fit.Ensemble(60, now, 5, 2)
	if err != nil {
		t.Fatal(err)
	}
	second, err := Again(&s.course, fit.Prior, written(t, first), 1)
	if err != nil {
		t.Fatal(err)
	}
	if x, y := first.Fit, second.Fit; !slices.Equal(x.Mode, y.Mode) || x.Objective != y.Objective || x.Iterations != y.Iterations || !mat.Equal(x.Cov, y.Cov) ||
		!mat.Equal(x.lower, y.lower) || !mat.Equal(x.Evidence.Information, y.Evidence.Information) || !slices.Equal(x.Evidence.Linear, y.Evidence.Linear) {
		t.Error("the fit differs")
	}
	if first.Shape != second.Shape || first.Effective != second.Effective || first.Members() != second.Members() {
		t.Errorf("members %d worth %v, shape %v; again %d worth %v, shape %v", first.Members(), first.Effective, first.Shape, second.Members(), second.Effective, second.Shape)
	}
	both := func(v any, err error) any { return []any{v, err} }
	draws := func(f *Forecast, err error) any {
		if err != nil {
			t.Fatal(err)
		}
		return f.draws
	}
	for what, ask := range map[string]func(*Ensemble) any{
		"spreads":  func(e *Ensemble) any { return e.Fit.Spreads },
		"learnt":   func(e *Ensemble) any { return e.Fit.Learnt() },
		"misfits":  func(e *Ensemble) any { return both(e.Fit.Misfits()) },
		"accounts": func(e *Ensemble) any { return both(e.Flows(AskFlows{Edges: []int{s.course.Start, now}})) },
		"past":     func(e *Ensemble) any { return draws(e.Forecast(Ask{Days: []int{now - 300, now}, Seed: 3})) },
		"ahead": func(e *Ensemble) any { // from the columns, which the second brings up only now
			return draws(e.Forecast(Ask{Days: []int{now + 200}, Seed: 3, Futures: []profile.Daily{s.daily}}))
		},
	} {
		if diff := cmp.Diff(ask(first), ask(second)); diff != "" {
			t.Errorf("%s (-first +again)\n%s", what, diff)
		}
	}
}

// What was found of another record, under another prior, or spoilt is refused and not used.
func TestAgainRefuses(t *testing.T) {
	s := simulate(t, plan{greens: 2, years: 3, seed: 72, truth: drawPrior})
	fit := s.fit(t)
	e, err := fit.Ensemble(20, s.course.Last(), 5, 2)
	if err != nil {
		t.Fatal(err)
	}
	course, prior := s.course, fit.Prior
	course.Measured = slices.Clone(course.Measured)
	course.Measured[0].OM *= 1.001
	prior.Mean[0] += 0.001
	spoilt := written(t, e)
	spoilt.Mode[2] = math.Nextafter(spoilt.Mode[2], 10)
	other := simulate(t, plan{greens: 3, years: 3, seed: 72, truth: drawPrior}).course
	for what, again := range map[string]func() (*Ensemble, error){
		"a composite that reads otherwise": func() (*Ensemble, error) { return Again(&course, fit.Prior, written(t, e), 1) },
		"another prior":                    func() (*Ensemble, error) { return Again(&s.course, prior, written(t, e), 1) },
		"a mode a bit off":                 func() (*Ensemble, error) { return Again(&s.course, fit.Prior, spoilt, 1) },
		"a green more":                     func() (*Ensemble, error) { return Again(&other, fit.Prior, written(t, e), 1) },
		"nothing":                          func() (*Ensemble, error) { return Again(&s.course, fit.Prior, Found{}, 1) },
	} {
		if _, err := again(); err == nil || !strings.HasPrefix(err.Error(), "taking a calibration up again: ") {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// written is what was found after it was written down and read back.
func written(t *testing.T, e *Ensemble) Found {
	t.Helper()
	found, ok := e.Found()
	if !ok {
		t.Fatal("nothing to write down")
	}
	var b bytes.Buffer
	if err := gob.NewEncoder(&b).Encode(found); err != nil {
		t.Fatal(err)
	}
	var back Found
	if err := gob.NewDecoder(&b).Decode(&back); err != nil {
		t.Fatal(err)
	}
	return back
}
