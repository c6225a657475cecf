package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/labsheet"
)

// sheetFlags say how a laboratory's sheet is read.
type sheetFlags struct {
	Mapping string            `placeholder:"NAME" help:"Read a laboratory's sheet (CSV or XLSX) by the mapping saved under this name."`
	Rule    string            `type:"path" placeholder:"FILE" help:"Read a laboratory's sheet by the rule in this file (JSON)."`
	Preview bool              `help:"Show what a laboratory's sheet would bring, with its problems marked, and write nothing."`
	RuleOut string            `type:"path" placeholder:"FILE" help:"Write the rule that the sheet was read by, to be corrected and given with --rule."`
	Save    string            `placeholder:"NAME" help:"Save the rule under this name along with the sheet."`
	Green   map[string]string `placeholder:"WORDS=GREEN" help:"What the sheet calls a green, and which of the course it is; - leaves its rows out."`
}

func (f sheetFlags) given() bool {
	return f.Mapping != "" || f.Rule != "" || f.Preview || f.RuleOut != "" || f.Save != "" || len(f.Green) > 0
}

// sheetAt reads the file as a laboratory's sheet, when it is one: told so by the flags, a workbook, or a table in which
// organic matter, weighings or sieves are recognised. Nil is for a file of weather.
func (c *importCommand) sheetAt(path string) (*labsheet.Book, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "laboratory sheet: %w", err)
	}
	workbook := strings.EqualFold(filepath.Ext(path), ".xlsx")
	b, err := app.ReadSheet(filepath.Base(path), data)
	if c.given() || workbook {
		return b, err
	}
	if err != nil || strings.EqualFold(filepath.Ext(path), ".dly") {
		return nil, nil // a file of weather says itself what is wrong with it
	}
	main := []labsheet.Field{labsheet.FieldOM, labsheet.FieldAsh, labsheet.FieldDry, labsheet.FieldOpening, labsheet.FieldAmount}
	p := labsheet.Propose(b, labsheet.Wish{})
	if slices.ContainsFunc(p.Rule.Columns, func(x labsheet.Column) bool { return slices.Contains(main, x.Field) }) {
		return b, nil
	}
	return nil, nil
}

// sheet brings a laboratory's sheet in, or shows what it would bring.
func (c *importCommand) sheet(env *Env, a *app.App, who string, b *labsheet.Book) error {
	rule, from, err := c.rule(env, a, b)
	if err != nil {
		return err
	}
	order := app.LabOrder{Course: c.Course, Greens: c.Green, Partial: c.Partial, SaveAs: c.Save}
	if c.RuleOut != "" {
		text, err := json.MarshalIndent(labsheet.Complete(b, rule), "", "  ")
		if err != nil {
			return err
		}
		if err := os.WriteFile(c.RuleOut, append(text, '\n'), 0o644); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "--rule-out: %w", err)
		}
	}
	if c.Preview {
		p, err := a.PreviewSheet(env.Context, b, rule, order)
		if err != nil {
			return err
		}
		return c.showSheet(env, p, from)
	}
	if from == proposed {
		return underfoot.Errorf(underfoot.Invalid, "no saved mapping has the headings of %s: look at what is proposed with --preview, correct it with --rule-out FILE and --rule FILE, or point at the columns on the page Bring in", b.File)
	}
	t, err := a.ImportSheet(env.Context, who, b, rule, order)
	if t != nil {
		for _, x := range t.Preview.Problems {
			fmt.Fprintln(env.Stderr, x)
		}
		for _, q := range t.Preview.Questions {
			fmt.Fprintf(env.Stderr, "question: %s\n", q.Text)
		}
	}
	if err != nil {
		return err
	}
	return c.tookSheet(env, t)
}

// proposed is where a rule comes from that nobody has looked at.
const proposed = "as proposed"

// rule is the rule to read the sheet by, and where it comes from.
func (c *importCommand) rule(env *Env, a *app.App, b *labsheet.Book) (labsheet.Rule, string, error) {
	switch {
	case c.Mapping != "" && c.Rule != "":
		return labsheet.Rule{}, "", underfoot.Errorf(underfoot.Invalid, "both --mapping and --rule are given: give one of them")
	case c.Mapping != "":
		rule, err := a.MappingNamed(env.Context, c.Course, c.Mapping)
		return rule, "by the mapping " + c.Mapping, err
	case c.Rule != "":
		text, err := os.ReadFile(c.Rule)
		if err != nil {
			return labsheet.Rule{}, "", underfoot.Errorf(underfoot.Invalid, "--rule: %w", err)
		}
		rule, err := labsheet.ParseRule(text)
		if err != nil {
			return rule, "", underfoot.Errorf(underfoot.Invalid, "%s: %w", shown(c.Rule), err)
		}
		return rule, "by the rule " + shown(c.Rule), nil
	}
	saved, ok, err := a.RecogniseSheet(env.Context, b, c.Course)
	if err != nil {
		return labsheet.Rule{}, "", err
	}
	if ok {
		return saved.Rule, "by the mapping " + saved.Name + ", which has its headings", nil
	}
	return labsheet.Propose(b, labsheet.Wish{}).Rule, proposed, nil
}

