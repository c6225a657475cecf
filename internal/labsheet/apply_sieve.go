package labsheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"
)

// series is one sieve analysis as the sheet gives it.
type series struct {
	row    Row
	points []point
}

type point struct {
	mm, amount float64
	place      string
}

// sorted puts the sieves from the coarsest to the finest, the pan last.
func (s *series) sorted() []point {
	list := slices.Clone(s.points)
	slices.SortStableFunc(list, func(a, b point) int { return cmp.Compare(b.mm, a.mm) })
	return list
}

// series collects the analyses of a sheet.
func (r Rule) series(l *layout, c *collector) []*series {
	w := r.reading(l, c)
	var out []*series
	down := r.Has(FieldOpening)
	by := map[string]*series{}
	w.each(func(row int) {
		if !down {
			s := &series{row: w.row(row, 0, FieldAmount)}
			for _, x := range r.Columns {
				if x.Field != FieldAmount || x.Opening == nil {
					continue
				}
				w.point(s, row, x, *x.Opening)
			}
			if len(s.points) > 0 {
				out = append(out, s)
			}
			return
		}
		mm, ok := w.openingAt(row)
		if !ok {
			return
		}
		for _, x := range r.Columns {
			if x.Field != FieldAmount {
				continue
			}
			base := w.row(row, x.Group, FieldAmount, FieldOpening)
			if x.Name != "" {
				base.Text[FieldSample] = x.Name
				base.At[FieldSample] = l.g.Place(l.h.bottom, x.At-1)
				if d, _, ok := FindDepth(x.Name, ""); ok {
					w.layer(&base, d, base.At[FieldSample])
				}
			}
			key := base.Text[FieldSample] + "\x00" + base.Text[FieldSand] + "\x00" + base.Text[FieldGreen] + "\x00" + base.Text[FieldDate] + "\x00" + strconv.FormatFloat(base.Number[FieldTop], 'g', -1, 64)
			if x.Name != "" {
				key += "\x00" + strconv.Itoa(x.At)
			}
			s := by[key]
			if s == nil {
				s = &series{row: base}
				s.row.Place = l.g.Place(row, x.At-1)
				by[key] = s
				out = append(out, s)
			}
			s.row.Bad = s.row.Bad || base.Bad
			w.point(s, row, x, mm)
		}
	})
	return slices.DeleteFunc(out, func(s *series) bool { return len(s.points) == 0 })
}

// openingAt reads the sieve of a row.
func (w *reading) openingAt(row int) (float64, bool) {
	for _, x := range w.r.Columns {
		if x.Field != FieldOpening {
			continue
		}
		c, place := w.cell(row, x)
		text := c.Text
		if c.Numeric {
			text = strconv.FormatFloat(c.Value, 'f', -1, 64)
		}
		if text == "" && w.hasPan(row) {
			return 0, true
		}
		if text == "" {
			w.c.note(place, "left out: no sieve in the row")
			return 0, false
		}
		mm, err := ReadOpening(text, x.Unit)
		if err != nil {
			w.c.problem(place, text, "%s", err)
			return 0, false
		}
		return mm, true
	}
	return 0, false
}

// hasPan says whether a row without a size names the pan elsewhere.
func (w *reading) hasPan(row int) bool {
	return slices.ContainsFunc(w.l.g.Rows[row], func(c Cell) bool { return slices.Contains(pan, normal(c.Text)) })
}

// point reads what one sieve of an analysis has.
func (w *reading) point(s *series, row int, x Column, mm float64) {
	c, place := w.cell(row, x)
	if Absent(c.Text) && !c.Numeric {
		return
	}
	w.c.bad = false
	v, ok := w.number(FieldAmount, "", x.Mark, c, place)
	if !ok {
		s.row.Bad = true
		return
	}
	for _, p := range s.points {
		if p.mm == mm {
			w.c.problem(place, c.Text, "the sieve of %g mm comes twice in this analysis, first at %s: each sieve may come once", mm, p.place)
			s.row.Bad = true
			return
		}
	}
	s.points = append(s.points, point{mm, v, place})
}

