package cli

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"underfoot/mixed"
)

// print writes the fit for a reader: what was fitted, the fixed effects, the random terms, and what to know about them.
func (m *modelled) print(to io.Writer) {
	w := bufio.NewWriter(to)
	defer w.Flush() // what cannot be written to a terminal cannot be told there either
	m.printHead(w)
	m.printFixed(w)
	if len(m.design.Terms) > 0 {
		m.printRandom(w)
	} else {
		fmt.Fprintf(w, "\nResidual standard deviation %s%s.\n", digits(m.fit.Sigma, 5), m.residualRange())
	}
	m.printExtremes(w)
	m.printNotes(w)
	if m.command.Effects {
		m.printEffects(w)
	}
}

func (m *modelled) printHead(w io.Writer) {
	f := m.fit
	kind, by := "Linear mixed model", "restricted maximum likelihood (REML)"
	if len(m.design.Terms) == 0 {
		kind = "Linear model"
	}
	switch {
	case f.ML:
		by = "maximum likelihood (ML)"
	case len(m.design.Terms) == 0 && m.design.KnownSD == nil:
		by = "least squares"
	}
	fmt.Fprintf(w, "%s of %s, by %s\n\n", kind, m.design.Response, by)
	fmt.Fprintf(w, "  %s\n", strings.Join(strings.Fields(m.command.Model), " "))
	for _, s := range m.words() {
		fmt.Fprintf(w, "  %s\n", s)
	}
	rows := counted(f.N, "row", "rows") + " of " + shown(m.command.Data)
	if len(m.command.Where) > 0 {
		rows += " where " + chosenBy(m.command.Where)
	}
	left := "none left out"
	if m.design.Dropped > 0 {
		left = counted(m.design.Dropped, "row", "rows") + " left out because a value is missing"
	}
	fmt.Fprintf(w, "  %s; %s.\n", rows, left)
	what := "−2 log restricted likelihood"
	if f.ML {
		what = "−2 log likelihood"
	}
	fmt.Fprintf(w, "  %s %s, after %s.\n", what, number(f.Criterion, 4), counted(f.Evaluations, "evaluation", "evaluations"))
}

// chosenBy says which rows were read.
func chosenBy(where []string) string {
	cs, err := conditions(where)
	if err != nil {
		return strings.Join(where, " and ")
	}
	var out []string
	for _, c := range cs {
		out = append(out, c.Column+" is "+strings.Join(c.Values, " or "))
	}
	return strings.Join(out, " and ")
}

// words says in sentences what the formula asks for.
func (m *modelled) words() []string {
	var out []string
	d := m.design
	for _, t := range d.Terms {
		among := fmt.Sprintf("between the %d levels of %s", len(t.Levels), t.Group)
		level := len(t.Names) > 0 && t.Names[0] == "(Intercept)"
		switch {
		case level && len(t.Names) == 1:
			out = append(out, "The intercept differs "+among+".")
		case level:
			out = append(out, fmt.Sprintf("The intercept and %s differ %s, and may be correlated.", effectsOf(t.Names[1:]), among))
		case len(t.Names) == 1:
			out = append(out, fmt.Sprintf("The effect of %s differs %s, by itself.", t.Names[0], among))
		default:
			out = append(out, fmt.Sprintf("The effects of %s differ %s, and may be correlated.", series(t.Names), among))
		}
	}
	if m.command.Weights != "" {
		out = append(out, "The residual variance of a row is divided by its weight, "+m.command.Weights+".")
	}
	if m.command.KnownSD != "" {
		out = append(out, "Beside the residual each row has a known standard deviation of measurement, "+m.command.KnownSD+".")
	}
	return out
}

func effectsOf(names []string) string {
	if len(names) == 1 {
		return "the effect of " + names[0]
	}
	return "the effects of " + series(names)
}

