package label

import (
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"underfoot/internal/typeface"
)

const (
	face     = "AtkinsonHyperlegibleNext"
	mmPerPt  = 25.4 / 72
	greyLine = 150 // of 255, for what must not compete with writing
)

// press is a PDF being set, lengths in mm from the upper left corner.
type press struct {
	*fpdf.Fpdf
	faces map[string]*typeface.Face // by style
	style string
	size  float64 // pt
	lost  bool    // some letter could not be shown
}

// About says what a PDF is, for those who list or hear it.
type About struct {
	Title   string
	Subject string
	When    time.Time // it was made; it stands in the file, so the same time makes the same bytes
	Version string    // of the program
}

func newPress(paper Paper, about About) (*press, error) {
	w, h := paper.size()
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: w, Ht: h}})
	f.SetCatalogSort(true)
	f.SetCreationDate(about.When.UTC())
	f.SetModificationDate(about.When.UTC())
	f.SetTitle(plain(about.Title), true)
	f.SetSubject(plain(about.Subject), true)
	f.SetLang("en-GB")
	f.SetCreator(plain("Underfoot "+about.Version), true)
	f.SetProducer("fpdf", true)
	f.SetDisplayMode("real", "continuous")
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.SetCellMargin(0)
	p := &press{Fpdf: f, faces: map[string]*typeface.Face{}}
	for style, load := range map[string]func() (*typeface.Face, error){"": typeface.Sans, "B": typeface.SansBold} {
		have, err := load()
		if err != nil {
			return nil, fmt.Errorf("reading the embedded typeface: %w", err)
		}
		p.faces[style] = have
		f.AddUTF8FontFromBytes(face, style, have.Font)
	}
	return p, f.Error()
}

// font chooses style ("" or "B") and size in pt. The PDF hears of it when something is said: most sizes are only tried.
func (p *press) font(style string, size float64) { p.style, p.size = style, size }

// say sets a text on its base line and gives back where it ended.
func (p *press) say(x, y float64, text string) float64 {
	text = p.shown(text)
	if text != "" {
		p.SetFont(face, p.style, p.size)
		p.Text(x, y, text)
	}
	return x + p.long(text)
}

// width is that of a text in the chosen font, mm.
func (p *press) width(text string) float64 { return p.long(p.shown(text)) }

// long is the width of a text of letters that the typeface has, mm.
func (p *press) long(text string) float64 {
	return p.faces[p.style].Width(text) * p.size * mmPerPt
}

// shown replaces letters that the typeface lacks.
func (p *press) shown(text string) string {
	text, lost := p.faces[""].Shown(plain(text))
	p.lost = p.lost || lost
	return text
}

// fit chooses the largest size between least and most pt in which the text is not wider than width mm, and says whether
// there is one.
func (p *press) fit(text, style string, most, least, width float64) bool {
	text = p.shown(text)
	for size := most; ; size -= 0.5 {
		p.font(style, max(size, least))
		if p.long(text) <= width {
			return true
		}
		if size <= least {
			return false
		}
	}
}

// lines breaks a text into lines not wider than width mm in the chosen font, at blanks and before hyphens where it can and
// inside a word where it must: nothing is cut off. A hyphen at the end of a line would pass for one that joins a word.
func (p *press) lines(text string, width float64) []string {
	text = p.shown(text)
	if text != "" && p.long(text) <= width {
		return []string{text}
	}
	var out []string
	line, edge := "", 0 // edge: where the line may be broken, 0 for nowhere
	for _, r := range text {
		if line != "" && p.long(line)+p.long(string(r)) > width {
			if edge == 0 {
				edge = len(line)
			}
			out = append(out, strings.TrimSpace(line[:edge]))
			line, edge = strings.TrimLeft(line[edge:], " "), 0
		}
		if line != "" && (r == ' ' || r == '-') {
			edge = len(line)
		}
		line += string(r)
	}
	if line = strings.TrimSpace(line); line != "" {
		out = append(out, line)
	}
	return out
}

// finish writes the file.
func (p *press) finish(w io.Writer) error {
	if err := p.Output(w); err != nil {
		return fmt.Errorf("writing the PDF: %w", err)
	}
	return nil
}
