package figure

import "strings"

// blank draws the frame that will be filled, dashed, with words that say what fills it.
func (s *Scene) blank(words string) *Scene {
	s.Label = strings.TrimSuffix(s.Title+": "+words, ": ")
	s.rect(1, 1, s.Width-2, s.Height-2, empty)
	lines := wrapped(words, wordQuiet, s.Width-20)
	y := s.Height/2 - float64(len(lines)-1)*8.5 + 4.5
	for _, l := range lines {
		s.text(s.Width/2, y, l, wordQuiet, Middle)
		y += 17
	}
	return s
}

// wrapped breaks words into lines that fit the width, at most 4.
func wrapped(words string, st Style, width float64) []string {
	var lines []string
	cur := ""
	for _, w := range strings.Fields(words) {
		next := strings.TrimSpace(cur + " " + w)
		if cur != "" && textWidth(next, st) > width {
			lines = append(lines, cur)
			next = w
		}
		cur = next
	}
	if cur != "" {
		lines = append(lines, cur)
	}
	if len(lines) > 4 {
		lines = lines[:4]
	}
	for i := range lines {
		lines[i] = fitted(lines[i], st, max(width, 8))
	}
	return lines
}
