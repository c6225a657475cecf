package figure

import "math"

// rounds draws a faint upright at each round, with ticks at the edges of the layers and a dot above the surface.
func (b Burial) rounds(s *Scene, x, y scale) {
	for _, t := range b.Rounds {
		if !datable(t) || !x.holds(seconds(t)) {
			continue
		}
		px := x.at(seconds(t))
		foot := y.r1
		for k, d := range b.Layers {
			if !drawable(d) || !y.holds(d) {
				continue
			}
			if k == len(b.Layers)-1 {
				foot = y.at(d)
			}
			s.line(px-5, y.at(d), px+5, y.at(d), roundLine)
		}
		s.line(px, y.r0, px, foot, roundLine)
		s.circle(px, y.r0-7, 3.6, dot)
		s.mark(t.Format("2006-01-02"), "Round of "+t.Format("2 January 2006"), px-6, y.r0-16, 12, 18)
	}
}

// holes draws what was opened, from the surface to its depth. A hollow tine leaves a hole as wide as the share it opened:
// 1 px for each 2 %, at least 3.
func (b Burial) holes(s *Scene, x, y scale) {
	marks := 0
	for _, c := range b.usableCores(x) {
		px, foot := x.at(seconds(c.At)), y.at(c.DepthMM)
		if c.Kind == HollowTines {
			wide := 3.0
			if drawable(c.Opened) {
				wide = clamp(c.Opened*50, 3, 9)
			}
			s.rect(px-wide/2, y.r0, wide, foot-y.r0, hole)
		} else {
			s.line(px, y.r0, px, foot, slitUnder)
			s.line(px, y.r0, px, foot, slit)
		}
		if marks++; marks <= 60 {
			s.mark(bare(c.DepthMM), c.said(), px-4, y.r0, 8, max(foot-y.r0, 24))
		}
	}
}

func (b Burial) usableCores(x scale) []CoringMark {
	var out []CoringMark
	for _, c := range b.Cores {
		if datable(c.At) && x.holds(seconds(c.At)) && drawable(c.DepthMM) && c.DepthMM > 0 {
			out = append(out, c)
		}
	}
	return out
}

func (k CoringKind) name() string {
	switch k {
	case SolidTines:
		return "solid tines"
	case Injection:
		return "sand injection"
	}
	return "hollow tines"
}

func (c CoringMark) said() string {
	words := c.At.Format("2 January 2006") + ": " + c.Kind.name() + " to " + bare(c.DepthMM) + " mm"
	if drawable(c.Opened) && c.Opened > 0 {
		words += ", " + number(c.Opened*100, 1) + " % of the surface"
	}
	return words
}

// future lays a veil over what is planned and marks today.
func (b Burial) future(s *Scene, x, y scale) {
	if !b.planned() || b.Now.Before(b.Dates[0]) {
		return
	}
	px := x.at(seconds(b.Now))
	s.rect(px, y.r0, x.r1-px, y.r1-y.r0, veil)
	s.line(px, y.r0-26, px, y.r1, today)
	words, after := "today", "planned"
	if wide := textWidth(words, word); px-wide-5 >= x.r0 {
		s.add(Text{Style: word, X: px - 5, Y: y.r0 - 16, Words: words, Anchor: End, Halo: true})
	}
	if wide := textWidth(after, wordModel); px+5+wide <= s.Width {
		s.add(Text{Style: wordModel, X: px + 5, Y: y.r0 - 16, Words: after, Halo: true})
	}
}

// surfaces draws the sinking surfaces and gives the labels of those that end on the chart.
func (b Burial) surfaces(s *Scene, x, y scale) []endLabel {
	var labels []endLabel
	for _, z := range b.Seasons {
		var runs []Path
		var run []Point
		flush := func() {
			if len(run) > 1 {
				runs = append(runs, Path{Segs: segments(simplified(run), false)})
			}
			run = nil
		}
		for i, d := range z.Depth {
			if !drawable(d) || d < 0 || !y.holds(d) {
				flush()
				continue
			}
			run = append(run, Point{tenths(x.at(seconds(b.Dates[i]))), tenths(y.at(d))})
		}
		flush()
		for _, st := range []Style{surfaceUnder, surface} {
			for _, p := range runs {
				p.Style = st
				s.add(p)
			}
		}
		if d := z.Depth[len(z.Depth)-1]; len(runs) > 0 && drawable(d) && y.holds(d) {
			labels = append(labels, endLabel{y: y.at(d), style: word, first: z.Label, then: number(d, 0) + " mm"})
		}
	}
	return labels
}

func tenths(v float64) float64 { return math.Round(v*10) / 10 }

