// Package typeface holds the open typefaces that PDFs are set in, with the characters and widths of each.
package typeface

import (
	_ "embed"
	"encoding/binary"
	"errors"
	"strings"
	"sync"
)

// Licences beside the files: SIL Open Font License 1.1. Atkinson Hyperlegible Next shows data: its nought is slashed and 1,
// l and I differ; its figures are taken in their tabular form, so that they stand under each other. Source Serif 4 speaks;
// its three weights are cut from the variable font at the optical sizes they are set in.
var (
	//go:embed fonts/atkinson-hyperlegible-next-regular.ttf
	sans []byte
	//go:embed fonts/atkinson-hyperlegible-next-bold.ttf
	sansBold []byte
	//go:embed fonts/source-serif-4-regular.ttf
	serif []byte
	//go:embed fonts/source-serif-4-medium.ttf
	serifMedium []byte
	//go:embed fonts/source-serif-4-semibold.ttf
	serifSemibold []byte
)

// The faces. An embedded file that cannot be read is a fault of the build, which a test finds.
var (
	Sans          = face("AtkinsonHyperlegibleNext", sans)
	SansBold      = face("AtkinsonHyperlegibleNextBold", sansBold)
	Serif         = face("SourceSerif4", serif)
	SerifMedium   = face("SourceSerif4Medium", serifMedium)
	SerifSemibold = face("SourceSerif4Semibold", serifSemibold)
)

// Face is one weight of a typeface.
type Face struct {
	Name   string
	Font   []byte // the TrueType file; not to be changed
	widths map[rune]float64
}

func face(name string, font []byte) func() (*Face, error) {
	return sync.OnceValues(func() (*Face, error) {
		widths, err := read(font)
		return &Face{Name: name, Font: font, widths: widths}, err
	})
}

// Has says whether the face has a character.
func (f *Face) Has(r rune) bool { _, ok := f.widths[r]; return ok }

// Width is that of a text in parts of the size of its letters; a character that the face lacks counts nothing.
func (f *Face) Width(text string) float64 {
	sum := 0.0
	for _, r := range text {
		sum += f.widths[r]
	}
	return sum
}

// missing stands for a character that a face lacks.
const missing = '?'

// Shown replaces characters that the face lacks by question marks and says whether there were any.
func (f *Face) Shown(text string) (shown string, lost bool) {
	for _, r := range text {
		if !f.Has(r) {
			lost = true
		}
	}
	if !lost {
		return text, false
	}
	return strings.Map(func(r rune) rune {
		if f.Has(r) {
			return r
		}
		return missing
	}, text), true
}

// font reads numbers of a TrueType file; beyond its end there are noughts.
type font []byte

func (f font) at(i int) int {
	if i < 0 || i+2 > len(f) {
		return 0
	}
	return int(binary.BigEndian.Uint16(f[i:]))
}

func (f font) long(i int) int { return f.at(i)<<16 | f.at(i+2) }

// table finds where a table begins, 0 where there is none.
func (f font) table(name string) int {
	for t := range f.at(4) {
		record := 12 + 16*t
		if record+16 <= len(f) && string(f[record:record+4]) == name {
			return f.long(record + 8)
		}
	}
	return 0
}

// read gives the width of every character of the basic plane, by the tables cmap (format 4), hhea, hmtx and head
// (ISO/IEC 14496-22:2019, 5.2.3 and 5.3.4).
func read(file []byte) (map[rune]float64, error) {
	f := font(file)
	units, metrics, hmtx := float64(f.at(f.table("head")+18)), f.at(f.table("hhea")+34), f.table("hmtx")
	cmap := f.table("cmap")
	if units == 0 || metrics == 0 || hmtx == 0 || cmap == 0 {
		return nil, errors.New("typeface: no TrueType file")
	}
	for s := range f.at(cmap + 2) {
		sub := cmap + f.long(cmap+4+8*s+4)
		if f.at(sub) != 4 {
			continue
		}
		out := map[rune]float64{}
		n := f.at(sub+6) / 2
		for i := range n {
			last, first := f.at(sub+14+2*i), f.at(sub+16+2*n+2*i)
			if first > last || first == 0xffff {
				continue
			}
			delta, where := f.at(sub+16+4*n+2*i), sub+16+6*n+2*i
			for c := first; c <= last; c++ {
				glyph := c
				if offset := f.at(where); offset > 0 {
					if glyph = f.at(where + offset + 2*(c-first)); glyph == 0 {
						continue
					}
				}
				if glyph = (glyph + delta) & 0xffff; glyph > 0 {
					out[rune(c)] = float64(f.at(hmtx+4*min(glyph, metrics-1))) / units
				}
			}
		}
		return out, nil
	}
	return nil, errors.New("typeface: no character map of format 4")
}
