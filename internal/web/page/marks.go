package page

import (
	"regexp"

	"underfoot/internal/figure"
)

// Depths is a layer and where it lies among the layers of its course.
type Depths struct {
	Name                     string // "0–20 mm"
	TopMM, BottomMM, TotalMM float64
}

// Chance is a probability in words with its dots.
type Chance struct {
	Words    string // "8 in 10 that it rises"
	HalfDots int    // 0..20
}

// Direction is what the surface asks of organic matter.
type Direction struct {
	Verdict string // "lower", "hold", "raise", or "unknown"
}

var directions = []struct {
	verdict string
	way     figure.Way
}{{"raise", figure.Raise}, {"hold", figure.Hold}, {"lower", figure.Lower}}

func (d Direction) known() bool {
	return d.Verdict == "raise" || d.Verdict == "hold" || d.Verdict == "lower"
}

func (d Direction) word() string {
	if d.known() {
		return d.Verdict
	}
	return "none yet"
}

func (d Direction) way() figure.Way {
	for _, w := range directions {
		if w.verdict == d.Verdict {
			return w.way
		}
	}
	return figure.Hold
}

// Table is a table of text and numbers, as strings that are ready to print.
type Table struct {
	Caption string
	Head    []string
	Left    int // columns from the left that hold text; the rest are numbers; 0 counts as 1
	Rows    []Row
}

// Row is one row of a [Table].
type Row struct {
	ID           string // to be led to; empty for none
	Cells        []string
	Total, Quiet bool
}

func (t Table) right(i int) bool { return i >= max(t.Left, 1) }

// piece is a part of a sentence; keep says that it must not break.
type piece struct {
	text string
	keep bool
}

var together = regexp.MustCompile(`\([−+]?[\d.,]+ to [−+]?[\d.,]+\)|[\d.,]+(–[\d.,]+)? (mm|%|t|m²|kg/m²|°C|years?|in|inches|tons)\b|[\d.,]+(–[\d.,]+)? (%|m²|kg/m²|ft²|lb/1000 ft²)`)

// unbroken parts a sentence where layers and amounts stand.
func unbroken(text string) []piece {
	var out []piece
	at := 0
	for _, m := range together.FindAllStringIndex(text, -1) {
		if m[0] > at {
			out = append(out, piece{text: text[at:m[0]]})
		}
		out = append(out, piece{text[m[0]:m[1]], true})
		at = m[1]
	}
	if at < len(text) {
		out = append(out, piece{text: text[at:]})
	}
	return out
}
