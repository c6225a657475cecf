package labsheet

import (
	"slices"
	"strings"
)

// sieveColumns finds the columns that are headed by the size of a sieve.
func (p *guess) sieveColumns() map[int]bool {
	out := map[int]bool{}
	hint := p.sizeHint()
	for c := range p.heads {
		low := p.lower(c)
		if low == "" || fieldOf(low) == FieldOM || says(normal(p.heads[c]), wordsOM...) {
			continue
		}
		unit := hint
		if u := openingUnit(p.heads[c]); u != "" {
			unit = u
		}
		if unit == "" {
			unit = InMM // to see whether it is a size at all
		}
		if d, _, ok := FindDepth(p.heads[c], unit); ok && d.BottomMM > 9 {
			continue // a layer
		}
		if mm, ok := p.sizeOf(c, unit); ok && (mm > 0 || len(out) > 0 || strings.ContainsAny(p.heads[c], "<0123456789")) && share(p.cells(c), isNumber) > 0.5 {
			out[c] = true
		}
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// sizeHint is the unit of sieve sizes that some heading or title names.
func (p *guess) sizeHint() string {
	for c := range p.heads {
		if fieldOf(p.heads[c]) == FieldOpening || says(normal(p.upper(c)), wordsSieve...) {
			if u := openingUnit(p.heads[c]); u != "" {
				return u
			}
		}
	}
	for r := range p.h.top {
		for _, x := range p.g.Rows[r] {
			if u := openingUnit(x.Text); u != "" && says(normal(x.Text), wordsSieve...) {
				return u
			}
		}
	}
	return ""
}

// proposeSieve takes sieves as columns, or sieves as rows.
func (p *guess) proposeSieve(sieves map[int]bool) {
	if len(sieves) >= 3 {
		p.sievesAcross(sieves)
	} else {
		p.sievesDown()
	}
}

func (p *guess) sievesAcross(sieves map[int]bool) {
	p.because("Each row is one analysis, and %s hold what is on the sieves.", counted(len(sieves), "column", "columns"))
	p.rule.Openings = p.sizeHint()
	for c, f := range p.fields {
		switch {
		case sieves[c]:
			p.fields[c] = FieldAmount
		case f == FieldAmount, f == FieldOpening:
			p.fields[c] = ""
			if f == FieldOpening && share(p.cells(c), func(x Cell) bool { return !looksLikeValue(x) }) > 0.5 {
				p.fields[c] = FieldSample // the corner of the table is headed by the sieves, its cells name samples
			}
		case f == FieldDry:
			p.fields[c] = FieldTotal
		}
	}
	if p.count(FieldSample)+p.count(FieldGreen)+p.count(FieldPlace)+p.count(FieldSand) == 0 && !sieves[0] && len(p.cells(0)) > 0 {
		p.fields[0] = FieldSample
		p.because("Column A is taken for the sample: it stands first and nothing else names one.")
	}
	p.keys(0, FieldSand, FieldTotal, FieldWashed)
	for c := range p.heads {
		if sieves[c] {
			x := p.add(c, FieldAmount)
			if mm, ok := p.sizeOf(c, p.openingOf(c)); ok {
				x.Opening = &mm
			}
		}
	}
}

// openingOf is the unit of a size in a heading.
func (p *guess) openingOf(c int) string {
	if u := openingUnit(p.heads[c]); u != "" {
		return u
	}
	return p.rule.Openings
}

// preference of measures where a sheet gives several: masses before shares, and single sieves before sums.
var preference = []Measure{RetainedG, CumulativeG, RetainedPercent, CumulativePercent, PassingPercent}

func (p *guess) sievesDown() {
	size := p.sizeColumn()
	for c, f := range p.fields {
		if f == FieldOpening && c != size || f == FieldDry || f == FieldTare {
			p.fields[c] = ""
		}
	}
	if size >= 0 {
		p.add(size, FieldOpening)
		p.fields[size] = FieldOpening
	}
	byMeasure := map[Measure][]int{}
	var unnamed []int
	for c := range p.heads {
		if c == size || share(p.cells(c), isNumber) < 0.6 {
			continue
		}
		f := p.fields[c]
		switch {
		case f == FieldAmount:
			m := measureIn(p.heads[c])
			byMeasure[m] = append(byMeasure[m], c)
		case p.heads[c] != "" && c > size && (f == "" || f == FieldGreen || f == FieldSample || f == FieldPlace || f == FieldSand || f == FieldLayer) && !says(normal(p.heads[c]), wordsTotals...) && !p.namesRows(c):
			unnamed = append(unnamed, c)
		}
	}
	if len(byMeasure) == 0 && len(unnamed) > 0 {
		p.rule.NamesAbove = true
		p.because("Each of %s is one analysis, named by its heading.", counted(len(unnamed), "column", "columns"))
		for _, c := range unnamed {
			p.fields[c] = FieldAmount
			p.add(c, FieldAmount).Name = p.heads[c]
		}
		p.keys(0)
		return
	}
	p.keys(0, FieldSand, FieldTotal, FieldWashed)
	for _, m := range append(slices.Clone(preference), "") {
		list := byMeasure[m]
		if len(list) == 0 {
			continue
		}
		p.rule.Measure = m
		for i, c := range list {
			x := p.add(c, FieldAmount)
			if len(list) > 1 {
				x.Group = i + 1
				x.Name = p.upper(c)
			}
		}
		if len(byMeasure) > 1 {
			p.because("Of several columns that say the same, %s is taken: %s.", ColumnName(list[0]), m.Word())
		}
		break
	}
}

// namesRows says whether a column of numbers names samples, because its numbers come again and again.
func (p *guess) namesRows(c int) bool {
	seen := map[string]bool{}
	cells := p.cells(c)
	for _, x := range cells {
		seen[x.Text] = true
	}
	f := p.fields[c]
	return (f == FieldGreen || f == FieldSample || f == FieldSand) && len(seen)*2 <= len(cells)
}

// sizeColumn is the column of sieve sizes, that in mm before others.
func (p *guess) sizeColumn() int {
	best, rank := -1, 9
	for c, f := range p.fields {
		if f != FieldOpening {
			continue
		}
		r := slices.Index([]string{InMM, InMicro, InPhi, InMesh, InInch, ""}, openingUnit(p.heads[c]))
		if r < rank {
			best, rank = c, r
		}
	}
	for c, f := range p.fields {
		if f == FieldOpening && c != best {
			p.because("Column %s (%s) is left out: column %s gives the sieves too.", ColumnName(c), p.heads[c], ColumnName(best))
		}
	}
	return best
}

// measureIn reads from a heading what a sieve's amounts are; empty where it does not say.
func measureIn(heading string) Measure {
	h := normal(heading)
	percent := strings.Contains(h, "%") || says(h, "percent", "prozent", "prosent", "procent", "pct")
	grams := !percent && unitIn(heading, FieldTotal) == "g"
	sum := says(h, wordsSum...)
	switch {
	case says(h, wordsThrough...):
		return PassingPercent
	case sum && percent:
		return CumulativePercent
	case sum && grams:
		return CumulativeG
	case percent:
		return RetainedPercent
	case grams:
		return RetainedG
	}
	return ""
}
