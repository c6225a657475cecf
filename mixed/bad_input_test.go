package mixed_test

import (
	"math"
	"strings"
	"testing"

	"underfoot/mixed"
)

// sound is a small design with nothing wrong: 3 levels of 4 rows, a line in x.
func sound() *mixed.Design {
	return &mixed.Design{
		Response: "y",
		Y:        []float64{1.2, 1.9, 3.4, 4.1, 2.0, 3.1, 3.9, 5.2, 0.3, 1.4, 2.1, 3.3},
		Columns: [][]float64{
			{1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1},
			{0, 1, 2, 3, 0, 1, 2, 3, 0, 1, 2, 3},
		},
		Names: []string{"(Intercept)", "x"},
		Terms: []mixed.Term{{
			Group: "plot", Names: []string{"(Intercept)"}, Levels: []string{"a", "b", "c"},
			Level: []int32{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2}, Z: [][]float64{nil},
		}},
	}
}

func with(edit func(d *mixed.Design)) *mixed.Design {
	d := sound()
	edit(d)
	return d
}

func filled(v float64) []float64 {
	out := make([]float64, 12)
	for i := range out {
		out[i] = v
	}
	return out
}

func at(v []float64, i int, x float64) []float64 {
	v[i] = x
	return v
}

func TestFitSaysWhatIsWrongWithADesign(t *testing.T) {
	for _, c := range []struct {
		name string
		d    *mixed.Design
		want string
	}{
		{"no rows", &mixed.Design{}, "fit: there are no rows: give at least one row with a response and every term"},
		{"columns without names", with(func(d *mixed.Design) { d.Names = d.Names[:1] }), "fit: 2 columns with 1 names"},
		{"a short column", with(func(d *mixed.Design) { d.Columns[1] = d.Columns[1][:5] }), "fit: column x: 5 values for 12 rows"},
		{"response that is no number", with(func(d *mixed.Design) { d.Y[3] = math.NaN() }), "fit: row 4: the response is NaN: every value must be a finite number"},
		{"infinite response", with(func(d *mixed.Design) { d.Y[0] = math.Inf(-1) }), "fit: row 1: the response is -Inf: every value must be a finite number"},
		{"infinite column", with(func(d *mixed.Design) { d.Columns[1][11] = math.Inf(1) }), "fit: row 12: column x is +Inf: every value must be a finite number"},
		{"weight of zero", with(func(d *mixed.Design) { d.Weights = at(filled(1), 2, 0) }), "fit: row 3: weight 0: a precision weight must be above 0; leave the row out instead"},
		{"weight below zero", with(func(d *mixed.Design) { d.Weights = at(filled(1), 4, -2.5) }), "fit: row 5: weight -2.5: a precision weight must be above 0; leave the row out instead"},
		{"infinite weight", with(func(d *mixed.Design) { d.Weights = at(filled(1), 0, math.Inf(1)) }), "fit: row 1: the weight is +Inf: every value must be a finite number"},
		{"too few weights", with(func(d *mixed.Design) { d.Weights = filled(1)[:7] }), "fit: the weight: 7 values for 12 rows"},
		{"known deviation below zero", with(func(d *mixed.Design) { d.KnownSD = at(filled(0.1), 6, -0.1) }), "fit: row 7: known standard deviation -0.1: it must be 0 or more"},
		{"known deviation that is no number", with(func(d *mixed.Design) { d.KnownSD = at(filled(0.1), 6, math.NaN()) }), "fit: row 7: the known standard deviation is NaN: every value must be a finite number"},
		{"term without effects", with(func(d *mixed.Design) { d.Terms[0].Names, d.Terms[0].Z = nil, nil }), "fit: random term of plot: 0 names for 0 columns: at least one effect, one column each"},
		{"term with a name too many", with(func(d *mixed.Design) { d.Terms[0].Names = []string{"(Intercept)", "x"} }), "fit: random term of plot: 2 names for 1 columns: at least one effect, one column each"},
		{"too few levels given", with(func(d *mixed.Design) { d.Terms[0].Level = d.Terms[0].Level[:11] }), "fit: random term of plot: 11 levels given for 12 rows"},
		{"level too high", with(func(d *mixed.Design) { d.Terms[0].Level[8] = 3 }), "fit: row 9: level 3 of plot: there are 3"},
		{"level below zero", with(func(d *mixed.Design) { d.Terms[0].Level[1] = -1 }), "fit: row 2: level -1 of plot: there are 3"},
		{"infinite column of a term", with(func(d *mixed.Design) { d.Terms[0].Z[0] = at(filled(1), 9, math.Inf(1)) }), "fit: row 10: (Intercept) of plot is +Inf: every value must be a finite number"},
		{"a short column of a term", with(func(d *mixed.Design) { d.Terms[0].Z[0] = filled(1)[:3] }), "fit: (Intercept) of plot: 3 values for 12 rows"},
		{"one level", with(func(d *mixed.Design) { d.Terms[0].Level = make([]int32, 12) }), "fit: plot has one level: its effect cannot be told from the fixed part; at least 2 are needed"},
		{"a level each row", with(func(d *mixed.Design) {
			d.Terms[0].Levels = strings.Split("abcdefghijkl", "")
			for i := range d.Terms[0].Level {
				d.Terms[0].Level[i] = int32(i)
			}
		}), "fit: plot has 12 effects for 12 rows: they cannot be told from the residual; there must be more rows than effects"},
		{"as many effects as rows", with(func(d *mixed.Design) {
			d.Terms[0].Names = []string{"(Intercept)", "x", "x²", "x³"}
			d.Terms[0].Z = [][]float64{nil, d.Columns[1], {0, 1, 4, 9, 0, 1, 4, 9, 0, 1, 4, 9}, {0, 1, 8, 27, 0, 1, 8, 27, 0, 1, 8, 27}}
		}), "fit: plot has 12 effects for 12 rows: they cannot be told from the residual; there must be more rows than effects"},
		{"as many coefficients as rows", with(func(d *mixed.Design) {
			d.Terms, d.Columns, d.Names = nil, nil, nil
			for j := range 12 {
				d.Columns = append(d.Columns, at(filled(0), j, 1))
				d.Names = append(d.Names, string(rune('a'+j)))
			}
		}), "fit: 12 rows for 12 coefficients: there must be more rows than coefficients"},
		{"equal response", with(func(d *mixed.Design) { d.Y = filled(3.7) }), "fit: the response does not vary about its fixed part: there is nothing to divide among the random terms"},
		{"response of zeros", with(func(d *mixed.Design) { d.Y = filled(0) }), "fit: the response does not vary about its fixed part: there is nothing to divide among the random terms"},
		{"response on the line", with(func(d *mixed.Design) {
			for i, x := range d.Columns[1] {
				d.Y[i] = 0.1 + 0.7*x
			}
		}), "fit: the response does not vary about its fixed part: there is nothing to divide among the random terms"},
		{"response of levels alone", with(func(d *mixed.Design) {
			for i, l := range d.Terms[0].Level {
				d.Y[i] = float64(l*l) + 0.5*d.Columns[1][i]
			}
		}), "fit: the random effects fit every row exactly: there is no residual left to weigh them against; leave a term out"},
		{"response too large to square", with(func(d *mixed.Design) {
			for i := range d.Y {
				d.Y[i] *= 1e200
			}
		}), "fit: the squares of the numbers overflow: give the response and the columns in larger units"},
		{"effect of nothing", with(func(d *mixed.Design) {
			d.Terms[0].Names, d.Terms[0].Z = []string{"(Intercept)", "c"}, [][]float64{nil, make([]float64, len(d.Y))}
		}), "fit: c of plot is zero in every row: leave it out of the random term"},
		{"effects that say the same", with(func(d *mixed.Design) {
			c := make([]float64, len(d.Y))
			for i := range c {
				c[i] = 0.1
			}
			d.Terms[0].Names, d.Terms[0].Z = []string{"(Intercept)", "c"}, [][]float64{nil, c}
		}), "fit: (Intercept) of plot says the same as the other effects of its term: leave it out"},
		{"a term given twice", with(func(d *mixed.Design) { d.Terms = append(d.Terms, d.Terms[0]) }), "fit: two random terms of plot share an effect: their variances cannot be told apart; leave one out"},
		{"column too large to square", with(func(d *mixed.Design) {
			for i := range d.Y {
				d.Columns[1][i] *= 1e200
			}
		}), "fit: the squares of the numbers overflow: give the response and the columns in larger units"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := mixed.Fit(c.d, mixed.Options{})
			if err == nil {
				t.Fatalf("no error; fit %+v", f)
			}
			if err.Error() != c.want {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}
