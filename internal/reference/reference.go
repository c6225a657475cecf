// Package reference loads the cases that say what is true: published values, other software's answers,
// closed forms and measurements, each with its source. What we printed last time is not a reference and
// lives in package golden.
package reference

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"testing"
)

// Case is one statement of truth: with this input, that answer, within this tolerance, on this authority.
type Case struct {
	ID     string          `json:"id"`
	What   string          `json:"what"`
	Source Source          `json:"source"`
	Input  json.RawMessage `json:"input"`
	Want   json.RawMessage `json:"want"`
	Tol    Tolerance       `json:"tol"`
}

// Source is where the wanted value comes from.
type Source struct {
	Kind     string `json:"kind"`     // literature, software, closed-form or measurement
	Citation string `json:"citation"` // publication, or program and version, or the formula worked out
	Locator  string `json:"locator"`  // page, section, equation or table; for software the script
}

// Tolerance is how far an answer may stand off, and why that far. Both zero means exactly.
type Tolerance struct {
	Rel float64 `json:"rel"` // share of |want|
	Abs float64 `json:"abs"` // in the unit of the value
	Why string  `json:"why"` // for example "printed to 6 significant digits"
}

// Load reads the cases of a file and stops the test when one of them cannot be trusted.
func Load(t testing.TB, path string) []Case {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("reading reference cases: %v", err)
	}
	cases, err := Read(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return cases
}

// Read decodes a list of cases. It refuses unknown fields, an empty list, ids used twice, and any case
// without a source, an input, an answer, or a reason for its tolerance.
func Read(r io.Reader) ([]Case, error) {
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	var cases []Case
	if err := dec.Decode(&cases); err != nil {
		return nil, fmt.Errorf("reading reference cases: %w", err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("reading reference cases: more text after the list")
	}
	if len(cases) == 0 {
		return nil, errors.New("reading reference cases: the list is empty")
	}
	seen := make(map[string]bool, len(cases))
	for i, c := range cases {
		if err := c.check(); err != nil {
			return nil, fmt.Errorf("reference case %d (%q): %w", i+1, c.ID, err)
		}
		if seen[c.ID] {
			return nil, fmt.Errorf("reference case %d (%q): id used twice", i+1, c.ID)
		}
		seen[c.ID] = true
	}
	return cases, nil
}

func (c Case) check() error {
	switch {
	case blank(c.ID):
		return errors.New("no id")
	case blank(c.What):
		return errors.New("does not say what it checks")
	case blank(c.Source.Citation):
		return errors.New("no source: cite the publication, program or closed form the value comes from")
	case blank(c.Source.Locator):
		return errors.New("no locator: give the page, section, equation, table or script")
	case len(c.Input) == 0 || len(c.Want) == 0:
		return errors.New("needs an input and a wanted answer")
	}
	switch c.Source.Kind {
	case "literature", "software", "closed-form", "measurement":
	default:
		return fmt.Errorf("source kind %q: use literature, software, closed-form or measurement", c.Source.Kind)
	}
	return c.Tol.check()
}

func (tol Tolerance) check() error {
	for _, v := range []float64{tol.Rel, tol.Abs} {
		if v < 0 || math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("tolerance %g: give a number of zero or more", v)
		}
	}
	if (tol.Rel > 0 || tol.Abs > 0) && blank(tol.Why) {
		return errors.New("a tolerance without a reason: say why the answer may stand that far off")
	}
	return nil
}

func blank(s string) bool { return strings.TrimSpace(s) == "" }

// Decode puts the input and the wanted answer into the test's own structs; fields those structs do not
// have stop the test, so that a typing error in a case cannot pass unseen.
func (c Case) Decode(t testing.TB, input, want any) {
	t.Helper()
	strictly(t, c.ID+" input", c.Input, input)
	strictly(t, c.ID+" want", c.Want, want)
}

func strictly(t testing.TB, name string, data []byte, into any) {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// Near fails the test unless |got − want| ≤ max(Rel·|want|, Abs). NaN is near nothing.
func (c Case) Near(t testing.TB, name string, got, want float64) {
	t.Helper()
	if !c.Tol.holds(got, want) {
		t.Errorf("%s: %s = %.10g, want %.10g within rel %g or abs %g (%s, %s)",
			c.ID, name, got, want, c.Tol.Rel, c.Tol.Abs, c.Source.Citation, c.Source.Locator)
	}
}

func (tol Tolerance) holds(got, want float64) bool {
	if math.IsNaN(got) || math.IsNaN(want) {
		return false
	}
	return got == want || math.Abs(got-want) <= math.Max(tol.Rel*math.Abs(want), tol.Abs)
}
