package mixed_test

import (
	"fmt"
	"math"
	"math/big"
	"path/filepath"
	"strings"
	"testing"

	"underfoot/internal/reference"
	"underfoot/mixed"
)

const (
	wantDigits = 9   // correct digits asked for
	slack      = 0.5 // digits a sum in double precision may lose below the limit that the data as doubles set
)

// certified are values as the National Institute of Standards and Technology prints them.
type certified struct {
	Beta         []string `json:"beta"`
	SE           []string `json:"se"`
	ResidualSD   string   `json:"residual_sd"`
	ResidualSS   string   `json:"residual_ss"`
	RegressionSS string   `json:"regression_ss"`
	R2           string   `json:"r_squared"`
	BetweenSS    string   `json:"between_ss"`
	BetweenMS    string   `json:"between_ms"`
	WithinSS     string   `json:"within_ss"`
	WithinMS     string   `json:"within_ms"`
	F            string   `json:"F"`
}

type nistAnswer struct {
	N         int       `json:"n"`
	Groups    int       `json:"groups"`
	Certified certified `json:"certified"`
	REML      struct {
		Between string `json:"sigma2_between"`
		Within  string `json:"sigma2_within"`
	} `json:"reml"`
}

// figure is one number of a regression three ways: ours, as certified, and exactly from the data as doubles.
type figure struct {
	name      string
	got       float64
	certified string
	exact     *big.Float
	unit      float64 // for a certified zero
}

// hold wants nine correct digits of each figure, or as many as the data as doubles carry: where the exact answer from
// the doubles is itself off the certified value (rounded data, rounded powers), no program can do better with them.
func hold(t *testing.T, figures []figure) string {
	t.Helper()
	var worst, limit, against float64 = 17, 17, 17
	for _, x := range figures {
		want, _, err := big.ParseFloat(x.certified, 10, bits, big.ToNearestEven)
		if err != nil {
			t.Fatal(err)
		}
		got := exact(x.got)
		reached, possible, own := digits(got, want, x.unit), digits(x.exact, want, x.unit), digits(got, x.exact, x.unit)
		worst, limit, against = min(worst, reached), min(limit, possible), min(against, own)
		if reached < min(wantDigits, possible-slack) {
			t.Errorf("%s: got %.17g, certified %s: %.1f correct digits, of %.1f that the data as doubles carry (%.1f against the exact answer from the doubles)",
				x.name, x.got, x.certified, reached, possible, own)
		}
	}
	return fmt.Sprintf("%-10s %9.1f %9.1f %9.1f", strings.TrimPrefix(t.Name(), "TestNIST"), worst, limit, against)
}

func eachNIST(t *testing.T, file string, run func(t *testing.T, in problem, want nistAnswer) string) {
	t.Helper()
	rows := []string{"set          reached     limit   against: correct digits against the certified values, those that the doubles carry, and against the exact answer from the doubles"}
	for _, c := range reference.Load(t, filepath.Join("testdata", "reference", file)) {
		t.Run(c.ID, func(t *testing.T) {
			var in problem
			var want nistAnswer
			c.Decode(t, &in, &want)
			rows = append(rows, run(t, in, want))
		})
	}
	t.Log("\n" + strings.Join(rows, "\n"))
}

func TestNISTLinear(t *testing.T) {
	eachNIST(t, "nist_linear.json", func(t *testing.T, in problem, want nistAnswer) string {
		d, f := fitCase(t, in, mixed.Options{})
		if len(f.Aliased) > 0 {
			t.Fatalf("columns left out: %v", f.Aliased)
		}
		truth, err := exactLeastSquares(d.Columns, d.Y, d.Names[0] == "(Intercept)")
		if err != nil {
			t.Fatal(err)
		}
		deviation, _ := root(over(truth.totalSS, exact(float64(len(d.Y))))).Float64()
		figures := []figure{{"residual sd", f.Sigma, want.Certified.ResidualSD, truth.residualSD, deviation}}
		for i := range d.Names {
			b, _ := truth.beta[i].Float64()
			figures = append(figures,
				figure{"coefficient " + d.Names[i], f.Beta[i], want.Certified.Beta[i], truth.beta[i], 1},
				figure{"standard error " + d.Names[i], f.SE[i], want.Certified.SE[i], truth.se[i], math.Abs(b)})
		}
		residual := f.Sigma * f.Sigma * float64(f.N-f.P)
		total, _ := truth.totalSS.Float64()
		figures = append(figures, figure{"R²", 1 - residual/total, want.Certified.R2, over(truth.betweenSS, truth.totalSS), 1})
		return hold(t, figures)
	})
}

