package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
)

type checkCommand struct {
	source
}

type checked struct {
	OK       bool                `json:"ok"`
	Courses  []string            `json:"courses"`
	Rows     map[string]int      `json:"rows"`
	Unknown  map[string][]string `json:"unknown_columns"`
	Problems []remark            `json:"problems"`
	Notices  []remark            `json:"notices"`

	count int // of problems: on a terminal they are printed as they come and not kept
}

type remark struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column string `json:"column"`
	Found  string `json:"found,omitempty"`
	Text   string `json:"text"`
}

// Run reads the package, or every course of the store, and reports every problem; it writes nothing.
func (c *checkCommand) Run(env *Env) error {
	defer thrifty()()
	out := checked{Courses: []string{}, Rows: map[string]int{}, Unknown: map[string][]string{}, Problems: []remark{}, Notices: []remark{}}
	what := shown(c.Source)
	var err error
	switch {
	case c.Source != "" && c.Store == "":
		err = c.read(env, c.Source, &out)
	case c.Source == "" && c.Store != "":
		what = shown(c.Store)
		err = c.readStore(env, &out)
	default:
		_, err = c.records(env) // says what is missing or too much
	}
	if err != nil && out.count == 0 {
		return err // nothing that could be checked
	}
	out.OK = err == nil
	if c.JSON {
		if err := printJSON(env.Stdout, out); err != nil {
			return err
		}
	} else if out.OK {
		fmt.Fprintf(env.Stdout, "%s: %s, no problem\n", what, rowsInWords(out.Rows))
	}
	if !out.OK {
		return underfoot.Errorf(underfoot.Negative, "%s: %s beside %s", what, counted(out.count, "problem", "problems"), rowsInWords(out.Rows))
	}
	return nil
}

// read checks one package and adds what it finds to out.
func (c *checkCommand) read(env *Env, folder string, out *checked) error {
	bar := newProgress(env, "reading")
	defer bar.done()
	sum, err := exchange.Read(env.Context, folder, exchange.Options{
		Today: underfoot.DateOf(env.Now().UTC()), Progress: bar.bytes,
		Sink: func(underfoot.Record) error { return nil },
		OnProblem: func(p exchange.Problem) {
			if !c.JSON {
				fmt.Fprintln(env.Stdout, p)
				return
			}
			out.Problems = append(out.Problems, remark{p.File, p.Line, p.Column, p.Found, p.Text})
		},
		OnNotice: func(n exchange.Notice) {
			if !c.JSON {
				fmt.Fprintln(env.Stdout, "note: "+n.String())
				return
			}
			out.Notices = append(out.Notices, remark{n.File, n.Line, n.Column, "", n.Text})
		},
	})
	out.count += sum.Problems
	out.Courses = append(out.Courses, sum.Courses...)
	for file, n := range sum.Rows {
		out.Rows[file] += n
	}
	for file, columns := range sum.Unknown {
		out.Unknown[file] = append(out.Unknown[file], columns...)
	}
	return err
}

// readStore checks the file itself, then every course of it as the package that export would write.
func (c *checkCommand) readStore(env *Env, out *checked) error {
	st, err := openStore(env, c.Store, false)
	if err != nil {
		return err
	}
	defer st.Close()
	if err := st.Integrity(env.Context); err != nil {
		return err
	}
	courses := []string{c.Course}
	if c.Course == "" {
		courses = nil
		all, err := st.Courses(env.Context)
		if err != nil {
			return err
		}
		for _, course := range all {
			courses = append(courses, course.ID)
		}
	}
	dir, err := os.MkdirTemp("", "underfoot-check-")
	if err != nil {
		return fmt.Errorf("making a folder for the check: %w", err)
	}
	defer os.RemoveAll(dir)
	var failed error
	for i, course := range courses {
		folder := filepath.Join(dir, strconv.Itoa(i))
		if err := app.New(st, env.Now, env.Who).Export(env.Context, []string{course}, folder); err != nil {
			return err
		}
		if err := c.read(env, folder, out); err != nil {
			failed = err
		}
	}
	return failed
}

func rowsInWords(rows map[string]int) string {
	n := 0
	for _, k := range rows {
		n += k
	}
	return counted(n, "good row", "good rows") + " in " + counted(len(rows), "file", "files")
}
