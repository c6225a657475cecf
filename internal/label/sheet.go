package label

import (
	"errors"
	"fmt"
	"io"
)

// Sheet is the field sheet of a round.
type Sheet struct {
	Paper    Paper
	Course   string
	Round    string
	Date     string // "14 October 2026", or empty
	Facts    []Fact // what holds for every green
	Layers   []Layer
	Stops    []Stop // greens in the order they are walked
	Cautions []string
	About    About
}

// Fact is one thing to know: "Corer", "20 mm inside".
type Fact struct{ Name, Value string }

// Layer is a depth interval below the surface in mm.
type Layer struct {
	Name        string
	Top, Bottom float64
}

// Stop is one green of the round.
type Stop struct {
	Green  string
	Bags   []Packed
	Cores  int     // to be cut, for their boxes where no place is given
	Places []Place // of the cores, in the order they are walked
	Walk   string  // how to find the places: the walk over the green, or what the fixed points are
	Plan   *Plan
}

// Packed is one bag that is filled at a stop.
type Packed struct{ Sample, Layer string }

// Place is where one core is cut: tape distances from fixed points, and words.
type Place struct {
	Core  string
	Tapes []Tape
	Note  string // "to the left", or the place in words
}

// Tape is a distance in metres from a fixed point.
type Tape struct {
	From   string
	Metres float64
}

// Plan is a small picture of a green: lengths in metres, east and north of any point.
type Plan struct {
	Outline [][]Point // rings
	Cores   []Mark
	Fixed   []Mark
}

// Point is a place on a green, m.
type Point struct{ East, North float64 }

// Mark is a point with its name.
type Mark struct {
	Point
	Name string
}

// Cautions are the sentences for those who go out to cut cores. They give no limits: those differ by country, corer and
// course, and no list covers every hazard.
func Cautions() []string {
	return []string{
		"Agree with the course when greens are free; look for balls, mowers and vehicles before you step on; be seen, and leave the green to play when asked.",
		"Ask where pipes and cables lie before you push anything into the ground. Push the corer with the legs and a straight back, feet clear of its edge.",
		"Bags of wet cores grow heavy: carry few at a time, lift with the knees, and load a vehicle so that nothing slides. Fill every hole.",
		"Local law, the rules of the course, the maker’s manual of the corer and a qualified person come before these lines.",
	}
}

const (
	edge      = 14.0 // from the edge of the paper to what is printed, mm
	rulerWide = 26.0 // of the column at the right with the ruler, mm
	footHigh  = 20.0 // from the lower edge of the paper to the end of the matter, mm
	mostStops = 400
	mostRows  = 400 // bags or places at one stop
)

// WriteSheet writes the field sheet as PDF. It must be printed at 100 %: the depth ruler on every page is to scale.
func WriteSheet(w io.Writer, s Sheet) error {
	if err := s.check(); err != nil {
		return err
	}
	p, err := newPress(s.Paper, s.About)
	if err != nil {
		return err
	}
	d := &sheetPress{press: p, sheet: s}
	d.paperW, d.paperH = s.Paper.size()
	d.right = d.paperW - edge - rulerWide
	d.turn()
	d.heading()
	for i, stop := range s.Stops {
		d.stop(i+1, stop)
	}
	d.feet()
	return p.finish(w)
}

func (s Sheet) check() error {
	switch {
	case s.Paper != A4 && s.Paper != Letter:
		return fmt.Errorf("paper %q: %q or %q are allowed", s.Paper, A4, Letter)
	case len(s.Stops) == 0:
		return errors.New("there is no green to go to")
	case len(s.Stops) > mostStops:
		return fmt.Errorf("%d greens: at most %d go onto one sheet", len(s.Stops), mostStops)
	}
	for _, l := range s.Layers {
		if !(l.Top >= 0 && l.Bottom > l.Top && l.Bottom <= 2000) {
			return fmt.Errorf("layer %q from %s to %s mm: 0 to 2,000 mm are allowed, the bottom below the top", l.Name, short(l.Top), short(l.Bottom))
		}
	}
	for _, stop := range s.Stops {
		if n := max(len(stop.Bags), len(stop.Places), stop.Cores); n > mostRows {
			return fmt.Errorf("green %q: %d bags or cores: at most %d go onto one sheet", stop.Green, n, mostRows)
		}
	}
	return nil
}

// sheetPress sets a field sheet from the top down.
type sheetPress struct {
	*press
	sheet          Sheet
	paperW, paperH float64
	right          float64 // end of the matter
	y              float64 // where the next row begins
}

// turn begins a page with its ruler.
func (d *sheetPress) turn() {
	d.AddPage()
	d.SetTextColor(0, 0, 0)
	d.ruler()
	d.y = edge
}

// room turns the page when less than h mm are left on it, and says whether it did.
func (d *sheetPress) room(h float64) bool {
	if d.y+h <= d.paperH-footHigh {
		return false
	}
	d.turn()
	return true
}

// para sets a text in lines and moves below it.
func (d *sheetPress) para(x, width, lead float64, text string) {
	for _, l := range d.lines(text, width) {
		d.y += lead
		d.say(x, d.y, l)
	}
}

// rule draws a line across the matter, grey or black.
func (d *sheetPress) rule(x1, x2, y, wide float64, grey int) {
	d.SetDrawColor(grey, grey, grey)
	d.SetLineWidth(wide)
	d.Line(x1, y, x2, y)
}

// box draws a box to tick with its upper left corner at x, y.
func (d *sheetPress) box(x, y, side float64) {
	d.SetDrawColor(0, 0, 0)
	d.SetLineWidth(0.3)
	d.Rect(x, y, side, side, "D")
}

// blank is a name with a line to write on from there to x2.
func (d *sheetPress) blank(x1, x2, y float64, name string) {
	d.font("", 9)
	end := d.say(x1, y, name)
	d.rule(end+1.5, x2, y+0.6, 0.2, greyLine)
}
