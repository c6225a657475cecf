package figure

import "strings"

// Share is one source of uncertainty: its standard uncertainty in the unit of the result.
type Share struct {
	Name  string // "Cores: 5 from one green"
	Value float64
}

// Budget shows where the uncertainty of a result comes from: a bar for each source, in the order
// given.
type Budget struct {
	Shares   []Share
	Unit     string  // "points of OM"
	Decimals int     // 3 if zero
	Width    float64 // 560 if zero; the height follows the number of sources
}

// Scene draws the bars, each below its name, so that long names are whole on a phone too.
func (b Budget) Scene() *Scene {
	const row = 46
	w, h := sized(b.Width, float64(8+row*max(1, len(b.Shares))), box{560, 100}, box{leastWidth, leastHeight})
	s := &Scene{Width: w, Height: h, Class: "chart", Shrink: true, Title: strings.TrimSuffix("Standard uncertainty by source, "+b.Unit, ", ")}
	s.Values = b.Table
	var e extent
	words := make([]string, 0, len(b.Shares))
	d := b.Decimals
	if d <= 0 || d > 6 {
		d = 3
	}
	for _, z := range b.Shares {
		e.take(z.Value)
		words = append(words, z.said(d))
	}
	if !e.some {
		return s.blank("nothing to account for yet")
	}
	s.Label = s.Title + ". " + strings.Join(words, "; ")
	x := scale{0, max(e.hi, 1e-9), 0, max(4, w-84)} // room for the figure at its end, enlarged on a phone
	for i, z := range b.Shares {
		y := 4 + float64(i)*row
		s.text(0, y+15, fitted(z.Name, word, w-8), word, Start)
		if !drawable(z.Value) || z.Value < 0 {
			s.text(0, y+34, "not known", wordQuiet, Start)
			continue
		}
		bar := max(1.5, x.at(z.Value))
		s.rect(0, y+22, bar, 14, solid)
		s.text(bar+8, y+34, number(z.Value, d), wordBold, Start)
		s.mark(number(z.Value, d), strings.TrimSpace(z.said(d)+" "+b.Unit), 0, y+18, bar, 22)
	}
	return s
}

func (z Share) said(d int) string {
	if !drawable(z.Value) || z.Value < 0 {
		return z.Name + ": not known"
	}
	return z.Name + ": " + number(z.Value, d)
}

// Table gives the sources in their order.
func (b Budget) Table() Table {
	out := newTable("Standard uncertainty by source", wordColumn("Source"), numberColumn("Standard uncertainty", b.Unit))
	d := b.Decimals
	if d <= 0 || d > 6 {
		d = 3
	}
	for _, z := range b.Shares {
		c := Cell{}
		if z.Value >= 0 {
			c = numberIn(z.Value, finer(d))
		}
		out.row(cellOf(z.Name), c)
	}
	return *out
}
