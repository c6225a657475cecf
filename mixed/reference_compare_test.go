package mixed_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"underfoot/mixed"

	"github.com/google/go-cmp/cmp"
)

// within is how far a quantity may stand off the reference, and why: the greater of rel·|want|, abs, and scale·(the scale
// of the quantity given where it is compared).
type within struct{ rel, abs, scale float64 }

// The sources give 13 to 16 digits, the profile intervals somewhat fewer; what follows is what is asked of this
// package: the criterion to 1e-8 or lower, coefficients and standard errors to 1e-6, variances to 1e-5 or, near zero,
// 1e-8, degrees of freedom to 1e-3. Quantities that may be close to zero without meaning anything (a correlation, a
// mode) are held against the standard deviation they belong to.
var tolerances = map[string]within{
	"criterion":               {rel: 1e-8},
	"log likelihood":          {rel: 1e-8},
	"coefficient":             {rel: 1e-6},
	"standard error":          {rel: 1e-6},
	"covariance":              {scale: 2e-6}, // of the product of two standard errors
	"sigma":                   {rel: 1e-6},
	"variance":                {rel: 1e-5, abs: 1e-8},
	"correlation":             {scale: 1e-5}, // of 1
	"theta as covariance":     {scale: 1e-5, abs: 1e-8},
	"ML criterion":            {rel: 1e-8},
	"ML coefficient":          {rel: 1e-6},
	"ML standard error":       {rel: 1e-6},
	"ML sigma":                {rel: 1e-6},
	"ML theta as covariance":  {scale: 1e-5, abs: 1e-8},
	"mode":                    {rel: 1e-5, scale: 1e-5}, // of the standard deviation of the term
	"mode sd":                 {rel: 1e-5, abs: 1e-8},
	"mode prediction se":      {rel: 1e-5, abs: 1e-8},
	"fitted":                  {rel: 1e-6, scale: 1e-6}, // of sigma
	"residual":                {scale: 1e-5},            // of sigma
	"Satterthwaite df":        {rel: 1e-3},
	"Kenward–Roger df":        {rel: 1e-3},
	"Kenward–Roger se":        {rel: 1e-3},
	"REML interval":           {rel: 1e-5, abs: 1e-8},
	"ML interval":             {rel: 1e-5, abs: 1e-8},
	"REML interval, estimate": {rel: 1e-5, abs: 1e-8},
	"ML interval, estimate":   {rel: 1e-5, abs: 1e-8},
	"contrast":                {rel: 1e-6, scale: 1e-6}, // of its standard error
	"contrast se":             {rel: 1e-6},
	"contrast df":             {rel: 1e-3},
	"contrast p":              {rel: 1e-3, abs: 1e-12},
	"contrast interval":       {rel: 1e-5, scale: 1e-5}, // of its standard error
	"prediction":              {rel: 1e-6, scale: 1e-6}, // of sigma
	"prediction se":           {rel: 1e-5},
}

// tally keeps the worst error of each quantity over many cases, for the table at the end of a test.
type tally struct {
	lines map[string]*line
	lower []string // cases whose criterion is lower than the reference
}

type line struct {
	n     int
	worst float64 // relative error, or error over the scale where that is what is held
	share float64 // of the tolerance
	at    string
}

func (y *tally) check(t *testing.T, quantity, what string, got, want, scale float64) {
	t.Helper()
	tol, known := tolerances[quantity]
	if !known {
		t.Fatalf("no tolerance for %q", quantity)
	}
	allowed := max(tol.rel*math.Abs(want), tol.abs, tol.scale*scale)
	off := math.Abs(got - want)
	if !(off <= allowed) {
		t.Errorf("%s %s: got %.12g, want %.12g (off by %.2g, allowed %.2g)", quantity, what, got, want, off, allowed)
	}
	if y.lines == nil {
		y.lines = map[string]*line{}
	}
	if y.lines[quantity] == nil {
		y.lines[quantity] = &line{}
	}
	l := y.lines[quantity]
	l.n++
	if off == 0 {
		return
	}
	if share := off / allowed; share > l.share || math.IsNaN(share) {
		l.share, l.at = share, t.Name()
		l.worst = off / max(math.Abs(want), scale)
	}
}

func (y *tally) log(t *testing.T) {
	t.Helper()
	names := make([]string, 0, len(y.lines))
	for name := range y.lines {
		names = append(names, name)
	}
	slices.Sort(names)
	var b strings.Builder
	fmt.Fprintf(&b, "%-24s %8s %14s %10s  %s\n", "quantity", "compared", "relative error", "share", "worst at")
	for _, name := range names {
		l := y.lines[name]
		fmt.Fprintf(&b, "%-24s %8d %14.1e %10.3f  %s\n", name, l.n, l.worst, l.share, l.at)
	}
	t.Logf("the worst of each quantity; share is of what is allowed\n%s%d criteria lower than the reference: %s", b.String(),
		len(y.lower), strings.Join(y.lower, ", "))
}