// One-way layouts as a regression on a factor. The mean square between groups is worked out from the contrasts with the
// first group, which stay exact where the level of the data is 10¹³ times their scatter.
func TestNISTAnalysisOfVariance(t *testing.T) {
	eachNIST(t, "nist_anova.json", func(t *testing.T, in problem, want nistAnswer) string {
		in.Factors = []string{"group"}
		d, f := fitCase(t, in, mixed.Options{})
		truth, err := exactLeastSquares(d.Columns, d.Y, true)
		if err != nil {
			t.Fatal(err)
		}
		k, n := want.Groups, want.N
		mean := 0.0
		for _, b := range f.Beta[1:] {
			mean += b / float64(k)
		}
		between := mean * mean * float64(n/k)
		for _, b := range f.Beta[1:] {
			between += (b - mean) * (b - mean) * float64(n/k)
		}
		within := f.Sigma * f.Sigma * float64(n-k)
		msb, msw := over(truth.betweenSS, exact(float64(k-1))), over(truth.residualSS, exact(float64(n-k)))
		return hold(t, []figure{
			{"sum of squares between", between, want.Certified.BetweenSS, truth.betweenSS, 1},
			{"mean square between", between / float64(k-1), want.Certified.BetweenMS, msb, 1},
			{"sum of squares within", within, want.Certified.WithinSS, truth.residualSS, 1},
			{"mean square within", f.Sigma * f.Sigma, want.Certified.WithinMS, msw, 1},
			{"F", between / float64(k-1) / (f.Sigma * f.Sigma), want.Certified.F, over(msb, msw), 1},
			{"R²", between / (between + within), want.Certified.R2, over(truth.betweenSS, truth.totalSS), 1},
			{"residual sd", f.Sigma, want.Certified.ResidualSD, truth.residualSD, 1},
		})
	})
}

// The same layouts with random groups: because they are balanced, REML gives the mean squares' answer.
func TestNISTRandomGroups(t *testing.T) {
	rows := []string{"set        digits of the variance between, within: reached and carried by the doubles"}
	for _, c := range reference.Load(t, filepath.Join("testdata", "reference", "nist_anova.json")) {
		t.Run(c.ID, func(t *testing.T) {
			var in problem
			var want nistAnswer
			c.Decode(t, &in, &want)
			in.Factors = []string{"group"}
			truth, err := exactLeastSquares(designOf(t, in).Columns, designOf(t, in).Y, true)
			if err != nil {
				t.Fatal(err)
			}
			k, n := want.Groups, want.N
			within := over(truth.residualSS, exact(float64(n-k)))
			between := over(minus(over(truth.betweenSS, exact(float64(k-1))), within), exact(float64(n/k)))

			in.Formula = "y ~ 1 + (1 | group)"
			_, f := fitCase(t, in, mixed.Options{})
			row := fmt.Sprintf("%-10s", c.ID)
			for _, x := range []figure{
				{"variance between", f.Components[0].Variance, want.REML.Between, between, 1},
				{"variance within", f.Sigma * f.Sigma, want.REML.Within, within, 1},
			} {
				w, _, err := big.ParseFloat(x.certified, 10, bits, big.ToNearestEven)
				if err != nil {
					t.Fatal(err)
				}
				reached, possible := digits(exact(x.got), w, 1), digits(x.exact, w, 1)
				row += fmt.Sprintf(" %9.1f of %4.1f", reached, possible)
				if reached < min(5, possible-slack) { // 1e-5, as for every variance
					t.Errorf("%s: got %.12g, want %s: %.1f correct digits of %.1f that the data as doubles carry", x.name, x.got, x.certified, reached, possible)
				}
			}
			rows = append(rows, row)
		})
	}
	t.Log("\n" + strings.Join(rows, "\n"))
}
