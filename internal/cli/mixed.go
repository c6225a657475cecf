package cli

import (
	"errors"
	"fmt"
	"math"
	"strings"

	drawing "underfoot/internal/figure"
	"underfoot/mixed"
)

type mixedCommand struct {
	Data      string   `arg:"" type:"path" help:"Table of commas with a heading line; packed by gzip is fine."`
	Model     string   `required:"" placeholder:"FORMULA" help:"Such as \"y ~ x + (x | group)\"; see docs/mixed-formula.md."`
	Where     []string `sep:"none" placeholder:"COLUMN=VALUE" help:"Only rows with this value; again for another column, or for another value of the same."`
	Weights   string   `placeholder:"COLUMN" help:"Precision weights, above 0: a column, or arithmetic such as 1/s^2."`
	KnownSD   string   `name:"known-sd" placeholder:"COLUMN" help:"Known standard deviations of measurement, added to the residual."`
	ML        bool     `name:"ml" help:"Full instead of restricted maximum likelihood."`
	DF        string   `name:"df" enum:"satterthwaite,kenward-roger" default:"satterthwaite" help:"Degrees of freedom: satterthwaite or kenward-roger."`
	Intervals bool     `help:"95 % intervals of the standard deviations and correlations, by profile likelihood."`
	Effects   bool     `help:"Print the effect of every level too; JSON has them always."`
	Figure    string   `type:"path" placeholder:"FILE.svg" help:"Draw residuals against fitted values and against a normal distribution, as .svg or .png."`
	JSON      bool     `help:"Print JSON."`
}

// Run fits any linear mixed model to any table.
func (c *mixedCommand) Run(env *Env) error {
	defer thrifty()()
	m, err := c.fit()
	if err != nil {
		return invalid(err)
	}
	if c.Figure != "" {
		s := drawing.Residuals{Response: m.design.Response, Fitted: m.fit.FittedValues(), Residual: m.fit.Residuals()}.Scene()
		if err := writePicture(s, c.Figure); err != nil {
			return err
		}
	}
	if c.JSON {
		return m.printJSON(env.Stdout)
	}
	m.print(env.Stdout)
	return nil
}

// modelled is a fitted model with all that is printed of it.
type modelled struct {
	command      *mixedCommand
	design       *mixed.Design
	fit          *mixed.Fitted
	method       mixed.DF
	coefficients []mixed.Estimate // by the method asked for
	kenward      []mixed.Estimate // nil when not worked out
	intervals    []mixed.Interval // nil when not asked for
	warnings     []string
}

// smallTable is the number of rows up to which Kenward and Roger's figures are worked out unasked: they take a moment there, and
// are wanted most. Common practice, no source.
const smallTable = 3000

func (c *mixedCommand) fit() (*modelled, error) {
	formula, err := mixed.ParseFormula(c.Model)
	if err != nil {
		return nil, err
	}
	if c.DF == "kenward-roger" && c.ML {
		return nil, errors.New("--df kenward-roger needs the restricted likelihood: leave --ml or --df out")
	}
	m := &modelled{command: c}
	if m.design, err = c.read(formula); err != nil {
		return nil, err
	}
	if m.fit, err = mixed.Fit(m.design, mixed.Options{ML: c.ML}); err != nil {
		return nil, fmt.Errorf("%s: %w", shown(c.Data), err)
	}
	m.warnings = append(m.warnings, m.fit.Warnings...)
	if c.DF == "kenward-roger" {
		m.method = mixed.KenwardRoger
	} else {
		m.method = mixed.Satterthwaite
	}
	if m.coefficients, err = m.fit.Coefficients(m.method); err != nil {
		m.coefficients = withoutFreedom(m.fit)
		m.warnings = append(m.warnings, err.Error()+"; the estimates and standard errors stand without intervals")
	}
	switch {
	case m.method == mixed.KenwardRoger:
		m.kenward = m.coefficients
	case m.fit.N <= smallTable && !c.ML && c.JSON && len(m.design.Terms) > 0:
		if m.kenward, err = m.fit.Coefficients(mixed.KenwardRoger); err != nil {
			m.kenward = nil
			m.warnings = append(m.warnings, "Kenward and Roger's figures: "+err.Error())
		}
	}
	if c.Intervals {
		if m.intervals, err = m.fit.Intervals(.95); err != nil {
			m.intervals = nil
			m.warnings = append(m.warnings, "no intervals of the standard deviations: "+err.Error())
		}
	}
	return m, nil
}

// withoutFreedom are the coefficients where no degrees of freedom can be had.
func withoutFreedom(f *mixed.Fitted) []mixed.Estimate {
	none := math.NaN()
	var out []mixed.Estimate
	for i, name := range f.Names {
		out = append(out, mixed.Estimate{Name: name, Value: f.Beta[i], SE: f.SE[i], DF: none, T: f.Beta[i] / f.SE[i], P: none, Lower95: none, Upper95: none, PositiveChance: none})
	}
	return out
}

// read reads what the formula needs of the table and writes the model out as numbers.
func (c *mixedCommand) read(formula mixed.Formula) (*mixed.Design, error) {
	beside := mixed.DesignOptions{Weights: c.Weights, KnownSD: c.KnownSD}
	where, err := conditions(c.Where)
	if err != nil {
		return nil, err
	}
	frame, err := mixed.ReadCSV(c.open, mixed.CSVOptions{Name: shown(c.Data), Columns: beside.Columns(formula.Columns()), Where: where})
	if err != nil {
		return nil, err
	}
	d, err := formula.Design(frame, beside)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", shown(c.Data), err)
	}
	return d, nil
}

// conditions reads COLUMN=VALUE; values of one column are joined.
func conditions(where []string) ([]mixed.Condition, error) {
	var out []mixed.Condition
	for _, w := range where {
		column, value, ok := strings.Cut(w, "=")
		column, value = strings.TrimSpace(column), strings.TrimSpace(value)
		if !ok || column == "" || value == "" {
			return nil, fmt.Errorf("--where %s: write COLUMN=VALUE, such as --where layer=0-20", w)
		}
		known := false
		for i := range out {
			if out[i].Column == column {
				out[i].Values, known = append(out[i].Values, value), true
			}
		}
		if !known {
			out = append(out, mixed.Condition{Column: column, Values: []string{value}})
		}
	}
	return out, nil
}
