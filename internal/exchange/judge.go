package exchange

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"underfoot"
)

// judge checks a record whose cells have been read: by itself, against the rows before it and against the store.
func (tb *table) judge(rec underfoot.Record) {
	whole := !tb.refused // only a record whose cells are all good is judged as a whole
	if whole {
		for _, f := range rec.Check() {
			i, _ := tb.t.Column(f.Column)
			tb.problem(f.Column, tb.texts[i], f.Text)
		}
		tb.dates(rec)
	}
	course := tb.place(rec)
	tb.references(course)
	if whole {
		tb.among(rec, course)
	}
	tb.key()
}

// firstDay is the earliest day of a record. Common practice, no source: before it, a date is a slip.
var firstDay = underfoot.MakeDate(1900, time.January, 1)

func (tb *table) dates(rec underfoot.Record) {
	day, done := underfoot.Date(0), true
	switch x := rec.(type) {
	case *underfoot.Sample:
		day = x.Date
	case *underfoot.Work:
		day, done = x.Date, !x.Planned()
	case *underfoot.Reading:
		day = x.Date
	case *underfoot.Weather:
		day = x.Date
	case *underfoot.Judgement:
		day = x.Date
	case *underfoot.Scenario:
		day, done = x.Date, false
	case *underfoot.RoundPlan:
		day, done = x.Date, false
	case *underfoot.FurnaceRun:
		if !x.Date.Known {
			return
		}
		day = x.Date.Value
	case *underfoot.Release:
		day = x.Date
	case *underfoot.Tare:
		day = x.Date
	case *underfoot.Custody:
		day = x.Date
	default:
		return
	}
	today := tb.r.o.Today
	switch {
	case day < firstDay:
		tb.problem("date", day.String(), fmt.Sprintf("%s is before %s: dates from then on are allowed", day, firstDay))
	case done && today != 0 && day > today+1:
		text := fmt.Sprintf("%s is in the future: today is %s", day, today)
		if tb.t == underfoot.WorkLog {
			text += "; work to come has status planned"
		}
		tb.problem("date", day.String(), text)
	}
}

// key refuses a key that was met before, and remembers it.
func (tb *table) key() {
	var parts [4]string
	names, n := "", 0
	for i := range tb.t.Columns {
		c := &tb.t.Columns[i]
		if !c.Key {
			continue
		}
		text := tb.texts[i]
		if text == "" {
			return
		}
		if c.Kind == underfoot.Number || c.Kind == underfoot.Whole {
			if v, err := underfoot.ParseNumber(text); err == nil {
				text = underfoot.FormatNumber(v)
			}
		}
		parts[n] = text
		n++
	}
	id := tb.r.hash.of(parts[:n]...)
	first := tb.met(id)
	if first == 0 {
		tb.remember(id)
		return
	}
	for i := range tb.t.Columns {
		if c := &tb.t.Columns[i]; c.Key {
			names += ", " + c.Name
		}
	}
	tb.problem(names[2:], strings.Join(parts[:n], ", "), fmt.Sprintf("%s is there already on line %d: each may come once",
		shorten(strings.Join(parts[:n], ", ")), first))
}

// met returns the line on which a key was met before, 0 for never. Samples are kept with more about them, and results
// with their sample.
func (tb *table) met(id hash) int {
	if tb.t == underfoot.Samples || tb.t == underfoot.Results {
		s := tb.r.samples.get(id)
		switch {
		case s != nil && tb.t == underfoot.Samples:
			return s.at.line()
		case s != nil:
			return int(-min(s.burnt, 0))
		}
	}
	if w := tb.keys.get(id); w != nil {
		return w.line()
	}
	return 0
}

func (tb *table) remember(id hash) {
	switch tb.t {
	case underfoot.Samples:
		i, _ := tb.t.Column("course")
		course, known := tb.r.courseAt[tb.texts[i]]
		if !known {
			course = -1
		}
		tb.r.samples.put(id, sampleSeen{at: at(tb.line, tb.refused), course: course})
		return
	case underfoot.Results:
		if s := tb.r.samples.get(id); s != nil {
			if s.burnt == 0 {
				s.burnt = -int32(tb.line)
			}
			return
		}
	}
	tb.keys.put(id, at(tb.line, tb.refused))
}

// among checks a record against others.
func (tb *table) among(rec underfoot.Record, course string) {
	switch x := rec.(type) {
	case *underfoot.Sample:
		tb.layer(x)
	case *underfoot.Sand:
		tb.r.density[x.ID] = x.BulkDensity
	case *underfoot.Work:
		tb.sandTwice(x, course)
	case *underfoot.Result:
		if x.Method == "" {
			tb.remarks.add("method", tb.line, "method", func() string {
				return "empty: how the sample was prepared is not stated, so it is taken as whole, with a warning"
			})
		}
	}
}

// layer refuses a layer that overlaps another of the same round, green and position in part.
func (tb *table) layer(s *underfoot.Sample) {
	if tb.refused {
		return
	}
	label := s.RoundLabel()
	group := tb.r.hash.of(s.Course, s.Green, label, s.Position)
	other, full := tb.layers.add(group, s.TopMM, s.BottomMM, tb.line)
	switch {
	case other != nil:
		tb.problem("top_mm, bottom_mm", s.Layer(), fmt.Sprintf(
			"layer %s overlaps layer %s on line %d in round %s of green %s: layers of one round may touch or be the same, not overlap",
			s.Layer(), underfoot.LayerName(shortest(other.top), shortest(other.bottom)), other.line, shorten(label), s.Green))
	case full:
		tb.problem("top_mm, bottom_mm", s.Layer(), fmt.Sprintf(
			"round %s of green %s has more than %d different layers: is the label of the round right?", shorten(label), s.Green, mostLayers))
	}
	if s.Round != "" && !tb.refused {
		tb.rounds.add(tb.r.hash.of(s.Course, s.Round), s, tb.line)
	}
}

// shortest returns the float64 that prints like the float32.
func shortest(v float32) float64 {
	f, _ := strconv.ParseFloat(strconv.FormatFloat(float64(v), 'g', -1, 32), 64)
	return f
}

// sandTwice refuses sand whose depth and mass do not agree through its bulk density: mm × kg/m³ / 1000 = kg/m².
func (tb *table) sandTwice(w *underfoot.Work, course string) {
	if (w.SandMM.Or(0) > 0 || w.SandKgM2.Or(0) > 0) && w.Sand == "" {
		tb.remarks.add("sand", tb.line, "sand", func() string { return "empty: sand was put on and not said which, so its density is not known" })
	}
	if !w.SandMM.Known || !w.SandKgM2.Known {
		return
	}
	density := tb.r.bulkDensity(course, w.Sand)
	if !density.Known {
		tb.remarks.add("density", tb.line, "sand_kg_m2", func() string {
			return "sand is given as mm and as kg/m² and the two could not be compared: the sand's bulk density is not known"
		})
		return
	}
	if f := w.SandsAgree(density); f != nil {
		kg, _ := tb.t.Column("sand_kg_m2")
		tb.problem(f.Column, tb.texts[kg], f.Text)
	}
}

func (r *reader) bulkDensity(course, sand string) underfoot.Opt[float64] {
	if sand == "" {
		return underfoot.Opt[float64]{}
	}
	if d, ok := r.density[sand]; ok {
		return d
	}
	if s, ok := r.store.find(underfoot.Sands, underfoot.Key{course, sand}).(*underfoot.Sand); ok && s != nil {
		return s.BulkDensity
	}
	return underfoot.Opt[float64]{}
}
