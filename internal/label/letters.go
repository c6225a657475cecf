package label

import (
	"encoding/binary"
	"errors"
	"strings"
)

// letters are the characters a typeface has: first and last of each run.
type letters [][2]uint16

// missing stands for a letter that the typeface lacks.
const missing = '?'

// readLetters reads the character map of a TrueType font, format 4 of the table cmap (ISO/IEC 14496-22:2019, 5.3.4): the
// characters of the basic plane.
func readLetters(font []byte) (letters, error) {
	at := func(i int) int {
		if i < 0 || i+2 > len(font) {
			return 0
		}
		return int(binary.BigEndian.Uint16(font[i:]))
	}
	long := func(i int) int { return at(i)<<16 | at(i+2) }
	for t := range at(4) {
		record := 12 + 16*t
		if record+16 > len(font) || string(font[record:record+4]) != "cmap" {
			continue
		}
		cmap := long(record + 8)
		for s := range at(cmap + 2) {
			sub := cmap + long(cmap+4+8*s+4)
			if at(sub) != 4 {
				continue
			}
			n := at(sub+6) / 2
			var out letters
			for i := range n {
				last, first := at(sub+14+2*i), at(sub+16+2*n+2*i)
				if first <= last && first != 0xffff {
					out = append(out, [2]uint16{uint16(first), uint16(last)})
				}
			}
			return out, nil
		}
	}
	return nil, errors.New("no character map of format 4")
}

// each calls f with every letter.
func (l letters) each(f func(rune)) {
	for _, run := range l {
		for r := rune(run[0]); r <= rune(run[1]); r++ {
			f(r)
		}
	}
}

func (l letters) has(r rune) bool {
	for _, run := range l {
		if r >= rune(run[0]) && r <= rune(run[1]) {
			return true
		}
	}
	return false
}

func (l letters) replace(text string) string {
	return strings.Map(func(r rune) rune {
		if l.has(r) {
			return r
		}
		return missing
	}, text)
}
