package cli

import (
	"fmt"

	"underfoot"
	"underfoot/internal/exchange"
)

type checkCommand struct {
	Source string `arg:"" type:"path" help:"Package folder."`
	JSON   bool   `help:"Print JSON."`
}

type checked struct {
	OK       bool                `json:"ok"`
	Courses  []string            `json:"courses"`
	Rows     map[string]int      `json:"rows"`
	Unknown  map[string][]string `json:"unknown_columns"`
	Problems []remark            `json:"problems"`
	Notices  []remark            `json:"notices"`
}

type remark struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column string `json:"column"`
	Found  string `json:"found,omitempty"`
	Text   string `json:"text"`
}

// Run reads the package and reports every problem; it writes nothing.
func (c *checkCommand) Run(env *Env) error {
	defer thrifty()()
	out := checked{Courses: []string{}, Problems: []remark{}, Notices: []remark{}}
	bar := newProgress(env, "reading")
	sum, err := exchange.Read(env.Context, c.Source, exchange.Options{
		Today: underfoot.DateOf(env.Now().UTC()), Progress: bar.bytes,
		Sink: func(underfoot.Record) error { return nil },
		OnProblem: func(p exchange.Problem) {
			if c.JSON {
				out.Problems = append(out.Problems, remark{p.File, p.Line, p.Column, p.Found, p.Text})
				return
			}
			fmt.Fprintln(env.Stdout, p)
		},
		OnNotice: func(n exchange.Notice) {
			if c.JSON {
				out.Notices = append(out.Notices, remark{n.File, n.Line, n.Column, "", n.Text})
				return
			}
			fmt.Fprintln(env.Stdout, "note: "+n.String())
		},
	})
	bar.done()
	if err != nil && sum.Problems == 0 {
		return err // not a package at all
	}
	out.OK = err == nil
	out.Rows, out.Unknown = sum.Rows, sum.Unknown
	if sum.Courses != nil {
		out.Courses = sum.Courses
	}
	if c.JSON {
		if err := printJSON(env.Stdout, out); err != nil {
			return err
		}
	} else if out.OK {
		fmt.Fprintf(env.Stdout, "%s: %s, no problem\n", shown(c.Source), rowsInWords(sum.Rows))
	}
	if !out.OK {
		return underfoot.Errorf(underfoot.Negative, "%s: %s beside %s", shown(c.Source), counted(sum.Problems, "problem", "problems"), rowsInWords(sum.Rows))
	}
	return nil
}

func rowsInWords(rows map[string]int) string {
	n := 0
	for _, k := range rows {
		n += k
	}
	return counted(n, "good row", "good rows") + " in " + counted(len(rows), "file", "files")
}
