package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
)

// evidenceKind is what a course's evidence is kept under; the number changes whenever the model does.
const evidenceKind = "profile evidence 1"

// mostTeachers is how many other courses a prior is learnt from, at most: more add next to nothing.
const mostTeachers = 80

// taught is what a course's rounds say of the model's unknowns, as it is kept.
type taught struct {
	Species     string    `json:"species"`
	Information []float64 `json:"information"` // row by row
	Linear      []float64 `json:"linear"`
}

func pack(species string, e calibrate.Evidence) ([]byte, error) {
	t := taught{Species: species, Linear: e.Linear}
	n := len(e.Linear)
	for i := range n {
		for j := range n {
			t.Information = append(t.Information, e.Information.At(i, j))
		}
	}
	return json.Marshal(t)
}

// unpack gives what was kept; ok is false for what does not fit this model.
func unpack(data []byte) (species string, e calibrate.Evidence, ok bool) {
	var t taught
	n := int(profile.Unknowns)
	if json.Unmarshal(data, &t) != nil || len(t.Linear) != n || len(t.Information) != n*n {
		return "", e, false
	}
	e.Linear, e.Information = t.Linear, mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			e.Information.SetSym(i, j, t.Information[i*n+j])
		}
	}
	return t.Species, e, true
}

// speciesOf is the species of the surface the standing is about, that of its first green that has one.
func (s *Standing) speciesOf() string {
	for _, g := range s.Greens {
		if g.Species != "" {
			return speciesName(g.Species)
		}
	}
	return ""
}

// learn gives the prior of a course of a species from what others taught.
func learn(species string, others []calibrate.Evidence) (calibrate.Prior, error) {
	if len(others) > mostTeachers {
		var some []calibrate.Evidence
		for i := range mostTeachers {
			some = append(some, others[i*len(others)/mostTeachers])
		}
		others = some
	}
	prior, err := calibrate.Learn(calibrate.Usual(), others)
	if err == nil && prior.Courses > 0 {
		plural := "s"
		if prior.Courses == 1 {
			plural = ""
		}
		prior.Source = fmt.Sprintf("what the rounds of %d other course%s of %s taught", prior.Courses, plural, species)
	}
	return prior, err
}

// priorOf gives the prior of a course of the store: what other courses of its species taught, as far as they have been
// calibrated ([App.Calibrate]).
func (a *App) priorOf(ctx context.Context, course, species string) (calibrate.Prior, error) {
	if species == "" {
		return calibrate.Usual(), nil
	}
	kept, err := a.Store.Kept(ctx, evidenceKind)
	if err != nil {
		return calibrate.Prior{}, err
	}
	var others []calibrate.Evidence
	for _, k := range kept {
		if of, e, ok := unpack(k.Data); ok && of == species && k.Course != course {
			others = append(others, e)
		}
	}
	return learn(species, others)
}

// LearnFrom gives the standing the prior that the other courses among records taught: those of the same species that
// can be calibrated.
func (s *Standing) LearnFrom(list []*underfoot.Records) {
	species := s.speciesOf()
	var others []calibrate.Evidence
	for _, rs := range list {
		if species == "" || rs.Course.ID == s.Records.Course.ID || !slices.ContainsFunc(rs.Greens, func(g underfoot.Green) bool { return speciesName(g.Species) == species }) {
			continue
		}
		other := standForModel(rs, s.Today)
		if other.speciesOf() != species {
			continue
		}
		if e, err := other.evidence(); err == nil {
			others = append(others, e)
		}
	}
	prior, err := learn(species, others)
	s.prior = func() (calibrate.Prior, error) { return prior, err }
}

// evidence is what the course's own rounds say.
func (s *Standing) evidence() (calibrate.Evidence, error) {
	r, err := s.profileRecords()
	if err != nil {
		return calibrate.Evidence{}, err
	}
	fit, err := calibrate.NewFit(&r.course, calibrate.Usual())
	if err != nil {
		return calibrate.Evidence{}, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return fit.Evidence, nil
}

// Teach gives the standing of a course of the store the prior its other courses taught.
func (a *App) Teach(ctx context.Context, s *Standing) error {
	prior, err := a.priorOf(ctx, s.Records.Course.ID, s.speciesOf())
	s.prior = func() (calibrate.Prior, error) { return prior, err }
	return err
}
