package report

import "regexp"

// piece is a run of words; a held one is not parted at the end of a line.
type piece struct {
	words string
	held  bool
}

// number, then a range or the rest of one, then a unit: "7.5 %", "0–20 mm", "4.2 to 6.6", "8 in 10".
var measure = regexp.MustCompile(`\(?[−+]?\d[\d,]*(?:\.\d+)?(?:–\d[\d.]*| to [−+]?\d[\d,]*(?:\.\d+)?)?(?: (?:mm/h|mm|%|kg/m²|kg/ha|g/m²|m²|°C|in 10|in 20|t\b|g\b))?\)?`)

// pieces parts words so that a number stays with its unit and a range stays whole on one line.
func pieces(words string) []piece {
	var out []piece
	at := 0
	for _, m := range measure.FindAllStringIndex(words, -1) {
		if m[0] > at {
			out = append(out, piece{words: words[at:m[0]]})
		}
		out = append(out, piece{words: words[m[0]:m[1]], held: true})
		at = m[1]
	}
	if at < len(words) {
		out = append(out, piece{words: words[at:]})
	}
	return out
}
