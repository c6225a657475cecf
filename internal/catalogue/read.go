// Package catalogue is the catalogue of operations as a file: TOML with one [[operation]] for each way of working on the
// greens that a season plan may use.
package catalogue

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"underfoot"
	"underfoot/season"
)

// Most a file may hold.
const (
	mostBytes      = 1 << 20
	mostOperations = 100
)

// Read reads a catalogue. The error names every problem with operation, key, value and what is allowed; name is that of
// the file.
func Read(r io.Reader, name string) ([]season.Operation, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading the catalogue %s: %w", name, err)
	}
	if len(text) > mostBytes {
		return nil, underfoot.Errorf(underfoot.Invalid, "%s: the catalogue is larger than %d bytes: leave out what the plan is not to use", name, mostBytes)
	}
	var file map[string]any
	if _, err := toml.Decode(string(text), &file); err != nil {
		return nil, notTOML(err, name)
	}
	list, errs := operations(file)
	for i, e := range errs {
		errs[i] = fmt.Errorf("%s: %w", name, e)
	}
	if err := errors.Join(errs...); err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return list, nil
}

func notTOML(err error, name string) error {
	var bad toml.ParseError
	if errors.As(err, &bad) {
		return underfoot.Errorf(underfoot.Invalid, "%s:%d: the catalogue is not TOML: %s", name, bad.Position.Line, strings.TrimPrefix(bad.Message, "toml: "))
	}
	return underfoot.Errorf(underfoot.Invalid, "%s: the catalogue is not TOML: %w", name, err)
}

// operations takes the tables of a file.
func operations(file map[string]any) (list []season.Operation, errs []error) {
	for _, k := range slices.Sorted(maps.Keys(file)) {
		if k != "operation" {
			errs = append(errs, fmt.Errorf("%s is not known at the top: allowed is [[operation]]", shown(k)))
		}
	}
	tables, ok := file["operation"].([]map[string]any)
	switch {
	case file["operation"] == nil:
		return nil, append(errs, fmt.Errorf("the catalogue has no [[operation]]: give one or more"))
	case !ok:
		return nil, append(errs, fmt.Errorf("operation is one table or a plain value: write each operation as a table headed [[operation]]"))
	case len(tables) > mostOperations:
		return nil, append(errs, fmt.Errorf("the catalogue has %d operations: allowed are 1 to %d", len(tables), mostOperations))
	}
	seen := map[string]bool{}
	for i, t := range tables {
		o, faults := operation(t)
		at := fmt.Sprintf("operation %q", o.ID)
		if o.ID == "" {
			at = fmt.Sprintf("operation number %d", i+1)
		} else if seen[o.ID] {
			faults = append(faults, fmt.Errorf("id stands twice: give each operation its own"))
		}
		seen[o.ID] = true
		for _, f := range faults {
			errs = append(errs, fmt.Errorf("%s: %w", at, f))
		}
		list = append(list, o)
	}
	return list, errs
}

// operation takes one table.
func operation(t map[string]any) (o season.Operation, faults []error) {
	all := keys()
	known := map[string]bool{}
	for _, k := range all { // the kind first: the other keys depend on it
		if v, have := t[k.name]; have && k.name == "kind" {
			if err := k.put(&o, v); err != nil {
				faults = append(faults, err)
			}
		}
	}
	for _, k := range all {
		known[k.name] = true
		v, have := t[k.name]
		switch {
		case k.name == "kind" && have:
		case have && o.Kind != "" && !k.has(o.Kind):
			faults = append(faults, fmt.Errorf("%s is %s: an operation of kind %s has no such key: leave it out", k.name, shown(v), o.Kind))
		case have:
			if err := k.put(&o, v); err != nil {
				faults = append(faults, err)
			}
		case k.need && (o.Kind == "" || k.has(o.Kind)) && (o.Kind != "" || k.kinds == nil):
			faults = append(faults, fmt.Errorf("%s is missing: allowed is %s", k.name, k.allowed()))
		}
	}
	for _, k := range slices.Sorted(maps.Keys(t)) {
		if !known[k] {
			faults = append(faults, fmt.Errorf("%s is not a key: allowed are %s", shown(k), names(all)))
		}
	}
	if len(faults) == 0 {
		fill(&o)
		for _, f := range contradictions(&o) {
			faults = append(faults, errors.New(f.inFile()))
		}
	}
	return o, faults
}

func names(all []key) string {
	var list []string
	for _, k := range all {
		list = append(list, k.name)
	}
	return strings.Join(list, ", ")
}

// fill gives what is left out its usual value.
func fill(o *season.Operation) {
	if o.Name == "" {
		o.Name = o.ID
	}
	switch o.Kind {
	case season.HollowCore, season.SolidTine:
		if o.Tines.Passes == 0 {
			o.Tines.Passes = 1
		}
		if o.Tines.Across == 0 {
			o.Tines.Across = o.Tines.Along
		}
	case season.Scarify:
		if o.Blades.Passes == 0 {
			o.Blades.Passes = 1
		}
	}
}

// Fault is something wrong with a value of an operation.
type Fault struct {
	Key  string // as in the file; empty for the operation as a whole
	Text string // what was found and what is allowed

	whole bool // the text says by itself what it is about
}

// inFile says a fault where nothing else tells which key it is about.
func (f Fault) inFile() string {
	if f.whole {
		return f.Text
	}
	return f.Key + " is " + f.Text
}

// contradictions says what does not go together in an operation whose values are each allowed.
func contradictions(o *season.Operation) (faults []Fault) {
	say := func(key, format string, args ...any) {
		faults = append(faults, Fault{Key: key, Text: fmt.Sprintf(format, args...)})
	}
	if o.SandLow > o.SandHigh {
		say("sand_low_mm", "%g, more than sand_high_mm %g: swap them, or correct one", o.SandLow, o.SandHigh)
	}
	if (o.Kind == season.Topdress || o.Kind == season.InjectSand) && o.SandHigh == 0 {
		say("sand_high_mm", "0: %s puts sand on: allowed is a number above 0 to 20 mm", o.Kind)
	}
	if o.AtHalf > 0 && (o.Disturbed == 0 || o.AtHalf < o.Disturbed) {
		say("disturbed_days_half", "%g, disturbed_days %g: the surface recovers no faster when less grows: give %g or more, or leave it out", o.AtHalf, o.Disturbed, o.Disturbed)
	}
	if days := (o.PerSeason - 1) * o.Spacing; o.PerSeason > 1 && days > 366 {
		say("per_season", "%d and spacing_days %d: so many events take %d days, more than a year: lower one", o.PerSeason, o.Spacing, days)
	}
	if len(faults) > 0 {
		return faults
	}
	if _, _, err := o.Opening(); err != nil { // diameters, blades and spacings against one another
		key := "tine_diameter_mm"
		if o.Kind == season.Scarify {
			key = "blade_width_mm"
		}
		return []Fault{{key, err.Error(), true}}
	}
	if err := o.Check(); err != nil {
		return []Fault{{"kind", err.Error(), true}}
	}
	return faults
}
