package mixed

import (
	"fmt"
	"math"
	"testing"
)

// bothWays orthogonalises by the Gram matrix, as a table too long for more would have it, and by columns.
func bothWays(d *Design) (gram, columns *fixed) {
	made := func() *fixed {
		f := &fixed{n: len(d.Y)}
		for _, w := range d.Weights {
			f.root = append(f.root, math.Sqrt(w))
		}
		return f
	}
	gram, columns = made(), made()
	gram.byGram(d, true)
	gram.invert()
	columns.byColumns(d)
	columns.invert()
	return gram, columns
}

// The way of long tables, by the Gram matrix with rows of Q made as they are needed, gives what Gram–Schmidt gives; above 100,000 rows without the passes
// that refine the coefficients.
func TestGramMatrixGivesWhatGramSchmidtGives(t *testing.T) {
	years := sketch{rows: 500, columns: 3, seed: 5}.design()
	for i := range years.Y {
		years.Columns[1][i] = 2000 + float64(i%25)
		years.Columns[2][i] = years.Columns[1][i] * years.Columns[1][i]
	}
	for _, c := range []struct {
		name string
		d    *Design
		tol  float64
	}{
		{"four columns", sketch{rows: 80, columns: 4, seed: 1}.design(), 1e-12},
		{"weights", sketch{rows: 80, columns: 4, weights: true, seed: 2}.design(), 1e-12},
		{"years and their squares", years, 1e-9},
		{"100,001 rows", sketch{rows: 100_001, columns: 3, weights: true, seed: 3}.design(), 1e-11},
	} {
		t.Run(c.name, func(t *testing.T) {
			gram, columns := bothWays(c.d)
			if gram.p != columns.p || gram.q != nil {
				t.Fatalf("%d and %d columns kept", gram.p, columns.p)
			}
			near(t, "sum of squares left", gram.sum.float(), columns.sum.float(), columns.sum.float(), 1e-12)
			near(t, "log determinant", gram.logDeterminant(), columns.logDeterminant(), 10, 1e-12)
			for j := range gram.p {
				near(t, fmt.Sprint("coefficient ", j), gram.beta[j].float(), columns.beta[j].float(), columns.beta[j].float(), c.tol)
			}
			x, y := make([]float64, gram.p), make([]float64, gram.p)
			for i := 0; i < len(c.d.Y); i += 7 {
				gram.row(i, x)
				columns.row(i, y)
				near(t, "rest", gram.rest[i], columns.rest[i], 1, 1e-9)
				for j := range x {
					near(t, "entry of Q", x[j], y[j], 1, c.tol)
				}
			}
		})
	}
}

// Without random terms a fit is least squares; on orthogonal columns by hand.
func TestLeastSquaresByHand(t *testing.T) {
	f := fitted(t, &Design{
		Response: "y", Y: []float64{1, 2, 4, 9}, Names: []string{"mean", "slope"},
		Columns: [][]float64{{1, 1, 1, 1}, {-3, -1, 1, 3}},
	}, Options{})
	near(t, "mean", f.Beta[0], 4, 1, 1e-15)
	near(t, "slope", f.Beta[1], 1.3, 1, 1e-15) // (−3 − 2 + 4 + 27)/20
	s2 := (102 - 64 - 33.8) / 2                // Σy² − 4·4² − 20·1.3², over 4 − 2
	near(t, "σ²", f.Sigma*f.Sigma, s2, s2, 1e-14)
	near(t, "standard error", f.SE[1], math.Sqrt(s2/20), 1, 1e-14)
	near(t, "criterion", f.Criterion, math.Log(4*20)+2*(1+math.Log(2*math.Pi*s2)), 10, 1e-14)
}

func TestAliasedColumnsAreNamedWithTheReason(t *testing.T) {
	a, b := []float64{1, 0, 2, 5, 3, 1, 4}, []float64{0, 1, 1, 0, 2, 7, 1}
	sum := func(of func(a, b float64) float64) []float64 {
		out := make([]float64, len(a))
		for i := range out {
			out[i] = of(a[i], b[i])
		}
		return out
	}
	y := []float64{1, 4, 2, 3, 3, 2, 6}
	eight := func(i int) []float64 {
		return sum(func(a, b float64) float64 { return math.Cos(float64(i) * (a + 1.3*b)) })
	}
	for _, c := range []struct {
		name    string
		columns [][]float64
		names   []string
		want    []Aliased
	}{
		{"zero", [][]float64{a, make([]float64, 7)}, []string{"a", "nothing"}, []Aliased{{"nothing", "it is zero in every row"}}},
		{"zero first", [][]float64{make([]float64, 7), a}, []string{"nothing", "a"}, []Aliased{{"nothing", "it is zero in every row"}}},
		{"again", [][]float64{a, b, a}, []string{"a", "b", "again"}, []Aliased{{"again", "it is a"}}},
		{"the other way round", [][]float64{a, b, sum(func(a, b float64) float64 { return -b })}, []string{"a", "b", "c"}, []Aliased{{"c", "it is −b"}}},
		{"combination", [][]float64{ones(7), a, b, sum(func(a, b float64) float64 { return 2*a - b + 0.5 })}, []string{"one", "a", "b", "c"}, []Aliased{{"c", "it is 0.5 × one + 2 × a − b"}}},
		{
			"two",
			[][]float64{a, sum(func(a, b float64) float64 { return 3 * a }), b, sum(func(a, b float64) float64 { return a + b })},
			[]string{"a", "a3", "b", "c"},
			[]Aliased{{"a3", "it is 3 × a"}, {"c", "it is a + b"}},
		},
		{"in a column far off", [][]float64{ones(7), sum(func(a, b float64) float64 { return 1e6 + a }), sum(func(a, b float64) float64 { return 2e6 + 2*a })}, []string{"one", "x", "c"}, []Aliased{{"c", "it is 2 × x"}}},
		{"of many", [][]float64{ones(7), a, b, eight(1), eight(2), eight(3), eight(4), y}, []string{"one", "a", "b", "c1", "c2", "c3", "c4", "y"}, []Aliased{{"y", "it is a combination of the columns before it"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := &Design{Response: "y", Y: y, Columns: c.columns, Names: c.names}
			gram, columns := bothWays(d)
			for way, f := range map[string]*fixed{"by the Gram matrix": gram, "by columns": columns} {
				if fmt.Sprint(f.aliased) != fmt.Sprint(c.want) {
					t.Errorf("%s: got %v, want %v", way, f.aliased, c.want)
				}
			}
		})
	}
}

// A column that repeats others changes nothing but that it is named: coefficients, predictions and degrees of freedom are those without it.
func TestAliasedColumnChangesNothing(t *testing.T) {
	p := sketches[2]
	want := fitted(t, p.design(), Options{})
	d := p.design()
	extra := make([]float64, p.rows)
	for i := range extra {
		extra[i] = 3*d.Columns[1][i] - d.Columns[0][i]
	}
	d.Columns = [][]float64{d.Columns[0], d.Columns[1], extra}
	d.Names = []string{"x0", "x1", "extra"}
	got := fitted(t, d, Options{})
	alikeFits(t, got, want, 1, ones(want.P))
	if s := fmt.Sprint(got.Aliased); s != "[{extra it is −x0 + 3 × x1}]" {
		t.Errorf("aliased: %s", s)
	}
	for i, v := range predicted(t, got, rowsOf(d)) {
		near(t, "prediction", v.Value, want.FittedValues()[i], want.Sigma, 1e-9)
	}
}
