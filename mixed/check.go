package mixed

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// check says what is wrong with a design: shapes, numbers that are not finite, weights, levels.
func (d *Design) check() error {
	n := len(d.Y)
	if n == 0 {
		return errors.New("fit: there are no rows: give at least one row with a response and every term")
	}
	if len(d.Columns) != len(d.Names) {
		return fmt.Errorf("fit: %d columns with %d names", len(d.Columns), len(d.Names))
	}
	if err := finite("the response", d.Y, n); err != nil {
		return err
	}
	for j, x := range d.Columns {
		if err := finite("column "+d.Names[j], x, n); err != nil {
			return err
		}
	}
	if d.Weights != nil {
		if err := finite("the weight", d.Weights, n); err != nil {
			return err
		}
		for i, w := range d.Weights {
			if w <= 0 {
				return fmt.Errorf("fit: row %d: weight %g: a precision weight must be above 0; leave the row out instead", i+1, w)
			}
		}
	}
	if d.KnownSD != nil {
		if err := finite("the known standard deviation", d.KnownSD, n); err != nil {
			return err
		}
		for i, s := range d.KnownSD {
			if s < 0 {
				return fmt.Errorf("fit: row %d: known standard deviation %g: it must be 0 or more", i+1, s)
			}
		}
	}
	for t := range d.Terms {
		if err := d.checkTerm(&d.Terms[t], n); err != nil {
			return err
		}
		for _, o := range d.Terms[:t] {
			if o.Group == d.Terms[t].Group && slices.ContainsFunc(o.Names, func(name string) bool { return slices.Contains(d.Terms[t].Names, name) }) {
				return fmt.Errorf("fit: two random terms of %s share an effect: their variances cannot be told apart; leave one out", o.Group)
			}
		}
	}
	return nil
}

func finite(what string, v []float64, n int) error {
	if len(v) != n {
		return fmt.Errorf("fit: %s: %d values for %d rows", what, len(v), n)
	}
	for i, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("fit: row %d: %s is %g: every value must be a finite number", i+1, what, x)
		}
	}
	return nil
}

func (d *Design) checkTerm(t *Term, n int) error {
	if len(t.Names) == 0 || len(t.Z) != len(t.Names) {
		return fmt.Errorf("fit: random term of %s: %d names for %d columns: at least one effect, one column each", t.Group, len(t.Names), len(t.Z))
	}
	if len(t.Level) != n {
		return fmt.Errorf("fit: random term of %s: %d levels given for %d rows", t.Group, len(t.Level), n)
	}
	seen := make([]bool, len(t.Levels))
	used := 0
	for i, l := range t.Level {
		if l < 0 || int(l) >= len(t.Levels) {
			return fmt.Errorf("fit: row %d: level %d of %s: there are %d", i+1, l, t.Group, len(t.Levels))
		}
		if !seen[l] {
			seen[l] = true
			used++
		}
	}
	for j, z := range t.Z {
		if z == nil {
			continue
		}
		if err := finite(fmt.Sprintf("%s of %s", t.Names[j], t.Group), z, n); err != nil {
			return err
		}
	}
	switch {
	case used == 1:
		return fmt.Errorf("fit: %s has one level: its effect cannot be told from the fixed part; at least 2 are needed", t.Group)
	case used*len(t.Names) >= n && !d.uneven():
		return fmt.Errorf("fit: %s has %d effects for %d rows: they cannot be told from the residual; there must be more rows than effects", t.Group, used*len(t.Names), n)
	}
	return nil
}

// uneven reports whether the variances of the rows differ in a known way, which tells effects of single rows from the residual.
func (d *Design) uneven() bool {
	for _, v := range [2][]float64{d.Weights, d.KnownSD} {
		for _, x := range v {
			if x != v[0] {
				return true
			}
		}
	}
	return false
}