// series joins names as a sentence does.
func series(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func (m *modelled) printFixed(w io.Writer) {
	fmt.Fprintln(w, "\nFixed effects")
	g := newGrid("  effect", ">estimate", ">s.e.", ">df", ">t", ">p", ">95 % interval")
	for j, e := range m.coefficients {
		show := like(e.SE, e.Value)
		g.row("  "+m.fit.Names[j], show(e.Value), show(e.SE), freedom(e.DF), number(e.T, 2), chance(e.P), show(e.Lower95)+" to "+show(e.Upper95))
	}
	g.print(w)
	if len(m.fit.Aliased) > 0 {
		for _, a := range m.fit.Aliased {
			fmt.Fprintf(w, "  %s is left out: %s.\n", a.Name, strings.TrimSuffix(a.Why, "."))
		}
	}
	if against := m.design.Coding.References(); len(against) > 0 {
		var words []string
		for _, r := range against {
			words = append(words, r.Factor+" against "+r.Level)
		}
		fmt.Fprintf(w, "  Factors are compared with their first level: %s.\n", strings.Join(words, ", "))
	}
	switch {
	case len(m.design.Terms) == 0 && m.design.KnownSD == nil:
		fmt.Fprintln(w, "  Degrees of freedom: rows less coefficients.")
	case m.method == mixed.KenwardRoger:
		fmt.Fprintln(w, "  Degrees of freedom and standard errors by Kenward and Roger.")
	default:
		fmt.Fprintln(w, "  Degrees of freedom by Satterthwaite.")
	}
}

func (m *modelled) printRandom(w io.Writer) {
	fmt.Fprintln(w, "\nRandom effects and residual")
	terms := m.random()
	some := false
	for _, t := range terms {
		some = some || len(t.rows) > 1
	}
	heads := []string{"  group", "effect", ">number", ">s.d.", ">variance"}
	if m.intervals != nil {
		heads = append(heads, ">95 % interval of s.d.")
	}
	if some {
		heads = append(heads, "correlation with those above")
	}
	g := newGrid(heads...)
	for _, t := range terms {
		for i, r := range t.rows {
			cells := []string{"  ", r.Name, "", digits(r.SD, 5), digits(r.Variance, 5)}
			if i == 0 {
				cells[0], cells[2] = "  "+r.Group, strconv.Itoa(len(t.term.Levels))
			}
			if m.intervals != nil {
				cells = append(cells, rangeOf(r.interval))
			}
			if some {
				cells = append(cells, r.correlations())
			}
			g.row(cells...)
		}
	}
	last := []string{"  residual", "", strconv.Itoa(m.fit.N), digits(m.fit.Sigma, 5), digits(m.fit.Sigma*m.fit.Sigma, 5)}
	if m.intervals != nil {
		last = append(last, rangeOf(m.residualInterval()))
	}
	if some {
		last = append(last, "")
	}
	g.row(last...)
	g.print(w)
	if m.intervals != nil {
		m.printCorrelationIntervals(w, terms)
		fmt.Fprintln(w, "  Intervals by profile likelihood.")
	}
}

// correlations are those of one effect with the effects before it.
func (r randomRow) correlations() string {
	var out []string
	for _, c := range r.with {
		out = append(out, number(c.Correlation, 2))
	}
	return strings.Join(out, "  ")
}

func (m *modelled) printCorrelationIntervals(w io.Writer, terms []randomTerm) {
	for _, t := range terms {
		for _, r := range t.rows {
			for _, c := range r.with {
				if c.interval != nil {
					fmt.Fprintf(w, "  Correlation of %s and %s in %s: %s, 95 %% interval %s to %s.\n", c.Other, c.Name, c.Group,
						number(c.Correlation, 2), number(c.interval.Lower, 2), number(c.interval.Upper, 2))
				}
			}
		}
	}
}

func rangeOf(i *mixed.Interval) string {
	if i == nil {
		return "–"
	}
	return digits(i.Lower, 4) + " to " + digits(i.Upper, 4)
}

func (m *modelled) residualRange() string {
	if i := m.residualInterval(); i != nil {
		return ", 95 % interval " + rangeOf(i) + " by profile likelihood"
	}
	return ""
}

// printExtremes says which rows lie farthest from what the model expects of them.
func (m *modelled) printExtremes(w io.Writer) {
	d, sd := m.design, m.fit.Sigma
	low, high := 0, 0
	var out [2]float64
	for i, r := range m.fit.Residuals() {
		v := sd * sd
		if d.Weights != nil {
			v /= d.Weights[i]
		}
		if d.KnownSD != nil {
			v += d.KnownSD[i] * d.KnownSD[i]
		}
		if r /= math.Sqrt(v); r < out[0] {
			low, out[0] = i, r
		} else if r > out[1] {
			high, out[1] = i, r
		}
	}
	if out[0] < 0 && out[1] > 0 && !math.IsInf(out[0], 0) && !math.IsInf(out[1], 0) {
		fmt.Fprintf(w, "\nResiduals reach from %s (row %d) to %s (row %d) of their standard deviation.\n", number(out[0], 2), d.Rows[low]+1, number(out[1], 2), d.Rows[high]+1)
	}
}

func (m *modelled) printNotes(w io.Writer) {
	if m.fit.Singular {
		fmt.Fprintln(w, "\nThe fit is singular: part of the random effects comes out as nothing, or as fully tied to another. With few levels or few rows "+
			"that\nis a common answer and no error; the estimates stand, but that part is not shown to be absent.")
	} else if len(m.warnings) > 0 {
		fmt.Fprintln(w)
	}
	for _, n := range m.warnings {
		fmt.Fprintln(w, "note: "+n)
	}
	n := 0
	for _, t := range m.design.Terms {
		n += len(t.Levels) * len(t.Names)
	}
	if n > 0 && !m.command.Effects {
		fmt.Fprintf(w, "\n%s of single levels: add --effects to print them, or --json.\n", counted(n, "effect", "effects"))
	}
}

func (m *modelled) printEffects(w io.Writer) {
	if len(m.design.Terms) == 0 {
		return
	}
	fmt.Fprintln(w, "\nEffects of single levels, drawn towards zero as far as their data are few")
	g := newGrid("  group", "level", "effect", ">estimate", ">s.d.")
	for _, e := range m.fit.Modes() {
		show := like(e.SD, e.Estimate)
		g.row("  "+e.Group, e.Level, e.Name, show(e.Estimate), show(e.SD))
	}
	g.print(w)
	fmt.Fprintln(w, "  s.d.: with the fixed effects and variances as estimated.")
}

// like gives a way to print an estimate and what belongs to it: as many decimals as give its standard error three digits.
func like(se, estimate float64) func(float64) string {
	by, n := math.Abs(se), 3
	if !(by > 0) || math.IsInf(by, 0) {
		by, n = math.Abs(estimate), 5
	}
	decimals := n - 1 - int(math.Floor(math.Log10(by)))
	if !(by > 0) || decimals > 8 || decimals < -6 || math.Abs(estimate) >= 1e12 {
		return func(v float64) string { return digits(v, 4) }
	}
	return func(v float64) string { return number(v, max(0, decimals)) }
}

// digits prints v with n significant digits, with a power of ten where it is very large or small.
func digits(v float64, n int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	if v == 0 {
		return "0"
	}
	size := int(math.Floor(math.Log10(math.Abs(v))))
	if size < -5 || size > 9 {
		s := strconv.FormatFloat(v, 'e', n-1, 64)
		return strings.ReplaceAll(s, "-", "−")
	}
	return number(v, max(0, n-1-size))
}

// freedom prints degrees of freedom.
func freedom(df float64) string {
	switch {
	case math.IsInf(df, 1):
		return "∞"
	case df >= 1000:
		return number(df, 0)
	}
	return number(df, 1)
}

// chance prints a p-value.
func chance(p float64) string {
	if p < .0001 {
		return "<0.0001"
	}
	return number(p, 4)
}
