package catalogue

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"underfoot"
	"underfoot/coring"
	"underfoot/season"
	"underfoot/unit"
)

// key is one key of an operation in the file: what it may hold, and where it lies in [season.Operation].
type key struct {
	name      string
	about     string
	unit      string
	kinds     []season.Kind // that have it; nil for all
	need      bool          // may not be left out
	low, high float64       // of a number
	whole     bool
	words     []string // of a text, nil for any

	number *access[float64]
	text   *access[string]
}

// access reads and sets a value of an operation.
type access[T any] struct {
	get func(*season.Operation) T
	set func(*season.Operation, T)
}

// The most letters of a text.
const (
	longText  = 400 // of a source
	shortText = 80
)

var (
	tined    = []season.Kind{season.HollowCore, season.SolidTine}
	bladed   = []season.Kind{season.Scarify}
	opening  = []season.Kind{season.HollowCore, season.SolidTine, season.Scarify}
	deep     = []season.Kind{season.HollowCore, season.SolidTine, season.Scarify, season.InjectSand}
	allKinds = []season.Kind{season.Topdress, season.HollowCore, season.SolidTine, season.Scarify, season.InjectSand}
)

// on reaches a number that is stored as float64 or a unit of it.
func on[T ~float64](field func(*season.Operation) *T) *access[float64] {
	return &access[float64]{
		func(o *season.Operation) float64 { return float64(*field(o)) },
		func(o *season.Operation, v float64) { *field(o) = T(v) },
	}
}

// count reaches a whole number.
func count(field func(*season.Operation) *int) *access[float64] {
	return &access[float64]{
		func(o *season.Operation) float64 { return float64(*field(o)) },
		func(o *season.Operation, v float64) { *field(o) = int(v) },
	}
}

// word reaches a text.
func word[T ~string](field func(*season.Operation) *T) *access[string] {
	return &access[string]{
		func(o *season.Operation) string { return string(*field(o)) },
		func(o *season.Operation, v string) { *field(o) = T(v) },
	}
}

// pattern reaches how the holes lie.
func pattern() *access[string] {
	return &access[string]{
		func(o *season.Operation) string {
			if o.Tines.Pattern == coring.Triangular {
				return "triangular"
			}
			return "square"
		},
		func(o *season.Operation, v string) {
			o.Tines.Pattern = coring.Square
			if v == "triangular" {
				o.Tines.Pattern = coring.Triangular
			}
		},
	}
}

// passes reaches the passes of tines or blades.
func passes() *access[float64] {
	of := func(o *season.Operation) *int {
		if o.Kind == season.Scarify {
			return &o.Blades.Passes
		}
		return &o.Tines.Passes
	}
	return count(of)
}

// keys lists the keys in the order in which they are written.
func keys() []key {
	return []key{
		{name: "id", about: "short name, no two alike", need: true, text: word(func(o *season.Operation) *string { return &o.ID })},
		{name: "name", about: "as people say it", text: word(func(o *season.Operation) *string { return &o.Name })},
		{name: "kind", about: "as in work.csv", need: true, words: texts(allKinds), text: word(func(o *season.Operation) *season.Kind { return &o.Kind })},
		{name: "tine_diameter_mm", about: "inside of a hollow tine, outside of a solid one", unit: "mm", kinds: tined, need: true, low: 1, high: 100, number: on(func(o *season.Operation) *unit.Millimetres { return &o.Tines.Diameter })},
		{name: "spacing_along_mm", about: "of holes along the run; side of the triangle", unit: "mm", kinds: tined, need: true, low: 1, high: 1000, number: on(func(o *season.Operation) *unit.Millimetres { return &o.Tines.Along })},
		{name: "spacing_across_mm", about: "of holes across the run; as along when left out", unit: "mm", kinds: tined, low: 1, high: 1000, number: on(func(o *season.Operation) *unit.Millimetres { return &o.Tines.Across })},
		{name: "pattern", about: "how the holes lie; square when left out", kinds: tined, words: []string{"square", "triangular"}, text: pattern()},
		{name: "blade_width_mm", about: "of the slit", unit: "mm", kinds: bladed, need: true, low: 0.1, high: 50, number: on(func(o *season.Operation) *unit.Millimetres { return &o.Blades.Width })},
		{name: "blade_spacing_mm", about: "middle to middle", unit: "mm", kinds: bladed, need: true, low: 1, high: 500, number: on(func(o *season.Operation) *unit.Millimetres { return &o.Blades.Spacing })},
		{name: "passes", about: "1 when left out", kinds: opening, low: 1, high: 20, whole: true, number: passes()},
		{name: "depth_mm", about: "of tines, blades or injection", unit: "mm", kinds: deep, need: true, low: 1, high: 400, number: on(func(o *season.Operation) *float64 { return &o.Depth })},
		{name: "backfill", about: "share of the opened volume that is filled with sand the same day", kinds: opening, low: 0, high: 1, number: on(func(o *season.Operation) *float64 { return &o.Fill })},
		{name: "sand_low_mm", about: "least sand spread or injected in an event, holes not counted", unit: "mm", low: 0, high: 20, number: on(func(o *season.Operation) *float64 { return &o.SandLow })},
		{name: "sand_high_mm", about: "most of it", unit: "mm", need: true, low: 0, high: 20, number: on(func(o *season.Operation) *float64 { return &o.SandHigh })},
		{name: "contract", about: "contractor and hire, money an event", low: 0, high: 1e7, number: on(func(o *season.Operation) *float64 { return &o.Contract })},
		{name: "fuel", about: "money an event", low: 0, high: 1e6, number: on(func(o *season.Operation) *float64 { return &o.Fuel })},
		{name: "labour_h_per_ha", about: "hours an event and hectare of green", unit: "h/ha", low: 0, high: 1000, number: on(func(o *season.Operation) *float64 { return &o.Labour })},
		{name: "disturbed_days", about: "days the surface is not itself when growth is at its fullest", unit: "d", low: 0, high: 60, number: on(func(o *season.Operation) *float64 { return &o.Disturbed })},
		{name: "disturbed_days_half", about: "the same at half growth; twice as many where it is left out", unit: "d", low: 0.1, high: 120, number: on(func(o *season.Operation) *float64 { return &o.AtHalf })},
		{name: "least_growth", about: "growth index of the day it is done on, at least", low: 0, high: 1, number: on(func(o *season.Operation) *float64 { return &o.Growth })},
		{name: "spacing_days", about: "from one event of this operation to the next", unit: "d", need: true, low: 1, high: 366, whole: true, number: count(func(o *season.Operation) *int { return &o.Spacing })},
		{name: "apart_days", about: "from any other work that opens the surface", unit: "d", low: 0, high: 366, whole: true, number: count(func(o *season.Operation) *int { return &o.Apart })},
		{name: "per_season", about: "events in a season; 0 for no limit", low: 0, high: 100, whole: true, number: count(func(o *season.Operation) *int { return &o.PerSeason })},
		{name: "source", about: "of its numbers", text: word(func(o *season.Operation) *string { return &o.Source })},
	}
}