// criterion fails when the fit is worse than the reference, and reports whether both stand at the same optimum: the
// estimates are off by the square root of what the criterion is off, so that a fit lower by more than 1e-10 is at another
// point, and the rest of the reference says nothing about it.
func (y *tally) criterion(t *testing.T, quantity string, got, want float64) bool {
	t.Helper()
	if got < want-1e-10*math.Abs(want) {
		y.lower = append(y.lower, fmt.Sprintf("%s %s by %.3g", t.Name(), quantity, want-got))
		return false
	}
	y.check(t, quantity, "", got, want, 0)
	return got <= want+tolerances[quantity].rel*math.Abs(want)
}

func (y *tally) fit(t *testing.T, d *mixed.Design, f *mixed.Fitted, want answer) {
	t.Helper()
	if f.N != want.N {
		t.Errorf("%d rows used, want %d", f.N, want.N)
	}
	if diff := cmp.Diff(want.Names, f.Names); diff != "" {
		t.Fatalf("coefficients (-want +got):\n%s", diff)
	}
	y.check(t, "log likelihood", "", -2*f.LogLikelihood, f.Criterion, 0)
	y.list(t, "coefficient", f.Beta, want.Beta, nil)
	y.list(t, "standard error", f.SE, want.SE, nil)
	y.check(t, "sigma", "", f.Sigma, want.Sigma, 0)
	for i, row := range want.Cov {
		for j, v := range row {
			y.check(t, "covariance", fmt.Sprintf("%s, %s", want.Names[i], want.Names[j]), f.Cov[i][j], v, want.SE[i]*want.SE[j])
		}
	}
	var theta []float64
	for _, term := range want.Terms {
		theta = append(theta, term.Theta...)
	}
	y.theta(t, "theta as covariance", d, f.Theta, want.Terms, theta)
	y.components(t, f, want)
	y.modes(t, f, want)
	for i, v := range want.Fitted {
		y.check(t, "fitted", fmt.Sprint("row ", i+1), f.FittedValues()[i], v, want.Sigma)
		y.check(t, "residual", fmt.Sprint("row ", i+1), f.Residuals()[i], want.Residuals[i], want.Sigma)
	}
}

func (y *tally) list(t *testing.T, quantity string, got, want, scale []float64) {
	t.Helper()
	if want == nil {
		return
	}
	if len(got) != len(want) {
		t.Errorf("%d of %q, want %d", len(got), quantity, len(want))
		return
	}
	for i := range want {
		s := 0.0
		if scale != nil {
			s = scale[i]
		}
		y.check(t, quantity, fmt.Sprint(i+1), got[i], want[i], s)
	}
}

// theta compares the relative covariance factors as covariances ΛΛᵀ, so that the free sign of a column does not matter.
func (y *tally) theta(t *testing.T, quantity string, d *mixed.Design, got []float64, terms []termAnswer, want []float64) {
	t.Helper()
	have := map[string][][]float64{}
	for _, term := range d.Terms {
		k := len(term.Names)
		have[term.Group+" "+strings.Join(term.Names, ",")] = square(got[:k*(k+1)/2], k)
		got = got[k*(k+1)/2:]
	}
	for _, term := range terms {
		k := len(term.Names)
		name := term.Group + " " + strings.Join(term.Names, ",")
		w := square(want[:k*(k+1)/2], k)
		want = want[k*(k+1)/2:]
		g, ok := have[name]
		if !ok {
			t.Errorf("no term %s", name)
			continue
		}
		for i := range k {
			for j := range i + 1 {
				y.check(t, quantity, fmt.Sprintf("%s %d,%d", name, i+1, j+1), g[i][j], w[i][j], math.Sqrt(w[i][i]*w[j][j]))
			}
		}
	}
}

// square is ΛΛᵀ of a lower triangle stored column by column.
func square(theta []float64, k int) [][]float64 {
	l := make([][]float64, k)
	for i := range l {
		l[i] = make([]float64, k)
	}
	for j, at := 0, 0; j < k; j++ {
		for i := j; i < k; i++ {
			l[i][j] = theta[at]
			at++
		}
	}
	out := make([][]float64, k)
	for i := range out {
		out[i] = make([]float64, k)
		for j := range out[i] {
			for c := range k {
				out[i][j] += l[i][c] * l[j][c]
			}
		}
	}
	return out
}

