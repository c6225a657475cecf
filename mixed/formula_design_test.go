package mixed

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// table reads a small table written in a test.
func table(t testing.TB, text string) *Frame {
	t.Helper()
	f, err := ReadCSV(over(text, nil), CSVOptions{Name: "t.csv"})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func parsed(t testing.TB, text string) Formula {
	t.Helper()
	f, err := ParseFormula(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Four factors' worth of small table: f has levels a, b, c; g has u, v; n is 10 or 9; x and z are numbers.
const small = `y,x,z,f,g,n
1,1,2,b,u,10
2,2,3,a,v,9
3,3,5,c,u,10
4,4,7,a,v,9
5,6,1,b,u,9
6,5,4,c,v,10
7,7,6,a,u,9
8,9,8,b,v,10
`

// The columns of the fixed effects, named and ordered as model.matrix of R 4 does. The wanted names follow from R's
// documented rules: treatment contrasts against the first level (?contr.treatment), terms by degree (?terms.formula,
// keep.order = FALSE), the first variable of a product fastest, and full indicator columns where the margin is absent
// (Chambers & Hastie 1992, "Statistical Models in S", section 2.3.2, "coding by dummy variables").
func TestColumnNames(t *testing.T) {
	cases := []struct{ text, want string }{
		{"y ~ 1", "(Intercept)"},
		{"y ~ x", "(Intercept) x"},
		{"y ~ f", "(Intercept) fb fc"},
		{"y ~ 0 + f", "fa fb fc"},
		{"y ~ f - 1", "fa fb fc"},
		{"y ~ 0 + f + g", "fa fb fc gv"},
		{"y ~ 0 + g + f", "gu gv fb fc"},
		{"y ~ 0 + x + f", "x fa fb fc"},
		{"y ~ f*g", "(Intercept) fb fc gv fb:gv fc:gv"},
		{"y ~ g*f", "(Intercept) gv fb fc gv:fb gv:fc"},
		{"y ~ 0 + f*g", "fa fb fc gv fb:gv fc:gv"},
		{"y ~ f:g", "(Intercept) fa:gu fb:gu fc:gu fa:gv fb:gv fc:gv"},
		{"y ~ 0 + f:g", "fa:gu fb:gu fc:gu fa:gv fb:gv fc:gv"},
		{"y ~ f + f:g", "(Intercept) fb fc fa:gv fb:gv fc:gv"},
		{"y ~ f/g", "(Intercept) fb fc fa:gv fb:gv fc:gv"},
		{"y ~ g + f:g", "(Intercept) gv gu:fb gv:fb gu:fc gv:fc"},
		{"y ~ x*f", "(Intercept) x fb fc x:fb x:fc"},
		{"y ~ f*x", "(Intercept) fb fc x fb:x fc:x"},
		{"y ~ x:f", "(Intercept) x:fa x:fb x:fc"},
		{"y ~ f + x:f", "(Intercept) fb fc fa:x fb:x fc:x"},
		{"y ~ f/x", "(Intercept) fb fc fa:x fb:x fc:x"},
		{"y ~ 0 + f + f:x", "fa fb fc fa:x fb:x fc:x"},
		{"y ~ x:z", "(Intercept) x:z"},
		{"y ~ x*z", "(Intercept) x z x:z"},
		{"y ~ factor(n)", "(Intercept) factor(n)10"},
		{"y ~ f*factor(n)", "(Intercept) fb fc factor(n)10 fb:factor(n)10 fc:factor(n)10"},
		{"y ~ factor(x)", "(Intercept) factor(x)2 factor(x)3 factor(x)4 factor(x)5 factor(x)6 factor(x)7 factor(x)9"},
		{"y ~ I(x - 3)*g", "(Intercept) I(x - 3) gv I(x - 3):gv"},
		{"y ~ x + I(x^2)", "(Intercept) x I(x^2)"},
		{"y ~ log(x) + sqrt(z)", "(Intercept) log(x) sqrt(z)"},
		{"y ~ f*g - f:g", "(Intercept) fb fc gv"},
		{"y ~ f*g - f", "(Intercept) gv fb:gu fc:gu fb:gv fc:gv"},
		{"y ~ f:g + x", "(Intercept) x fa:gu fb:gu fc:gu fa:gv fb:gv fc:gv"},
		{"y ~ f*g*x", "(Intercept) fb fc gv x fb:gv fc:gv fb:x fc:x gv:x fb:gv:x fc:gv:x"},
		{"y ~ f:g:x", "(Intercept) fa:gu:x fb:gu:x fc:gu:x fa:gv:x fb:gv:x fc:gv:x"},
		{"y ~ (f + g + factor(n))^2", "(Intercept) fb fc gv factor(n)10 fb:gv fc:gv fb:factor(n)10 fc:factor(n)10 gv:factor(n)10"},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			d, err := parsed(t, c.text).Design(table(t, small), DesignOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, strings.Join(d.Names, " ")); diff != "" {
				t.Error(diff)
			}
			for j, column := range d.Columns {
				if len(column) != 8 {
					t.Errorf("column %s has %d rows", d.Names[j], len(column))
				}
			}
		})
	}
}

// What the columns hold, worked out by hand.
func TestColumnValues(t *testing.T) {
	cases := []struct {
		text, name string
		want       []float64
	}{
		{"y ~ f", "(Intercept)", []float64{1, 1, 1, 1, 1, 1, 1, 1}},
		{"y ~ f", "fb", []float64{1, 0, 0, 0, 1, 0, 0, 1}},
		{"y ~ 0 + f", "fa", []float64{0, 1, 0, 1, 0, 0, 1, 0}},
		{"y ~ f:g", "fc:gu", []float64{0, 0, 1, 0, 0, 0, 0, 0}},
		{"y ~ x:f", "x:fb", []float64{1, 0, 0, 0, 6, 0, 0, 9}},
		{"y ~ f*x", "fc:x", []float64{0, 0, 3, 0, 0, 5, 0, 0}},
		{"y ~ x:z", "x:z", []float64{2, 6, 15, 28, 6, 20, 42, 72}},
		{"y ~ f:x:z", "fa:x:z", []float64{0, 6, 0, 28, 0, 0, 42, 0}},
		{"y ~ factor(n)", "factor(n)10", []float64{1, 0, 1, 0, 0, 1, 0, 1}},
		{"y ~ I((x - 1)^2/2)", "I((x - 1)^2/2)", []float64{0, .5, 2, 4.5, 12.5, 8, 18, 32}},
		{"y ~ I(-x + 2*z)", "I(-x + 2 * z)", []float64{3, 4, 7, 10, -4, 3, 5, 7}},
		{"y ~ abs(x - 4)", "abs(x - 4)", []float64{3, 2, 1, 0, 2, 1, 3, 5}},
		{"y ~ log2(2^x)", "log2(2^x)", []float64{1, 2, 3, 4, 6, 5, 7, 9}},
		{"y ~ I(2^3^0*x)", "I(2^3^0 * x)", []float64{2, 4, 6, 8, 12, 10, 14, 18}},
		{"y ~ cos(2*pi*x)", "cos(2 * pi * x)", []float64{1, 1, 1, 1, 1, 1, 1, 1}},
	}
	for _, c := range cases {
		t.Run(c.text+" "+c.name, func(t *testing.T) {
			d, err := parsed(t, c.text).Design(table(t, small), DesignOptions{})
			if err != nil {
				t.Fatal(err)
			}
			j := slices.Index(d.Names, c.name)
			if j < 0 {
				t.Fatalf("no column %s among %v", c.name, d.Names)
			}
			if diff := cmp.Diff(c.want, d.Columns[j]); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestRandomTerms(t *testing.T) {
	ones := []float64(nil)
	x := []float64{1, 2, 3, 4, 6, 5, 7, 9}
	f := Term{Group: "f", Names: []string{"(Intercept)"}, Levels: []string{"a", "b", "c"}, Level: []int32{1, 0, 2, 0, 1, 2, 0, 1}, Z: [][]float64{ones}}
	slope := f
	slope.Names, slope.Z = []string{"(Intercept)", "x"}, [][]float64{ones, x}
	alone := f
	alone.Names, alone.Z = []string{"x"}, [][]float64{x}
	dummies := f
	dummies.Names, dummies.Z = []string{"gu", "gv"}, [][]float64{{1, 0, 1, 0, 1, 0, 1, 0}, {0, 1, 0, 1, 0, 1, 0, 1}}
	contrast := f
	contrast.Names, contrast.Z = []string{"(Intercept)", "gv"}, [][]float64{ones, dummies.Z[1]}
	nested := Term{
		Group: "f:g", Names: f.Names, Levels: []string{"a:u", "a:v", "b:u", "b:v", "c:u", "c:v"},
		Level: []int32{2, 1, 4, 1, 2, 5, 0, 3}, Z: [][]float64{ones},
	}
	number := Term{Group: "n", Names: f.Names, Levels: []string{"9", "10"}, Level: []int32{1, 0, 1, 0, 0, 1, 0, 1}, Z: [][]float64{ones}}
	named := number
	named.Group = "factor(n)"
	triple := Term{
		Group: "g:n:f", Names: f.Names, Levels: []string{"u:9:a", "u:9:b", "u:10:b", "u:10:c", "v:9:a", "v:10:b", "v:10:c"},
		Level: []int32{2, 4, 3, 4, 1, 6, 0, 5}, Z: [][]float64{ones},
	}
	cases := []struct {
		text string
		want []Term
	}{
		{"y ~ 1 + (1|f)", []Term{f}},
		{"y ~ x + (x|f)", []Term{slope}},
		{"y ~ x + (x||f)", []Term{f, alone}},
		{"y ~ x + (0+g|f)", []Term{dummies}},
		{"y ~ x + (g|f)", []Term{contrast}},
		{"y ~ x + (g||f)", []Term{f, dummies}},
		{"y ~ x + (1|f/g)", []Term{f, nested}},
		{"y ~ x + (1|n)", []Term{number}},
		{"y ~ n + (1|factor(n))", []Term{named}},
		{"y ~ x + (1|g:n:f)", []Term{triple}},
	}
	for _, c := range cases {
		t.Run(c.text, func(t *testing.T) {
			d, err := parsed(t, c.text).Design(table(t, small), DesignOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, d.Terms); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestRowsLeftOut(t *testing.T) {
	const text = `y,x,f,w,s
1,1,a,1,0
NA,2,b,1,.1
3,NA,c,1,.2
4,4,NA,1,.3
5,5,a,NA,.4
6,6,b,2,NA
7,7,b,3,.5
8,8,b,4,.6
`
	d, err := parsed(t, "y ~ x + (1|f)").Design(table(t, text), DesignOptions{Weights: "w", KnownSD: "s"})
	if err != nil {
		t.Fatal(err)
	}
	d.Coding = nil
	want := &Design{
		Response: "y", Y: []float64{1, 7, 8}, Names: []string{"(Intercept)", "x"}, Columns: [][]float64{{1, 1, 1}, {1, 7, 8}},
		Terms:   []Term{{Group: "f", Names: []string{"(Intercept)"}, Levels: []string{"a", "b"}, Level: []int32{0, 1, 1}, Z: [][]float64{nil}}},
		Weights: []float64{1, 3, 4}, KnownSD: []float64{0, .5, .6}, Dropped: 5, Rows: []int{0, 6, 7},
	}
	if diff := cmp.Diff(want, d); diff != "" {
		t.Error(diff)
	}
}

func TestWeightsAsArithmetic(t *testing.T) {
	d, err := parsed(t, "y ~ 1").Design(table(t, "y,s 1\n1,.5\n2,2\n"), DesignOptions{Weights: "1/`s 1`^2", KnownSD: "s 1"})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([][]float64{{4, .25}, {.5, 2}}, [][]float64{d.Weights, d.KnownSD}); diff != "" {
		t.Error(diff)
	}
}

// A column of the table that needs nothing done to it is not copied.
func TestColumnsAreShared(t *testing.T) {
	f := table(t, small)
	d, err := parsed(t, "y ~ x + (x|g)").Design(f, DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	x := &f.byName["x"].numbers[0]
	if &d.Columns[1][0] != x || &d.Terms[0].Z[1][0] != x || &d.Y[0] != &f.byName["y"].numbers[0] || &d.Terms[0].Level[0] != &f.byName["g"].codes[0] {
		t.Error("a column was copied")
	}
}

func TestDesignRefuses(t *testing.T) {
	const text = `y,x,f,g,one,id,zero,bad,inf,word,w
1,1,a,u,k,1,0,,1,p,1
2,2,b,v,k,2,0,,2,q,-1
3,3,a,u,k,3,0,,Inf,p,2
4,4,b,w,k,4,0,,4,q,0
`
	cases := []struct {
		name, model string
		options     DesignOptions
		want        string
	}{
		{"unknown column", "y ~ x + hte", DesignOptions{}, `model "y ~ x + hte", character 9: there is no column hte: there are y, x, f, g, one, id, zero, bad and 3 more`},
		{"unknown group", "y ~ x + (1|green)", DesignOptions{}, `model "y ~ x + (1|green)", character 12: there is no column green: there are y, x, f, g, one, id, zero, bad and 3 more`},
		{"unknown response", "z ~ x", DesignOptions{}, `model "z ~ x", character 1: there is no column z: there are y, x, f, g, one, id, zero, bad and 3 more`},
		{"response of words", "f ~ x", DesignOptions{}, `model "f ~ x", character 1: the response f holds words ("a"): it must be numbers`},
		{"words in arithmetic", "y ~ log(word)", DesignOptions{}, `model "y ~ log(word)", character 9: column word holds words ("p") where numbers are needed`},
		{"logarithm of nothing", "y ~ log(zero)", DesignOptions{}, `model "y ~ log(zero)", character 5: log(zero) cannot be worked out in row 1, where zero is 0: allowed is above 0`},
		{"root of less than nothing", "sqrt(y - 3) ~ x", DesignOptions{}, `model "sqrt(y - 3) ~ x", character 1: sqrt(y - 3) cannot be worked out in row 1, where y - 3 is −2: allowed is 0 or more`},
		{"division by nothing", "y ~ I(x/zero)", DesignOptions{}, `model "y ~ I(x/zero)", character 8: x/zero cannot be worked out in row 1: 1 / 0 is no finite number`},
		{"infinite", "y ~ inf", DesignOptions{}, `inf is infinite in row 3: every value must be finite, or empty`},
		{"factor of one level", "y ~ x + one", DesignOptions{}, `model "y ~ x + one", character 9: the factor one has one level ("k") in the 4 rows used: a factor needs 2 or more to be compared; leave it out`},
		{"factor of one level in a random term", "y ~ x + (one|f)", DesignOptions{}, `model "y ~ x + (one|f)", character 10: the factor one has one level ("k") in the 4 rows used: a factor needs 2 or more to be compared; leave it out`},
		{"group of one level", "y ~ x + (1|one)", DesignOptions{}, `model "y ~ x + (1|one)", character 12: the group one has one level ("k") in the 4 rows used: a random term needs 2 or more`},
		{"a level for each row", "y ~ 1 + (1|id)", DesignOptions{}, `model "y ~ 1 + (1|id)", character 12: the group id has a level for each of the 4 rows used, so that its variance cannot be told from the residual: leave the term out`},
		{"a level of two columns for each row", "y ~ 1 + (1|id:f)", DesignOptions{}, `model "y ~ 1 + (1|id:f)", character 12: the group id:f has a level for each of the 4 rows used, so that its variance cannot be told from the residual: leave the term out`},
		{"as many effects as rows", "y ~ x + (x|f)", DesignOptions{}, `model "y ~ x + (x|f)", character 12: 2 effects of 2 levels of f are 4 random effects and there are 4 rows: fewer effects than rows are needed to tell their variance from the residual`},
		{"nothing left", "y ~ x + bad", DesignOptions{}, `no row of 4 has every value the model needs: bad is missing in 4`},
		{"no fixed effect", "y ~ 0 + (1|f)", DesignOptions{}, `model "y ~ 0 + (1|f)" has no fixed effect: keep the intercept, 1`},
		{"weights of no column", "y ~ x", DesignOptions{Weights: "v"}, `weights "v", character 1: there is no column v: there are y, x, f, g, one, id, zero, bad and 3 more`},
		{"weights of words", "y ~ x", DesignOptions{Weights: "f"}, `weights "f", character 1: column f holds words ("a") where numbers are needed`},
		{"weight below 0", "y ~ x", DesignOptions{Weights: "w"}, `weights w, row 2: −1: a precision weight must be above 0`},
		{"weight of 0", "y ~ x", DesignOptions{Weights: "zero"}, `weights zero, row 1: 0: a precision weight must be above 0`},
		{"weights that are a constant", "y ~ x", DesignOptions{Weights: "2"}, `weights "2", character 1: 2 names no column`},
		{"weights that cannot be read", "y ~ x", DesignOptions{Weights: "1/"}, `weights "1/", character 3: a name or number is missing after "/": found the end`},
		{"known sd below 0", "y ~ x", DesignOptions{KnownSD: "w"}, `known sd w, row 2: −1: a standard deviation must be 0 or more`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := parsed(t, c.model).Design(table(t, text), c.options)
			if err == nil {
				t.Fatal("no error")
			}
			if diff := cmp.Diff(c.want, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
	if _, err := (Formula{}).Design(NewFrame(), DesignOptions{}); err == nil || err.Error() != "the model is empty: make one with ParseFormula" {
		t.Errorf("got %v", err)
	}
	if _, err := parsed(t, "y ~ 1").Design(table(t, "y\n"), DesignOptions{}); err == nil || err.Error() != "the table has no rows" {
		t.Errorf("got %v", err)
	}

	codes, labels := make([]int32, 6000), make([]string, 6000)
	for i := range codes {
		codes[i], labels[i] = int32(i), fmt.Sprint("l", i)
	}
	many := NewFrame()
	if err := errorsOf(many.Numbers("y", make([]float64, 6000)), many.Codes("f", codes, labels)); err != nil {
		t.Fatal(err)
	}
	want := `the fixed part of model "y ~ f" has more than 5000 columns: put a factor of many levels into a random term, (1 | factor)`
	if _, err := parsed(t, "y ~ f").Design(many, DesignOptions{}); err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

func errorsOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// What can be told apart although there is a level for each row.
func TestLevelForEachRowAllowed(t *testing.T) {
	f := table(t, "y,id,x,s\n1,a,1,1\n2,b,2,2\n4,c,3,2\n")
	for _, c := range []struct {
		model string
		o     DesignOptions
	}{
		{"y ~ 1 + (1|id)", DesignOptions{KnownSD: "s"}},
		{"y ~ 1 + (1|id)", DesignOptions{Weights: "s"}},
		{"y ~ 1 + (0+x|id)", DesignOptions{}},
	} {
		if _, err := parsed(t, c.model).Design(f, c.o); err != nil {
			t.Errorf("%s: %v", c.model, err)
		}
	}
}

func TestFrameRefuses(t *testing.T) {
	f := NewFrame()
	if err := f.Numbers("x", []float64{1, 2}); err != nil {
		t.Fatal(err)
	}
	for want, err := range map[string]error{
		"column x is in the table already":                                        f.Numbers("x", []float64{1, 2}),
		"column g has 1 row and the table 2":                                      f.Labels("g", []string{"a"}),
		"a column of a table needs a name":                                        f.Labels("", nil),
		"column c, row 2: code 1: allowed are 0 to 0, and −1 for a missing label": f.Codes("c", []int32{0, 1}, []string{"a"}),
		`column c: label "a" is empty or there twice`:                             f.Codes("c", []int32{0, 1}, []string{"a", "a"}),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// Levels: words by alphabet, numbers by size, also when they are written as words.
func TestOrderOfLevels(t *testing.T) {
	cases := []struct {
		name         string
		labels, want []string
	}{
		{"words", []string{"b", "a", "B"}, []string{"B", "a", "b"}},
		{"numbers", []string{"10", "9", "-1", "2.5"}, []string{"-1", "2.5", "9", "10"}},
		{"mixed", []string{"10", "9", "x"}, []string{"10", "9", "x"}},
		{"the same number twice", []string{"1.0", "1", "0"}, []string{"0", "1", "1.0"}},
		{"missing", []string{"b", "", "a"}, []string{"a", "b"}},
	}
	for _, c := range cases {
		f := NewFrame()
		if err := f.Labels("g", c.labels); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.want, f.byName["g"].factor().used().levels); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}

// R 4: as.character(c(185, 0.1, 1e15, 1e5, 123456.5, 1/3, 1e-5)), with whole numbers as integers.
func TestLevelNames(t *testing.T) {
	for v, want := range map[float64]string{185: "185", .1: "0.1", 100000: "100000", 123456.5: "123456.5", 1. / 3: "0.333333333333333", 1e-5: "1e-05", 1e20: "1e+20", -2.5: "-2.5"} {
		if got := levelName(v); got != want {
			t.Errorf("%v is named %s, want %s", v, got, want)
		}
	}
}

// The names of the fixed effects of classic data sets, from R 4.2.2 (column names of model.matrix as lme4 1.1-31 reports
// them). The data lie beside the reference cases.
func TestNamesOfClassicData(t *testing.T) {
	cases := []struct{ file, model, want string }{
		{"cake.csv", "angle ~ recipe * factor(temperature) + (1 | recipe:replicate)", "(Intercept) recipeB recipeC factor(temperature)185 factor(temperature)195 factor(temperature)205 factor(temperature)215 factor(temperature)225 recipeB:factor(temperature)185 recipeC:factor(temperature)185 recipeB:factor(temperature)195 recipeC:factor(temperature)195 recipeB:factor(temperature)205 recipeC:factor(temperature)205 recipeB:factor(temperature)215 recipeC:factor(temperature)215 recipeB:factor(temperature)225 recipeC:factor(temperature)225"},
		{"orthodont.csv", "distance ~ I(age - 11) * Sex + (I(age - 11) | Subject)", "(Intercept) I(age - 11) SexMale I(age - 11):SexMale"},
		{"pixel.csv", "pixel ~ day + I(day^2) + (day | Dog) + (1 | Dog:Side)", "(Intercept) day I(day^2)"},
		{"chickweight.csv", "weight ~ Time * factor(Diet) + (Time | Chick)", "(Intercept) Time factor(Diet)2 factor(Diet)3 factor(Diet)4 Time:factor(Diet)2 Time:factor(Diet)3 Time:factor(Diet)4"},
		{"soybean.csv", "logw ~ Time + I(Time^2) + Variety + factor(Year) + (1 | Plot)", "(Intercept) Time I(Time^2) VarietyP factor(Year)1989 factor(Year)1990"},
	}
	for _, c := range cases {
		t.Run(c.file, func(t *testing.T) {
			path := filepath.Join("testdata", "reference", "data", c.file)
			f, err := ReadCSV(func() (io.ReadCloser, error) { return os.Open(path) }, CSVOptions{Name: c.file})
			if err != nil {
				t.Fatal(err)
			}
			d, err := parsed(t, c.model).Design(f, DesignOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, strings.Join(d.Names, " ")); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Coding the rows of the fit again gives the design again.
func TestAtGivesTheDesignAgain(t *testing.T) {
	models := []string{
		"y ~ x*f + (x|g)", "y ~ 0 + f:g + log(x) + (1|f/g)", "y ~ factor(n)*f + (0+f|n)", "y ~ I(x - 2)/factor(z) + (1|g) + (1|n)",
		"y ~ f*g*x + (x + z||factor(n):f)", "y ~ 1",
	}
	for _, model := range models {
		t.Run(model, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				f, all := anyFrame(t)
				m, err := ParseFormula(model)
				if err != nil {
					t.Fatal(err)
				}
				d, err := m.Design(f, DesignOptions{})
				if err != nil {
					t.Skip(err.Error())
				}
				if !all && d.Dropped > 0 {
					return
				}
				at, err := d.At(f)
				if err != nil {
					t.Fatal(err)
				}
				for i, row := range d.Rows {
					for j := range d.Names {
						if got, want := at[row].X[j], d.Columns[j][i]; got != want {
							t.Fatalf("row %d, %s: %v, want %v", row, d.Names[j], got, want)
						}
					}
					for k, term := range d.Terms {
						if at[row].Level[k] != term.Level[i] {
							t.Fatalf("row %d, %s: level %d, want %d", row, term.Group, at[row].Level[k], term.Level[i])
						}
						for j, z := range term.Z {
							want := 1.
							if z != nil {
								want = z[i]
							}
							if at[row].Z[k][j] != want {
								t.Fatalf("row %d, %s of %s: %v, want %v", row, term.Names[j], term.Group, at[row].Z[k][j], want)
							}
						}
					}
				}
			})
		})
	}
}

// anyFrame draws a table with the columns of small; all tells that nothing is missing.
func anyFrame(t *rapid.T) (f *Frame, all bool) {
	n := rapid.IntRange(1, 30).Draw(t, "rows")
	f = NewFrame()
	all = true
	numbers := func(name string, from ...float64) {
		v := make([]float64, n)
		for i := range v {
			v[i] = rapid.SampledFrom(from).Draw(t, name)
			all = all && !math.IsNaN(v[i])
		}
		if err := f.Numbers(name, v); err != nil {
			t.Fatal(err)
		}
	}
	labels := func(name string, from ...string) {
		v := make([]string, n)
		for i := range v {
			v[i] = rapid.SampledFrom(from).Draw(t, name)
			all = all && v[i] != ""
		}
		if err := f.Labels(name, v); err != nil {
			t.Fatal(err)
		}
	}
	gone := math.NaN()
	if rapid.Bool().Draw(t, "whole") {
		gone = 1
	}
	numbers("y", 1, 2.5, gone)
	numbers("x", .5, 1, 3, gone)
	numbers("z", 1, 2, 1e6)
	numbers("n", 9, 10, 11.5)
	labels("f", "a", "b", "c")
	labels("g", "v", "u")
	return f, all
}

func TestAtOtherRows(t *testing.T) {
	d, err := parsed(t, "y ~ x + f + factor(n) + (x|g) + (1|f:g)").Design(table(t, small+"9,2,2,c,w,10\n10,1,1,a,w,9\n"), DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := d.At(table(t, "x,f,g,n\n20,c,u,10.0\n21,a,new,9\n22,b,w,9\n23,b,,9\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := []At{
		{X: []float64{1, 20, 0, 1, 1}, Level: []int32{0, 5}, Z: [][]float64{{1, 20}, {1}}},
		{X: []float64{1, 21, 0, 0, 0}, Level: []int32{-1, -1}, Z: [][]float64{{1, 21}, {1}}},
		{X: []float64{1, 22, 1, 0, 0}, Level: []int32{2, -1}, Z: [][]float64{{1, 22}, {1}}},
		{X: []float64{1, 23, 1, 0, 0}, Level: []int32{-1, -1}, Z: [][]float64{{1, 23}, {1}}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff, d.Terms[1].Levels)
	}
	got, err = d.At(table(t, "x,f,n\n20,c,10\n"))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]At{{X: []float64{1, 20, 0, 1, 1}, Level: []int32{-1, -1}, Z: [][]float64{{1, 20}, {1}}}}, got); diff != "" {
		t.Error(diff)
	}
	const model = `model "y ~ x + f + factor(n) + (x|g) + (1|f:g)", character `
	for text, want := range map[string]string{
		"x,f,n\n1,d,9\n":       model + `9: f is "d" in row 1, which the model has not seen: allowed are a, b, c`,
		"x,f,n\n1,a,9\n1,,9\n": model + `9: f is missing in row 2`,
		"x,f,n\n1,a,12\n":      model + `13: factor(n) is "12" in row 1, which the model has not seen: allowed are 9, 10`,
		"x,f,n\n,a,9\n":        model + `5: x is missing or infinite in row 1`,
		"x,f,n\nmuch,a,9\n":    model + `5: x holds words, and held numbers when the model was fitted`,
		"f,n\na,9\n":           model + `5: there is no column x: there are f, n`,
	} {
		if _, err := d.At(table(t, text)); err == nil || err.Error() != want {
			t.Errorf("%q: got %v, want %s", text, err, want)
		}
	}
	d.Coding = nil
	if _, err := d.At(table(t, "x\n1\n")); err == nil || err.Error() != "this design was made by hand: rows for prediction have to be coded by hand too" {
		t.Errorf("got %v", err)
	}
}

func TestTermNames(t *testing.T) {
	d, err := parsed(t, "y ~ x + (x||f/g) + (0+g|n)").Design(table(t, small+small[len("y,x,z,f,g,n\n"):]), DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"(1 | f)", "(0 + x | f)", "(1 | f:g)", "(0 + x | f:g)", "(0 + g | n)"}
	if diff := cmp.Diff(want, d.Coding.TermNames()); diff != "" {
		t.Error(diff)
	}
}

func TestReferences(t *testing.T) {
	d, err := parsed(t, "y ~ 0 + g + f*x + factor(n)").Design(table(t, small+small[len("y,x,z,f,g,n\n"):]), DesignOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]Reference{{"f", "a"}, {"factor(n)", "9"}}, d.Coding.References()); diff != "" {
		t.Error(diff)
	}
}