func texts(kinds []season.Kind) []string {
	out := make([]string, len(kinds))
	for i, k := range kinds {
		out[i] = string(k)
	}
	return out
}

// has says whether operations of a kind have the key.
func (k *key) has(kind season.Kind) bool { return k.kinds == nil || slices.Contains(k.kinds, kind) }

// allowed says what may stand there.
func (k *key) allowed() string {
	switch {
	case k.words != nil:
		return strings.Join(k.words[:len(k.words)-1], ", ") + " or " + k.words[len(k.words)-1]
	case k.text != nil:
		return fmt.Sprintf("a text in quotes of 1 to %d letters on one line", k.longest())
	}
	what := "a number"
	if k.whole {
		what = "a whole number"
	}
	return strings.TrimSpace(fmt.Sprintf("%s from %s to %s %s", what, underfoot.FormatNumber(k.low), underfoot.FormatNumber(k.high), k.unit))
}

func (k *key) longest() int {
	if k.name == "source" {
		return longText
	}
	return shortText
}

// put sets the value of a file, or says why it cannot be one.
func (k *key) put(o *season.Operation, v any) error {
	if !k.set(o, v) {
		return fmt.Errorf("%s is %s: allowed is %s", k.name, shown(v), k.allowed())
	}
	return nil
}

// set sets a value and says whether it is allowed.
func (k *key) set(o *season.Operation, v any) bool {
	if k.text != nil {
		s, ok := v.(string)
		if !ok || strings.TrimSpace(s) == "" || len([]rune(s)) > k.longest() || strings.ContainsFunc(s, unicode.IsControl) || k.words != nil && !slices.Contains(k.words, s) {
			return false
		}
		k.text.set(o, s)
		return true
	}
	var x float64
	switch n := v.(type) {
	case int64:
		x = float64(n)
	case float64:
		x = n
	default:
		return false
	}
	if !(x >= k.low && x <= k.high) || k.whole && x != math.Trunc(x) {
		return false
	}
	k.number.set(o, x)
	return true
}

// read sets a value from the text of a cell or field, and says what is wrong with it; empty for nothing.
func (k *key) read(o *season.Operation, text string) string {
	if k.text != nil {
		if k.set(o, text) {
			return ""
		}
		return fmt.Sprintf("%s: allowed is %s", shown(text), k.allowed())
	}
	v, err := underfoot.ParseNumber(text)
	if err != nil {
		return fmt.Sprintf("%v: allowed is %s", err, k.allowed())
	}
	if !k.set(o, v) {
		return fmt.Sprintf("%s: allowed is %s", text, k.allowed())
	}
	return ""
}

// write gives a value as the text of a cell; empty for what is left out: a passes of 0 is 1, an across of 0 is as along.
func (k *key) write(o *season.Operation) string {
	if k.text != nil {
		return k.text.get(o)
	}
	if v := k.number.get(o); v >= k.low {
		return underfoot.FormatNumber(v)
	}
	return ""
}

// shown prints a value of a file, cut where it is long.
func shown(v any) string {
	s := fmt.Sprint(v)
	if text, ok := v.(string); ok {
		s = fmt.Sprintf("%q", text)
	}
	if r := []rune(s); len(r) > 60 {
		s = string(r[:60]) + "…"
	}
	return s
}