func (y *tally) components(t *testing.T, f *mixed.Fitted, want answer) {
	t.Helper()
	zero := map[string]bool{}
	for _, w := range want.Components {
		name := fmt.Sprintf("%s|%s %s", w.Name, w.Group, w.Other)
		if w.Other == "" && w.SD == 0 {
			zero[w.Name+"|"+w.Group] = true
		}
		i := slices.IndexFunc(f.Components, func(c mixed.Component) bool {
			return c.Group == w.Group && (c.Name == w.Name && c.Other == w.Other || w.Other != "" && c.Name == w.Other && c.Other == w.Name)
		})
		switch {
		case i < 0:
			t.Errorf("no component %s", name)
		case w.Other == "":
			y.check(t, "variance", name, f.Components[i].Variance, w.SD*w.SD, 0)
		case zero[w.Name+"|"+w.Group] || zero[w.Other+"|"+w.Group]: // a correlation with nothing is not defined
		default:
			y.check(t, "correlation", name, f.Components[i].Correlation, w.Correlation, 1)
		}
	}
	if singular := len(want.Boundary)+len(want.Zero) > 0; f.Singular != singular {
		t.Errorf("singular is %t, want %t (theta %v)", f.Singular, singular, f.Theta)
	}
	if f.Singular && len(f.Warnings) == 0 {
		t.Error("a singular fit without a word of warning")
	}
}

func (y *tally) modes(t *testing.T, f *mixed.Fitted, want answer) {
	t.Helper()
	have := map[[3]string]mixed.Mode{}
	for _, m := range f.Modes() {
		have[[3]string{m.Group, m.Level, m.Name}] = m
	}
	for _, w := range want.Modes {
		key := [3]string{w.Group, w.Level, w.Name}
		m, ok := have[key]
		if !ok {
			t.Errorf("no mode %v", key)
			continue
		}
		scale := 0.0
		for _, c := range want.Components {
			if c.Group == w.Group && c.Name == w.Name && c.Other == "" {
				scale = c.SD
			}
		}
		name := strings.Join(key[:], " ")
		if scale == 0 && m.Estimate != 0 {
			t.Errorf("mode %s is %g although its variance is zero", name, m.Estimate)
		}
		y.check(t, "mode", name, m.Estimate, w.Estimate, scale)
		if w.SD != nil {
			y.check(t, "mode sd", name, m.SD, *w.SD, 0)
		}
		if w.PredictionSE != nil {
			y.check(t, "mode prediction se", name, m.PredictionSE, *w.PredictionSE, 0)
		}
	}
}

func (y *tally) degrees(t *testing.T, f *mixed.Fitted, want answer) {
	t.Helper()
	if want.Satterthwaite != nil || want.Slope != 0 {
		df, err := f.Satterthwaite()
		if err != nil {
			t.Errorf("Satterthwaite: %v", err)
		} else if want.Slope != 0 {
			y.check(t, "Satterthwaite df", "of the slope", df[1], want.Slope, 0)
		} else {
			y.list(t, "Satterthwaite df", df, want.Satterthwaite, nil)
		}
	}
	if want.KenwardRoger != nil {
		df, se, err := f.KenwardRoger()
		if err != nil {
			t.Errorf("Kenward–Roger: %v", err)
			return
		}
		y.list(t, "Kenward–Roger df", df, want.KenwardRoger.DF, nil)
		y.list(t, "Kenward–Roger se", se, want.KenwardRoger.SE, nil)
	}
}

func (y *tally) intervals(t *testing.T, quantity string, f *mixed.Fitted, want []interval) {
	t.Helper()
	if want == nil {
		return
	}
	got, err := f.Intervals(0.95)
	if err != nil {
		t.Errorf("%s: %v", quantity, err)
		return
	}
	for _, w := range want {
		i := slices.IndexFunc(got, func(c mixed.Interval) bool {
			return c.Group == w.Group && (c.Name == w.Name && c.Other == w.Other || w.Other != "" && c.Name == w.Other && c.Other == w.Name)
		})
		name := fmt.Sprintf("%s|%s %s", w.Name, w.Group, w.Other)
		if i < 0 {
			t.Errorf("no %s of %s", quantity, name)
			continue
		}
		y.check(t, quantity+", estimate", name, got[i].Estimate, w.Estimate, 0)
		y.check(t, quantity, name+" lower", got[i].Lower, w.Lower, 0)
		y.check(t, quantity, name+" upper", got[i].Upper, w.Upper, 0)
	}
}

func (y *tally) likelihood(t *testing.T, d *mixed.Design, f *mixed.Fitted, terms []termAnswer, want likelihood) bool {
	t.Helper()
	if !y.criterion(t, "ML criterion", f.Criterion, want.Criterion) {
		return false
	}
	y.list(t, "ML coefficient", f.Beta, want.Beta, nil)
	y.list(t, "ML standard error", f.SE, want.SE, nil)
	y.check(t, "ML sigma", "", f.Sigma, want.Sigma, 0)
	y.theta(t, "ML theta as covariance", d, f.Theta, terms, want.Theta)
	return true
}
