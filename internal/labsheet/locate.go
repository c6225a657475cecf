package labsheet

import (
	"fmt"
	"slices"
	"strings"
)

// Fingerprint is what a rule's sheets have in common: the headings of its columns, in small letters, sorted. Headings
// that name samples are left out, for they are others the next time.
func (r Rule) Fingerprint() string {
	var list []string
	for _, c := range r.Columns {
		if h := normal(c.Heading); h != "" && c.Name == "" {
			list = append(list, h)
		}
	}
	slices.Sort(list)
	return strings.Join(list, " | ")
}

// Saved is a rule kept under a name.
type Saved struct {
	Name string
	Rule Rule
}

// Recognise returns the saved rule whose headings the sheet has, the one with most columns where several fit.
func Recognise(b *Book, saved []Saved) (Saved, bool) {
	best, most := Saved{}, 0
	for _, s := range saved {
		if s.Rule.Fingerprint() == "" {
			continue
		}
		if _, _, err := locate(b, s.Rule); err == nil && len(s.Rule.Columns) > most {
			best, most = s, len(s.Rule.Columns)
		}
	}
	return best, most > 0
}

// Locate returns the rule as it fits the sheet: the rows of headings and the columns where they are in it.
func Locate(b *Book, r Rule) (Rule, error) {
	_, r, err := locate(b, r)
	return r, err
}

// locate finds the worksheet, the heading rows and the columns of a rule.
func locate(b *Book, r Rule) (*Grid, Rule, error) {
	missing := ""
	for _, exact := range []bool{true, false} {
		for i := range b.Sheets {
			g := &b.Sheets[i]
			if exact != (r.Sheet == "" || g.Sheet == r.Sheet) || len(g.Rows) == 0 || g.Hidden && g.Sheet != r.Sheet {
				continue
			}
			found, lacks := r.fit(g)
			if lacks == "" {
				if len(b.Sheets) > 1 {
					found.Sheet = g.Sheet
				}
				return g, found, nil
			}
			if missing == "" {
				missing = lacks
			}
		}
	}
	if missing == "" {
		missing = "worksheet " + r.Sheet
	}
	return nil, r, fmt.Errorf("%s has not the headings that the rule was made for: %s is missing: point at the columns again, or choose another saved rule", b.File, missing)
}

// fit moves the rule to where its headings are in the grid; lacks names a heading that is not there.
func (r Rule) fit(g *Grid) (found Rule, lacks string) {
	if r.Head == 0 || r.Fingerprint() == "" {
		if r.HeadAt > len(g.Rows) {
			return r, fmt.Sprintf("row %d", r.HeadAt)
		}
		return r.withNames(g), ""
	}
	at := max(r.HeadAt-1, 0)
	best := ""
	for k := -1; k < min(len(g.Rows), lookForHead); k++ {
		row := k
		if k < 0 {
			row = at
		}
		if row >= len(g.Rows) || k == at {
			continue
		}
		columns, lacks := r.match(g.headings(head{row, min(row+r.Head, len(g.Rows)) - 1}))
		if lacks == "" {
			found = r
			found.HeadAt, found.Columns = row+1, columns
			return found.withNames(g), ""
		}
		if best == "" {
			best = lacks
		}
	}
	return r, best
}

// match finds each column by its heading, in its own place first.
func (r Rule) match(heads []string) (columns []Column, lacks string) {
	plain := make([]string, len(heads))
	for i, h := range heads {
		plain[i] = normal(h)
	}
	used := map[int]bool{}
	columns = slices.Clone(r.Columns)
	open := make([]int, 0, len(columns))
	for i := range columns {
		c := &columns[i]
		h := normal(c.Heading)
		if c.At <= len(plain) && plain[c.At-1] == h {
			used[c.At-1] = true
			continue
		}
		if h != "" {
			open = append(open, i)
		}
	}
	for _, i := range open {
		c := &columns[i]
		if c.Name != "" && r.NamesAbove {
			c.At = 0 // to be taken out
			continue
		}
		k := slices.IndexFunc(plain, func(h string) bool { return h == normal(c.Heading) })
		for k >= 0 && used[k] {
			next := slices.Index(plain[k+1:], plain[k])
			if next < 0 {
				k = -1
				break
			}
			k += 1 + next
		}
		if k < 0 {
			return nil, fmt.Sprintf("%q", c.Heading)
		}
		c.At, c.Heading = k+1, heads[k]
		used[k] = true
	}
	return slices.DeleteFunc(columns, func(c Column) bool { return c.At == 0 }), ""
}

// withNames takes every further column for a sample named by its heading, where the rule says so.
func (r Rule) withNames(g *Grid) Rule {
	if !r.NamesAbove {
		return r
	}
	l := r.layoutOf(g)
	used, from := map[int]bool{}, 0
	pattern := Column{Field: FieldAmount, Mark: ""}
	r.Columns = slices.Clone(r.Columns)
	for _, c := range r.Columns {
		used[c.At-1] = true
		if c.Field == FieldOpening {
			from = c.At
		}
		if c.Field == FieldAmount {
			pattern.Mark = c.Mark
		}
	}
	for c := from; c < len(l.heads); c++ {
		if used[c] || l.heads[c] == "" || share(l.cells(c), isNumber) < 0.6 || says(normal(l.heads[c]), wordsTotals...) {
			continue
		}
		x := pattern
		x.At, x.Heading, x.Name = c+1, l.heads[c], l.heads[c]
		r.Columns = append(r.Columns, x)
	}
	return r
}
