package app

import (
	"bytes"
	"errors"
	"maps"
	"math"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
)

// board is a shelf in memory that counts what is put on it.
type board struct {
	mu   sync.Mutex
	lies map[string][]byte
	put  int
}

func (b *board) shelf() *shelf {
	return &shelf{
		read: func(kind string) []byte {
			b.mu.Lock()
			defer b.mu.Unlock()
			return b.lies[kind]
		},
		keep: func(kind string, data []byte) error {
			b.mu.Lock()
			defer b.mu.Unlock()
			b.put++
			b.lies[kind] = data
			return nil
		},
	}
}

// asked is all that is kept of a model, as a standing gives it.
type asked struct {
	Foretold Foretold
	Back     []calibrate.Hindcast
	Flows    []calibrate.Flows
	Levers   *Levers
	sheet    digest
}

func askAll(t *testing.T, rs *underfoot.Records, shelf *shelf) asked {
	t.Helper()
	s, err := Stand(rs, underfoot.MakeDate(2026, time.November, 26), Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	s.shelf = shelf
	sheet := s.Balance()
	if why := s.WhyByRounds(); why != "" || sheet.Layers[0].Basis != balance.ByModel {
		t.Fatalf("the model does not speak: %s", why)
	}
	o, err := s.Outlook()
	if err != nil {
		t.Fatal(err)
	}
	a := asked{Foretold: o.Foretold, Back: o.Back}
	if a.Flows, err = o.Model.SeasonFlows(); err != nil {
		t.Fatal(err)
	}
	if a.Levers, err = o.Model.Levers(); err != nil {
		t.Fatal(err)
	}
	if a.sheet, err = digestOf(sheet); err != nil { // the draws behind it are not exported
		t.Fatal(err)
	}
	return a
}

func sameAnswers(t *testing.T, what string, want, got asked) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmpopts.EquateNaNs(), cmpopts.IgnoreUnexported(asked{})); diff != "" || want.sheet != got.sheet {
		t.Errorf("%s: balance alike: %v (-want +got)\n%s", what, want.sheet == got.sheet, diff)
	}
}