// showSheet prints what a sheet would bring. The answer is no when something is wrong with it.
func (c *importCommand) showSheet(env *Env, p *app.LabPreview, from string) error {
	if c.JSON {
		if err := printJSON(env.Stdout, p); err != nil {
			return err
		}
		return notReady(p)
	}
	fmt.Fprintf(env.Stdout, "%s, %s, read %s\n", p.File, p.Kind.Word(), from)
	if p.Measure != "" {
		fmt.Fprintf(env.Stdout, "amounts on sieves: %s\n", labsheet.Measure(p.Measure).Word())
	}
	columns := newGrid("column", "heading", "holds", "unit")
	for _, x := range p.Rule.Columns {
		holds := strings.ReplaceAll(string(x.Field), "_", " ")
		if x.Layer != nil {
			holds += " of " + underfoot.LayerName(x.Layer.TopMM, x.Layer.BottomMM)
		}
		if x.Opening != nil {
			holds += " on " + underfoot.FormatNumber(*x.Opening) + " mm"
		}
		columns.row(labsheet.ColumnName(x.At-1), x.Heading, holds, x.Unit)
	}
	columns.print(env.Stdout)
	rows := newGrid("cell", "sample", "green", "layer", "date", "says", "")
	for i := range p.Rows {
		rows.row(sheetCells(&p.Rows[i])...)
	}
	rows.print(env.Stdout)
	for _, x := range p.Problems {
		fmt.Fprintf(env.Stdout, "problem: %s\n", x)
	}
	for _, q := range p.Questions {
		var said []string
		for _, x := range q.Choices {
			said = append(said, x.Text)
		}
		fmt.Fprintf(env.Stdout, "question: %s %s\n", q.Text, strings.Join(said, " | "))
	}
	for _, n := range p.Notes {
		fmt.Fprintf(env.Stdout, "note: %s: %s\n", n.Place, n.Text)
	}
	fmt.Fprintf(env.Stdout, "%s can be taken, %s would be made; nothing was written.\n", counted(p.Good(), "row", "rows"), counted(p.NewSamples(), "sample", "samples"))
	return notReady(p)
}

func notReady(p *app.LabPreview) error {
	if p.Ready() && len(p.Questions) == 0 {
		return nil
	}
	return underfoot.Errorf(underfoot.Negative, "not ready to be brought in: %s, %s", counted(len(p.Problems), "problem", "problems"), counted(len(p.Questions), "open question", "open questions"))
}

func sheetCells(r *app.LabRow) []string {
	mark := r.Apart
	switch {
	case r.Bad:
		mark = "problem"
	case r.Out:
		mark = "left out"
	case r.New:
		mark = strings.TrimSuffix("new, "+r.Apart, ", ")
	}
	return []string{r.Place, r.Sample, r.Green, r.Layer, r.Date, r.Says, mark}
}

// tookSheet prints what became of the rows.
func (c *importCommand) tookSheet(env *Env, t *app.LabTaken) error {
	if c.JSON {
		out := imported{Courses: []string{t.Preview.Course}, Change: t.Change.ID, Tables: importedTables(t.Tables), Problems: len(t.Preview.Problems), Refused: map[string]int{}}
		return printJSON(env.Stdout, out)
	}
	printTables(env, t.Tables)
	if n := t.Preview.Apart(); n > 0 {
		fmt.Fprintf(env.Stdout, "note: %s kept out of trends: screened, scooped, or the method not stated\n", counted(n, "result is", "results are"))
	}
	if t.Change.ID == 0 {
		fmt.Fprintln(env.Stdout, "Nothing in it was new; the store is as it was.")
	}
	if n := len(t.Preview.Problems); n > 0 {
		return underfoot.Errorf(underfoot.Invalid, "%s left out", counted(n, "problem was", "problems were"))
	}
	return nil
}