// sieveRows turns what the sheet gives into the mass on each sieve.
func (r Rule) sieveRows(l *layout, c *collector) []Row {
	if r.Measure == "" && r.Has(FieldAmount) {
		c.problem(l.g.Place(l.h.bottom, 0), "", "nothing says what the amounts on the sieves are: say whether grams or percent, on each sieve, on it and all coarser ones, or passing it")
		return nil
	}
	if !r.Has(FieldOpening) && slices.ContainsFunc(r.Columns, func(x Column) bool { return x.Field == FieldAmount && x.Opening == nil }) {
		for _, x := range r.Columns {
			if x.Field == FieldAmount && x.Opening == nil {
				c.problem(l.g.Place(l.h.bottom, x.At-1), x.Heading, "the heading is no size of a sieve: write it such as 0.5 mm, 500 µm, 1 phi, No. 35 or pan, or say in which unit the sieves are")
			}
		}
		return nil
	}
	var out []Row
	hundred := false
	for _, s := range r.series(l, c) {
		row := s.row
		row.Given = map[string]float64{}
		for _, p := range s.points {
			row.Given[strconv.FormatFloat(p.mm, 'g', -1, 64)] = p.amount
		}
		row.Sieve, hundred = s.masses(r.Measure, c, hundred)
		row.Bad = row.Bad || row.Sieve == nil
		if row.Text[FieldSample] == "" && row.Text[FieldSand] == "" && row.Text[FieldGreen] == "" {
			c.problem(row.Place, "", "nothing says what was sieved: a column with the sample, the sand, or green and layer is needed")
			row.Bad = true
		}
		out = append(out, row)
	}
	return out
}

// masses turns the amounts into the mass on each sieve. Percent is of the mass sieved where the sheet gives it, else of
// 100 g. It returns nil when the amounts cannot be what the measure says, and whether 100 g was said already.
func (s *series) masses(m Measure, c *collector, hundred bool) ([]Mass, bool) {
	list := s.sorted()
	total, known := s.row.Number[FieldTotal]
	if m.percent() && !known {
		total = 100
		if !hundred {
			c.note(s.row.Place, "shares are kept as masses of 100 g, since the sheet does not say how much was sieved: the loss while sieving cannot be checked")
			hundred = true
		}
	}
	if _, washed := s.row.Number[FieldWashed]; washed && m.percent() {
		delete(s.row.Number, FieldWashed)
		c.note(s.row.Place, "what washing took away is left out: shares say what is finer than the finest sieve")
	}
	// amounts on each sieve, in the unit of the sheet
	each := make([]Mass, 0, len(list)+1)
	before, sum := 0.0, 0.0
	if m == PassingPercent {
		before = 100
	}
	for _, p := range list {
		on := p.amount
		switch m {
		case CumulativeG, CumulativePercent:
			on = p.amount - before
			if on < -0.05 {
				c.problem(p.place, strconv.FormatFloat(p.amount, 'g', -1, 64), "%g is less than %g on the next coarser sieve: sums may only rise; is it the amount on this sieve alone?", p.amount, before)
				return nil, hundred
			}
		case PassingPercent:
			if p.amount > before+0.05 {
				c.problem(p.place, strconv.FormatFloat(p.amount, 'g', -1, 64), "%g %% passes, more than %g %% through the next coarser sieve: what passes may only fall, from 100 %% on; is it the amount on this sieve?", p.amount, before)
				return nil, hundred
			}
			on = before - p.amount
			if p.mm == 0 {
				on = before
			}
		}
		before = p.amount
		sum += on
		each = append(each, Mass{p.mm, max(on, 0)})
	}
	last := list[len(list)-1]
	if last.mm > 0 {
		rest, end := 0.0, 100.0
		switch m {
		case PassingPercent:
			rest = last.amount
		case CumulativePercent:
			rest = 100 - last.amount
		case CumulativeG:
			rest, end = total-s.row.Number[FieldWashed]-last.amount, total
		}
		if rest > 1e-9*end {
			each = append(each, Mass{0, rest})
			sum += rest
		}
	}
	if m == RetainedPercent || m == CumulativePercent {
		switch {
		case sum > 102: // 2 % is what rounding of a dozen sieves to whole percent can come to (common practice, no source)
			c.problem(last.place, "", "the shares come to %.4g %%: at most 102 %% is allowed; are they sums?", sum)
			return nil, hundred
		case sum < 98:
			c.note(last.place, "the shares come to %.4g %%: what is missing to 100 %% is lost or on a sieve the sheet does not give", sum)
		}
	}
	for i := range each {
		if m.percent() {
			each[i].RetainedG = each[i].RetainedG * total / 100
		}
		each[i].RetainedG = math.Round(each[i].RetainedG*1e6) / 1e6
	}
	return each, hundred
}
