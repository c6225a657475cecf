package web

import (
	"underfoot/internal/figure"
	"underfoot/internal/say"
)

// measured is the unit in which pictures of lengths are read.
func measured(s say.Style) figure.Measure {
	if s.Units != say.US {
		return figure.Measure{}
	}
	return figure.Measure{Unit: s.Unit("mm"), Per: s.Value(1, "mm"), Decimals: 1}
}
