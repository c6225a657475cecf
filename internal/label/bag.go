package label

import "strings"

// Bag is what stands on the label of one composite. Every text is printed as it is and held by the code; an empty one
// is left out.
type Bag struct {
	Sample string // name of the composite, as in the records
	Green  string
	Layer  string // its depths, "0–20 mm"
	Course string
	Round  string
	Date   string // "2026-10-14"
	Cores  string // "5 cores"
}

// Lines are the facts of the label one by one, the sample's name first.
func (b Bag) Lines() []string {
	var out []string
	for _, s := range []string{b.Sample, b.Green, b.Layer, b.Course, b.Round, b.Date, b.Cores} {
		if s = plain(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// Text is what the code holds: the lines, or the sample's name only.
func (b Bag) Text(sampleOnly bool) string {
	if sampleOnly {
		return plain(b.Sample)
	}
	return strings.Join(b.Lines(), "\n")
}

// rows are the lines as they are set on paper: what belongs together shares a row.
func (b Bag) rows() []string {
	var out []string
	for _, parts := range [][]string{{b.Sample}, {b.Green, b.Layer}, {b.Course}, {b.Round}, {b.Date, b.Cores}} {
		var row []string
		for _, s := range parts {
			if s = plain(s); s != "" {
				row = append(row, s)
			}
		}
		if len(row) > 0 {
			out = append(out, strings.Join(row, ", "))
		}
	}
	return out
}

// plain puts a text on one line: no breaks, no characters that steer a printer.
func plain(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || (r >= 0x80 && r < 0xa0) || r == 0x2028 || r == 0x2029 {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "�"))
	return strings.Join(strings.Fields(s), " ")
}