// named writes the names of the surfaces beside their ends, each with a leader from where it lies; where there is room, with
// its depth.
func (b Burial) named(s *Scene, labels []endLabel, x, y scale) {
	most := int((y.r1 - y.r0) / 16)
	if len(labels) > most {
		labels = labels[len(labels)-most:]
	}
	ys, hs := make([]float64, len(labels)), make([]float64, len(labels))
	for i, l := range labels {
		ys[i], hs[i] = l.y, 16
	}
	from := x.r1 + 12
	for i, at := range spread(ys, hs, y.r0-4, y.r1) {
		l := labels[i]
		s.add(stroke(thin, []float64{x.r1, l.y, x.r1 + 4, l.y, from - 2, at}))
		room := s.Width - from
		name := fitted(l.first, l.style, room)
		s.add(Text{Style: l.style, X: from, Y: at + 5, Words: name})
		if textWidth(name, l.style)+6+textWidth(l.then, wordQuiet) <= room {
			s.text(s.Width, at+5, l.then, wordQuiet, End)
		}
	}
}

// axes draws depth down the left, time along the foot and the frame.
func (b Burial) axes(s *Scene, x, y scale) {
	read := scale{b.Measure.of(y.d0), b.Measure.of(y.d1), y.r0, y.r1}
	each := step(read.d1, max(2, int((y.r1-y.r0)/44)))
	for _, v := range ticks(0, read.d1, each) {
		s.line(x.r0-4, read.at(v), x.r0, read.at(v), axis)
		s.text(x.r0-7, read.at(v)+4.5, number(v, decimals(each)), tick, End)
	}
	s.text(x.r0-7, y.r0-11, b.Measure.unit(), tick, End)
	s.line(x.r0, y.r1, x.r1, y.r1, axis)
	s.line(x.r0, y.r0, x.r1, y.r0, zero)
	from, to := b.Dates[0], b.Dates[len(b.Dates)-1]
	s.yearEdges(from, to, x, y.r1)
	s.timeAxis(monthTicks(from, to, x, max(2, int((x.r1-x.r0)/46))), s.Height-7)
}

// keys draws the scale of colour and names the marks, in as many rows as the width needs, and gives where they end.
func (b Burial) keys(s *Scene) float64 {
	k := keyRow{s: s, y: burialRow - 6}
	k.colours()
	x := scale{seconds(b.Dates[0]), seconds(b.Dates[len(b.Dates)-1]), 0, 1}
	var hollow, dashed, injected, round bool
	for _, c := range b.usableCores(x) {
		hollow = hollow || c.Kind == HollowTines
		dashed = dashed || c.Kind == SolidTines
		injected = injected || c.Kind == Injection
	}
	for _, t := range b.Rounds {
		round = round || datable(t) && x.holds(seconds(t))
	}
	if round {
		k.add("round", func(x, y float64) { s.circle(x+5, y-5, 3.6, dot) })
	}
	if hollow {
		k.add(HollowTines.name(), func(x, y float64) { s.rect(x+3, y-12, 4, 15, hole) })
	}
	if name := dashedName(dashed, injected); name != "" {
		k.add(name, func(x, y float64) {
			s.line(x+5, y-12, x+5, y+3, slitUnder)
			s.line(x+5, y-12, x+5, y+3, slit)
		})
	}
	if len(b.Seasons) > 0 {
		k.add("surface of a season’s start", func(x, y float64) {
			s.line(x, y-4, x+12, y-4, surfaceUnder)
			s.line(x, y-4, x+12, y-4, surface)
		})
	}
	return k.y + 6
}

func dashedName(solid, injected bool) string {
	switch {
	case solid && injected:
		return "solid tines, injection"
	case solid:
		return SolidTines.name()
	case injected:
		return Injection.name()
	}
	return ""
}

// keyRow sets keys one beside the other and goes on in a new row where the width ends.
type keyRow struct {
	s    *Scene
	x, y float64 // where the next stands, y its baseline
}

// colours draws the scale of organic matter in bands, as the chart has them.
func (k *keyRow) colours() {
	const each = 6.0
	k.s.text(k.x, k.y, "0", tick, Start)
	from := k.x + 12
	for i := range 10 * bands {
		k.s.add(Rect{Style: soil, X: from + each*float64(i), Y: k.y - 11, W: each + .5, H: 12, Fill: OMColour((float64(i) + .5) / bands)})
	}
	words := "10 % organic matter"
	k.s.text(from+10*bands*each+6, k.y, words, tick, Start)
	k.x = from + 10*bands*each + 6 + textWidth(words, tick) + 18
}

// add draws a key and its words.
func (k *keyRow) add(words string, draw func(x, y float64)) {
	wide := 17 + textWidth(words, wordQuiet)
	if k.x > 0 && k.x+wide > k.s.Width {
		k.x, k.y = 0, k.y+burialRow
	}
	draw(k.x, k.y)
	k.s.text(k.x+17, k.y, fitted(words, wordQuiet, k.s.Width-17), wordQuiet, Start)
	k.x += wide + 16
}
