package app

import (
	"math"
	"testing"

	"underfoot/findings"
)

// softened are readings of a firmness that falls with organic matter: less at the upper edge of the band, more at the lower.
func softened(less, more float64) *findings.Response {
	told := func(om float64) findings.OMLevel {
		if om == 0 {
			return findings.OMLevel{}
		}
		return findings.OMLevel{Told: true, OM: om, Lower95: om - 0.3, Upper95: om + 0.3}
	}
	return &findings.Response{Kind: findings.FirmnessGmax, Known: true, Tells: true, Low: told(more), High: told(less)}
}

func TestBandOfReadings(t *testing.T) {
	for _, c := range []struct {
		name, direction string
		less, more      float64 // organic matter at which the readings enter and leave their band, 0 where it is not told
		level           float64
		low, high       float64
		why             string
	}{
		{name: "lower, both told", direction: "lower", less: 3, more: 3.6, level: 4, low: 2.92, high: 3.6},
		{name: "lower, a wide band of readings, no further than one plan goes", direction: "lower", less: 2, more: 3.6, level: 4, low: 2.6, high: 3.6},
		{name: "lower, only where it ends", direction: "lower", more: 3.8, level: 4, low: 3.12, high: 3.8},
		{name: "lower, only where it begins", direction: "lower", less: 3, level: 4, why: "the readings do not tell below which organic matter they would be in their band"},
		{name: "lower, though the readings have enough", direction: "lower", less: 3, more: 4.5, level: 4, why: "by the readings alone it need not go down: they would be in their band up to 4.5 %"},
		{name: "lower, further than one plan goes", direction: "lower", less: 2, more: 3, level: 4, why: "the readings ask for 3.0 % or less, further than one plan goes: sample again on the way"},
		{name: "raise, both told", direction: "raise", less: 2.2, more: 2.9, level: 2, low: 2.2, high: 2.8},
		{name: "raise, only where it begins", direction: "raise", less: 2.2, level: 2, low: 2.2, high: 2.54},
		{name: "raise, only where it ends", direction: "raise", more: 2.2, level: 2, why: "the readings do not tell above which organic matter they would be in their band"},
		{name: "raise, though the readings have enough", direction: "raise", less: 1.8, more: 2.5, level: 2, why: "by the readings alone it need not go up: they would be in their band from 1.8 % on"},
		{name: "raise, further than one plan goes", direction: "raise", less: 3, more: 3.5, level: 2, why: "the readings ask for 3.0 % or more, further than one plan goes: sample again on the way"},
		{name: "hold, the readings allow more than holding", direction: "hold", less: 3, more: 5, level: 4, low: 3.52, high: 4.48},
		{name: "hold, narrowed on both sides", direction: "hold", less: 3.6, more: 4.4, level: 4, low: 3.6, high: 4.4},
		{name: "hold, narrowed on one side", direction: "hold", more: 4.2, level: 4, low: 3.52, high: 4.2},
		{name: "hold, neither told", direction: "hold", level: 4, why: "the readings do not tell where that would be too much or too little"},
		{name: "hold, too much by the readings", direction: "hold", less: 3, more: 3.8, level: 4, why: "by the readings alone it would not be held: they would be in their band up to 3.8 %"},
		{name: "hold, too little by the readings", direction: "hold", less: 4.6, level: 4, why: "by the readings alone it would not be held: they would be in their band from 4.6 % on"},
		{name: "hold, too narrow", direction: "hold", less: 3.9, more: 4.1, level: 4, why: "the readings would narrow it to 3.9 to 4.1 %, more than a plan can promise"},
	} {
		t.Run(c.name, func(t *testing.T) {
			low, high, why := bandOfReadings(softened(c.less, c.more), c.direction, c.level)
			if math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 || why != c.why {
				t.Errorf("%g to %g, %q; want %g to %g, %q", low, high, why, c.low, c.high, c.why)
			}
		})
	}
}

func TestTellingPicksTheNarrowest(t *testing.T) {
	wide, narrow := *softened(3, 4), *softened(3, 4)
	narrow.Low.Lower95, narrow.Low.Upper95 = 3.9, 4.1
	narrow.Kind = findings.FirmnessMM
	for _, r := range []*findings.Response{&wide, &narrow} {
		r.BottomMM = 20
	}
	if got := telling([]findings.Response{wide, narrow}, 0, 20); got == nil || got.Kind != narrow.Kind {
		t.Errorf("picked %+v, want that of %s", got, narrow.Kind)
	}
	if got := telling([]findings.Response{wide, narrow}, 0, 40); got != nil {
		t.Errorf("picked readings of another layer: %+v", got)
	}
	against := wide
	against.Against = true
	if got := telling([]findings.Response{against}, 0, 20); got != nil {
		t.Errorf("picked readings that go against what organic matter does: %+v", got)
	}
}
