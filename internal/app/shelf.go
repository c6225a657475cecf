package app

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/gob"
	"runtime"
	"sync/atomic"

	"underfoot"
	"underfoot/calibrate"
)

// What of a course's model is kept in the store between runs of the program. Each is kept with the digest of all it rests on:
// another program, record, log, weather or prior makes another digest, and it is worked out anew.
const (
	shelfFit      = "model: calibration"
	shelfHindcast = "model: looking back"
	shelfAccount  = "model: balance"
	shelfOutlook  = "model: outlook"
	shelfFlows    = "model: account by season"
	shelfLevers   = "model: levers"
)

// shelf is where a course's results are kept. Nothing that goes wrong with it matters but for the time it takes.
type shelf struct {
	read func(kind string) []byte // nil for nothing
	keep func(kind string, data []byte) error
	full atomic.Bool // it could not be written to: it is not tried again
}

// shelfOn makes a shelf of a store for a course, whose records are those after a change. keep keeps in it.
func shelfOn(ctx context.Context, store underfoot.Store, course string, latest int64, keep func(context.Context, underfoot.Kept) error) *shelf {
	s := &shelf{}
	s.read = func(kind string) []byte {
		k, err := store.KeptOf(ctx, kind, course)
		if err != nil || k == nil {
			return nil
		}
		return k.Data
	}
	s.keep = func(kind string, data []byte) error {
		return keep(ctx, underfoot.Kept{Course: course, Kind: kind, Latest: latest, Data: data})
	}
	return s
}

// onShelf gives what work gives: from the shelf where it lies there and rests on the same, else by work, and then it is put
// there. It is to the last bit what work gives on this machine.
func onShelf[T any](s *shelf, kind string, rests func() (digest, error), work func() (T, error)) (T, error) {
	if s == nil {
		return work()
	}
	rest, unknown := rests()
	if unknown == nil {
		if value, ok := unwrap[T](s.read(kind), rest); ok {
			return value, nil
		}
	}
	value, err := work()
	if err == nil && unknown == nil {
		s.put(kind, rest, value)
	}
	return value, err
}

// put puts a value on the shelf, if there is one.
func (s *shelf) put(kind string, rest digest, value any) {
	if s == nil || s.full.Load() {
		return
	}
	if data, err := wrap(value, rest); err == nil && s.keep(kind, data) != nil {
		s.full.Store(true)
	}
}

// wrap writes a value down behind the digest of what it rests on and one of itself.
func wrap(value any, rest digest) ([]byte, error) {
	var b bytes.Buffer
	b.Write(make([]byte, 2*sha256.Size))
	if err := gob.NewEncoder(&b).Encode(value); err != nil {
		return nil, err
	}
	data := b.Bytes()
	own := sha256.Sum256(data[2*sha256.Size:])
	copy(data, rest[:])
	copy(data[sha256.Size:], own[:])
	return data, nil
}

// unwrap reads what wrap wrote; not ok where it rests on something else or has been spoilt.
func unwrap[T any](data []byte, rest digest) (value T, ok bool) {
	if len(data) < 2*sha256.Size || !bytes.Equal(data[:sha256.Size], rest[:]) {
		return value, false
	}
	text := data[2*sha256.Size:]
	if own := sha256.Sum256(text); !bytes.Equal(own[:], data[sha256.Size:2*sha256.Size]) {
		return value, false
	}
	return value, gob.NewDecoder(bytes.NewReader(text)).Decode(&value) == nil
}

// fitRests is the digest of what a course's calibration rests on: the program, its compiler and the kind of machine, the record in numbers,
// the prior and the seed.
func (m *Model) fitRests(prior digest) (digest, error) {
	return digestOf(program(), runtime.Version(), runtime.GOARCH, &m.records.course, prior, m.seed)
}

// rests is the digest of what everything asked of the model rests on, once: the calibration, the log, what is planned and the weather.
func (m *Model) rests() (digest, error) {
	return m.resting.get(func() (digest, error) {
		return digestOf(m.fit, m.records, m.s.Done, m.s.SandDensity(), m.s.AsOf)
	})
}

// alsoRests is rests with more that one result rests on.
func (m *Model) alsoRests(more ...any) func() (digest, error) {
	return func() (digest, error) {
		d, err := m.rests()
		if err != nil {
			return d, err
		}
		return digestOf(append([]any{d}, more...)...)
	}
}

// takeUp fills in a model from what was found before and is kept; false where nothing is, or not of the same.
func (m *Model) takeUp(prior calibrate.Prior) bool {
	if m.shelf == nil {
		return false
	}
	found, ok := unwrap[calibrate.Found](m.shelf.read(shelfFit), m.fit)
	if !ok {
		return false
	}
	ensemble, err := calibrate.Again(&m.records.course, prior, found, m.workers)
	if err != nil {
		return false
	}
	m.Fit, m.Ensemble = ensemble.Fit, ensemble
	return true
}

// putFit keeps what was found of the model.
func (m *Model) putFit() {
	if found, ok := m.Ensemble.Found(); ok {
		m.shelf.put(shelfFit, m.fit, found)
	}
}
