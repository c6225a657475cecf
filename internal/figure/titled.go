package figure

import (
	"slices"
	"strings"
)

// Titled is the picture as it is taken away from the words around it: with its title above it and, where nothing in the drawing
// names the unit of its values, with the unit. The drawing itself is the same.
func (s *Scene) Titled() *Scene {
	const line = 18
	title := s.Title
	if unit := s.unnamedUnit(); unit != "" {
		title += ", " + unit
	}
	if title == "" || s.Hidden || s.Width < leastWidth {
		return s
	}
	lines := wrapped(title, wordBold, s.Width)
	t := *s
	t.Head = float64(len(lines)*line) + 6
	t.Parts = slices.Clone(s.Parts)
	for i, words := range lines {
		t.text(0, float64(i*line)+13-t.Head, words, wordBold, Start)
	}
	return &t
}

// unnamedUnit is the unit of the values, shares before others, where no lettering of the drawing and not the title has it.
func (s *Scene) unnamedUnit() string {
	if s.Values == nil {
		return ""
	}
	unit := ""
	for _, c := range s.Values().Columns {
		if c.Number && c.Unit != "" && (unit == "" || c.Unit == "%" && unit != "%") {
			unit = c.Unit
		}
	}
	if unit == "" || names(s.Title, unit) || s.letters(unit) {
		return ""
	}
	return unit
}

// letters tells whether the lettering of a drawing has a unit.
func (s *Scene) letters(unit string) bool {
	var in func([]Part) bool
	in = func(parts []Part) bool {
		return slices.ContainsFunc(parts, func(p Part) bool {
			switch p := p.(type) {
			case Text:
				return names(p.Words, unit)
			case Group:
				return in(p.Parts)
			}
			return false
		})
	}
	return in(s.Parts)
}

// names tells whether words hold a unit as a word of its own.
func names(words, unit string) bool {
	return strings.Contains(" "+strings.NewReplacer(",", " ", ":", " ").Replace(words)+" ", " "+unit+" ")
}
