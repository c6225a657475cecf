package say

import "context"

// Units is a family of units.
type Units string

// The families of units. The empty one is metric.
const (
	Metric Units = "metric"
	US     Units = "us" // US customary, as North American greenkeeping quotes them: inches, lb/1000 ft², short tons
)

// Dates is the order in which a date is written.
type Dates string

// The orders of dates. The empty one is [DayFirst].
const (
	DayFirst   Dates = "day"   // 8 October 2026
	MonthFirst Dates = "month" // October 8, 2026
	ISO        Dates = "iso"   // 2026-10-08
)

// Style is how one person wants things said. The zero value is metric, the day first, English.
type Style struct {
	Units    Units
	Dates    Dates
	Currency string // ISO 4217, of money where the course names none; empty names none
	Language string // tag of a catalogue, such as "en"; empty is English
}

// Plain tells whether words stay exactly as they were composed: metric, the day first and in English.
func (s Style) Plain() bool {
	return s.Units != US && (s.Dates == "" || s.Dates == DayFirst) && s.book() == nil
}

// Lang is the tag of the language.
func (s Style) Lang() string {
	if s.Language == "" {
		return "en"
	}
	return s.Language
}

// MoneyIn is the currency of money: that of the record, or the person's own where the record names none.
func (s Style) MoneyIn(recorded string) string {
	if recorded != "" {
		return recorded
	}
	return s.Currency
}

type key struct{}

// With carries a style to whoever composes the answer to a request.
func With(ctx context.Context, s Style) context.Context { return context.WithValue(ctx, key{}, s) }

// From is the style a context carries; the zero style where it carries none.
func From(ctx context.Context) Style {
	s, _ := ctx.Value(key{}).(Style)
	return s
}