// What is kept of a model is, read back, what was worked out to the last bit; spoilt or of other records it is worked out anew.
func TestModelFromItsShelf(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	rs, err := exampleStore(t, now).Records(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	b := &board{lies: map[string][]byte{}}
	first := askAll(t, rs, b.shelf())
	if len(b.lies) != 6 || b.put != 6 {
		t.Fatalf("%d results put %d times, wanted 6 once", len(b.lies), b.put)
	}
	whole := maps.Clone(b.lies)

	sameAnswers(t, "read back", first, askAll(t, rs, b.shelf()))
	if b.put != 6 {
		t.Errorf("%d results worked out again although they were kept", b.put-6)
	}

	for kind, data := range b.lies {
		data = bytes.Clone(data)
		data[len(data)-9] ^= 1
		b.lies[kind] = data
	}
	sameAnswers(t, "spoilt", first, askAll(t, rs, b.shelf()))
	if b.put != 12 {
		t.Errorf("%d of 6 spoilt results were worked out anew", b.put-6)
	}
	if diff := cmp.Diff(whole, b.lies); diff != "" {
		t.Error("what is kept anew is not what was kept first")
	}

	other := *rs
	other.Work = append([]underfoot.Work(nil), rs.Work...)
	for i := range other.Work {
		if w := &other.Work[i]; w.Kind == "topdress" && w.SandMM.Known {
			w.SandMM.Value *= 1.1
		}
	}
	after := askAll(t, &other, b.shelf())
	if cmp.Equal(first, after, cmpopts.EquateNaNs(), cmpopts.IgnoreUnexported(asked{})) || first.sheet == after.sheet {
		t.Error("more sand in the log changes nothing")
	}
	sameAnswers(t, "after a change of the log", askAll(t, &other, nil), after)
}

// Whatever a model rests on makes another digest, and nothing else does.
func TestWhatAModelRestsOn(t *testing.T) {
	now := func() time.Time { return time.Date(2026, time.November, 26, 9, 0, 0, 0, time.UTC) }
	st := exampleStore(t, now)
	rests := func(change func(*Standing, *underfoot.Records), prior calibrate.Prior, seed uint64) (fit, all digest) {
		t.Helper()
		rs, err := st.Records(t.Context(), "varrowmere")
		if err != nil {
			t.Fatal(err)
		}
		s := begin(rs, underfoot.MakeDate(2026, time.November, 26))
		if change != nil {
			change(s, rs)
			s = begin(rs, s.Today)
		}
		s.workDone(s.Today)
		r, err := s.profileRecords()
		if err != nil {
			t.Fatal(err)
		}
		m := &Model{s: s, records: r, seed: seed}
		p, err := priorDigest(prior)
		if err != nil {
			t.Fatal(err)
		}
		if m.fit, err = m.fitRests(p); err != nil {
			t.Fatal(err)
		}
		if all, err = m.rests(); err != nil {
			t.Fatal(err)
		}
		return m.fit, all
	}
	fit, all := rests(nil, calibrate.Usual(), modelSeed)
	if f, a := rests(nil, calibrate.Usual(), modelSeed); f != fit || a != all {
		t.Error("the same makes another digest")
	}
	for what, c := range map[string]struct {
		change func(*Standing, *underfoot.Records)
		fit    bool // the calibration rests on it
		all    bool
	}{
		"ash masses": {func(_ *Standing, rs *underfoot.Records) {
			for i := range rs.Weighings {
				rs.Weighings[i].AshG.Value += 0.001
			}
		}, true, true},
		"a day of weather":      {func(_ *Standing, rs *underfoot.Records) { rs.Weather[len(rs.Weather)/2].TMaxC.Value += 0.1 }, true, true},
		"the density of a sand": {func(_ *Standing, rs *underfoot.Records) { rs.Sands[0].BulkDensity = underfoot.Some(1601.0) }, true, true},
		"a green's species":     {func(_ *Standing, rs *underfoot.Records) { rs.Greens[0].Species = "hybrid bermudagrass" }, true, true},
		"planned work": {func(_ *Standing, rs *underfoot.Records) {
			rs.Work = append(rs.Work, underfoot.Work{Course: "varrowmere", ID: "new", Date: underfoot.MakeDate(2027, time.May, 3), Kind: "topdress", Status: "planned", SandMM: underfoot.Some(0.5)})
		}, false, true},
		"a reading":     {func(_ *Standing, rs *underfoot.Records) { rs.Readings[0].Value++ }, false, false},
		"a wanted band": {func(_ *Standing, rs *underfoot.Records) { rs.Targets[0].Low.Value++ }, false, false},
		"tomorrow":      {func(s *Standing, _ *underfoot.Records) { s.Today++ }, false, false},
	} {
		f, a := rests(c.change, calibrate.Usual(), modelSeed)
		if (f != fit) != c.fit || (a != all) != c.all {
			t.Errorf("%s: the calibration's digest moved: %v, wanted %v; the other's: %v, wanted %v", what, f != fit, c.fit, a != all, c.all)
		}
	}
	prior := calibrate.Usual()
	prior.Mean[0] = math.Nextafter(prior.Mean[0], 100)
	wide := calibrate.Usual()
	wide.Composite = func(float64) calibrate.Spread { return calibrate.Spread{SD: 0.2, Worth: 12} }
	for what, p := range map[string]calibrate.Prior{"the prior's mean": prior, "its scatter of composites": wide} {
		if f, _ := rests(nil, p, modelSeed); f == fit {
			t.Errorf("%s is not noticed", what)
		}
	}
	if f, _ := rests(nil, calibrate.Usual(), modelSeed+1); f == fit {
		t.Error("the seed is not noticed")
	}
}

// Every byte of what is kept is watched over.
func TestSpoiltResultsAreRefused(t *testing.T) {
	rest := digest{1, 2, 3}
	data, err := wrap([]float64{1, math.NaN(), math.Inf(-1)}, rest)
	if err != nil {
		t.Fatal(err)
	}
	if v, ok := unwrap[[]float64](data, rest); !ok || len(v) != 3 || v[0] != 1 || !math.IsNaN(v[1]) || !math.IsInf(v[2], -1) {
		t.Fatalf("read back %v, %v", v, ok)
	}
	for i := range data {
		spoilt := bytes.Clone(data)
		spoilt[i] ^= 0x10
		if _, ok := unwrap[[]float64](spoilt, rest); ok {
			t.Errorf("byte %d is not watched over", i)
		}
		if _, ok := unwrap[[]float64](data[:i], rest); ok {
			t.Errorf("the first %d of %d bytes are taken for all", i, len(data))
		}
	}
	if _, ok := unwrap[[]float64](data, digest{1, 2, 4}); ok {
		t.Error("a result that rests on something else is taken")
	}
}

// A store that cannot be written to costs time and nothing else, and is asked once.
func TestShelfThatCannotBeWrittenTo(t *testing.T) {
	tried := 0
	s := &shelf{read: func(string) []byte { return nil }, keep: func(string, []byte) error { tried++; return errors.New("the disk is full") }}
	for range 3 {
		v, err := onShelf(s, "x", func() (digest, error) { return digest{}, nil }, func() (int, error) { return 7, nil })
		if v != 7 || err != nil {
			t.Fatal(v, err)
		}
	}
	if tried != 1 {
		t.Errorf("tried %d times", tried)
	}
	bad := errors.New("no rounds")
	if _, err := onShelf(s, "x", func() (digest, error) { return digest{}, nil }, func() (int, error) { return 0, bad }); !errors.Is(err, bad) {
		t.Errorf("the error of the work became %v", err)
	}
}
