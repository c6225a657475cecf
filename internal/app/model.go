package app

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/profile"
)

// Model is the profile model of a course, calibrated to its rounds.
type Model struct {
	Fit      *calibrate.Fit
	Ensemble *calibrate.Ensemble
	Notes    []string // what was filled in, left out or assumed
	Today    underfoot.Date

	s       *Standing
	records *recordSet
	seed    uint64
	workers int
	looked  sync.Once
	back    []calibrate.Hindcast
	backErr error
	flows   kept[[]calibrate.Flows] // by season
	levers  kept[*Levers]

	shelf   *shelf // where what is asked of it is kept; nil for nowhere
	fit     digest // of what the calibration rests on
	resting kept[digest]
}

// Ways of working a model out.
const (
	modelSeed    = 1
	modelFutures = 12 // ways the weather may go on that forecasts draw from
	modelWorkers = 2
)

// calibration keeps a standing's model, worked out when first asked for.
type calibration struct {
	once  sync.Once
	model *Model
	err   error
}

// Model calibrates the profile model to the course's rounds, once. The error says in a sentence what is missing.
func (s *Standing) Model() (*Model, error) {
	s.calibrated.once.Do(func() {
		s.calibrated.model, s.calibrated.err = s.CalibratedBy(Calibration{alone: s.quiet.Load()})
		if s.calibrated.err == nil {
			s.calibrated.model.workers = modelWorkers // for what is asked of it later
			s.known.Store(s.calibrated.model)
		}
	})
	return s.calibrated.model, s.calibrated.err
}

// Calibration says how a model is to be worked out.
type Calibration struct {
	Members  int                // 0 for the usual number
	Seed     uint64             // 0 for the usual one
	Sampler  bool               // draw from the posterior by a sampler instead of weighted draws
	Progress func(done, of int) // of the sampler; may be nil
	alone    bool               // on one core
}

// CalibratedBy works the model out as asked; [Standing.Model] is the usual way.
func (s *Standing) CalibratedBy(how Calibration) (*Model, error) {
	prior := calibrate.Usual()
	if s.prior != nil {
		var err error
		if prior, err = s.prior(); err != nil {
			return nil, err
		}
	}
	workers := modelWorkers
	if how.alone {
		workers = 1
	}
	m, err := s.calibrate(prior, how.Members, workers)
	if err != nil {
		return nil, err
	}
	if how.Seed != 0 && how.Seed != modelSeed {
		m.seed, m.shelf = how.Seed, nil // what is kept is of the usual one
		if m.Ensemble, err = m.Fit.Ensemble(how.Members, m.Ensemble.Now, how.Seed, modelWorkers); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
	}
	if !how.Sampler {
		return m, nil
	}
	m.shelf = nil
	members := how.Members
	if members == 0 {
		members = calibrate.UsualMembers
	}
	const thin = 4 // turns for each draw kept
	sample, err := m.Fit.Sample(members, thin, m.seed, how.Progress)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	if m.Ensemble, err = sample.Ensemble(m.Fit, members, m.Ensemble.Now, modelWorkers); err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return m, nil
}

// calibrate works the model out under a prior, with so many members (0 for the usual number).
func (s *Standing) calibrate(prior calibrate.Prior, members, workers int) (*Model, error) {
	r, err := s.profileRecords()
	if err != nil {
		return nil, err
	}
	m := &Model{Notes: r.notes, Today: s.Today, s: s, records: r, seed: modelSeed, workers: workers}
	if members == 0 {
		m.shelf = s.shelf
		if d, err := priorDigest(prior); err != nil {
			m.shelf = nil
		} else if m.fit, err = m.fitRests(d); err != nil {
			m.shelf = nil
		}
	}
	if members != 0 || !m.reuse(s.was, &r.course, &prior) && !m.takeUp(prior) {
		if m.Fit, err = calibrate.NewFit(&r.course, prior); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		if m.Ensemble, err = m.Fit.Ensemble(members, r.course.Daily.Until()-1, modelSeed, workers); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		m.putFit()
	}
	if !m.Ensemble.Trusted() {
		m.Notes = append(m.Notes, fmt.Sprintf("the rounds leave so many answers open that the weights of the draws vary much (%.2f, trusted up to 0.7): the intervals may be off; underfoot forecast --sampler draws from the posterior itself", m.Ensemble.Shape))
	}
	return m, nil
}

// ask fills in what every forecast of the model takes: the log, the plan and the weather the course has had.
func (m *Model) ask(days []int) (calibrate.Ask, error) {
	a := calibrate.Ask{Days: days, Seed: m.seed, Work: m.records.planned, Workers: m.workers}
	var err error
	a.Futures, err = m.records.futures(slices.Max(days), modelFutures)
	return a, err
}

// Forecast looks ahead, or back, to days, with the work of the log and what is planned in it. Without layers it is of those
// that were ever sampled.
func (m *Model) Forecast(dates []underfoot.Date, layers ...calibrate.Layer) (*calibrate.Forecast, error) {
	if len(dates) == 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "forecast: no date is asked for")
	}
	days := make([]int, len(dates))
	for i, d := range dates {
		days[i] = int(d)
		if days[i] < m.records.course.Start {
			return nil, underfoot.Errorf(underfoot.Invalid, "forecast: %s lies before the model begins, on %s", d, underfoot.Date(m.records.course.Start))
		}
		if far := m.Today.Add(20 * 366); d > far {
			return nil, underfoot.Errorf(underfoot.Invalid, "forecast: %s is too far ahead: 20 years from today at most", d)
		}
	}
	if err := m.reached(layers); err != nil {
		return nil, err
	}
	a, err := m.ask(days)
	if err != nil {
		return nil, err
	}
	a.Layers = layers
	f, err := m.Ensemble.Forecast(a)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return f, nil
}

// Hindcasts leaves the last round out and sets what the ones before foretold beside what was measured.
func (m *Model) Hindcasts() ([]calibrate.Hindcast, error) {
	m.looked.Do(func() {
		m.back, m.backErr = onShelf(m.shelf, shelfHindcast, func() (digest, error) { return m.fit, nil }, func() ([]calibrate.Hindcast, error) {
			return calibrate.LookBack(&m.records.course, m.Fit.Prior, 1, 0, m.seed)
		})
		if errors.Is(m.backErr, calibrate.ErrTooFew) {
			m.backErr = underfoot.Errorf(underfoot.Invalid, "The model can be put to the test when there are three rounds: the last is left out and foretold from the others.")
		}
	})
	return m.back, m.backErr
}

// LastDay gives the last day of the record the columns are at.
func (m *Model) LastDay() underfoot.Date { return underfoot.Date(m.Ensemble.Now) }

// Planned says whether any work is planned after the last day of the record.
func (m *Model) Planned() bool {
	for _, green := range m.records.planned {
		if slices.ContainsFunc(green, func(e profile.Event) bool { return e.Day > m.Ensemble.Now }) {
			return true
		}
	}
	return false
}
