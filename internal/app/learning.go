package app

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
)

// evidenceKind is what a course's evidence is kept under; the number changes whenever the model does.
const evidenceKind = "profile evidence 1"

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
	prior, err := calibrate.Learn(calibrate.Usual(), others)
	if err == nil && prior.Courses > 0 {
		prior.Source = fmt.Sprintf("what the rounds of %s of %s taught", counted(prior.Courses, "other course", "other courses"), species)
	}
	return prior, err
}

// LearnFrom makes the standing's model start from what the other courses among records teach, those of the same species that
// can be calibrated. They are calibrated when the model is asked for, each telling how many are done; told may be nil.
func (s *Standing) LearnFrom(list []*underfoot.Records, told func(done, of int)) {
	s.prior = sync.OnceValues(func() (calibrate.Prior, error) {
		species := s.speciesOf()
		var others []*underfoot.Records
		for _, rs := range list {
			if species != "" && rs.Course.ID != s.Records.Course.ID && slices.ContainsFunc(rs.Greens, func(g underfoot.Green) bool { return speciesName(g.Species) == species }) {
				others = append(others, rs)
			}
		}
		slices.SortFunc(others, func(a, b *underfoot.Records) int { return byLot(a.Course.ID, b.Course.ID) })
		others = others[:min(len(others), mostTeachers)]
		var lessons []calibrate.Evidence
		for i, rs := range others {
			if other := standForModel(rs, s.Today); other.speciesOf() == species {
				if e, err := other.evidence(); err == nil {
					lessons = append(lessons, e)
				}
			}
			if told != nil {
				told(i+1, len(others))
			}
		}
		return learn(species, lessons)
	})
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

// LearnFromStore makes the standing's model start from what the other courses of its species in a store teach, as
// far as they have been calibrated ([App.Calibrate]); the prior is worked out when the model is asked for. What takes long is taken
// from what the store keeps of the course, and kept there, as far as it can be: the store has to stay open while the standing is asked.
func (s *Standing) LearnFromStore(ctx context.Context, store underfoot.Store) error {
	school, err := schoolOf(ctx, store)
	if err != nil {
		return err
	}
	s.attend(school)
	latest, err := store.Latest(ctx, s.Records.Course.ID)
	if err != nil {
		return err
	}
	s.shelf = shelfOn(ctx, store, s.Records.Course.ID, latest, func(ctx context.Context, k underfoot.Kept) error { return store.Keep(ctx, k) })
	return nil
}

// attend makes the standing's model start from what a school teaches.
func (s *Standing) attend(school *school) {
	course, species := s.Records.Course.ID, s.speciesOf()
	s.prior = func() (calibrate.Prior, error) { return school.prior(course, species) }
	s.taught = school.taught(course, species)
}
