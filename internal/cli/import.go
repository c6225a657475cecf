package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

type importCommand struct {
	Path    string `arg:"" type:"path" help:"Package folder; a laboratory's sheet, CSV or XLSX; or a file of daily weather: a table with the columns date, tmin_c, tmax_c and rain_mm, or a GHCN-Daily station file."`
	Course  string `help:"Course a laboratory's sheet or a weather file is for, where the store holds several."`
	Store   string `required:"" type:"path" help:"Store file; made if it is not there."`
	Who     string `help:"Name for the history; your login name if left out."`
	Partial bool   `help:"Take the good rows although there are bad ones, and write the bad ones into the folder given with --bad-rows."`
	BadRows string `type:"path" help:"Folder for the rows that were refused (default: PATH with -refused added)."`
	JSON    bool   `help:"Print JSON."`
	sheetFlags
}

type imported struct {
	Courses  []string        `json:"courses"`
	Change   int64           `json:"change"`
	Tables   []importedTable `json:"tables"`
	Problems int             `json:"problems"`
	Refused  map[string]int  `json:"refused"`
}

type importedTable struct {
	Table    string `json:"table"`
	Added    int    `json:"added"`
	Changed  int    `json:"changed"`
	Same     int    `json:"same"`
	Restored int    `json:"restored"`
}

// Run brings the package into the store.
func (c *importCommand) Run(env *Env) error {
	if c.BadRows != "" && !c.Partial {
		return underfoot.Errorf(underfoot.Invalid, "--bad-rows is for --partial: without it nothing is taken from a package with a problem")
	}
	defer thrifty()()
	who := c.Who
	if who == "" {
		who = env.Who
	}
	_, missing := os.Stat(c.Store)
	st, err := openStore(env, c.Store, true)
	if err != nil {
		return err
	}
	defer st.Close()
	said, bar := newSpeaker(env), newProgress(env, "importing")
	how := app.Reading{Partial: c.Partial, OnProblem: said.problem, OnNotice: said.notice, OnProgress: bar.bytes}
	folder := c.BadRows
	if folder == "" {
		folder = filepath.Clean(c.Path) + "-refused"
	}
	if c.Partial {
		how.BadRows = func(file string) (io.WriteCloser, error) {
			if err := os.MkdirAll(folder, 0o755); err != nil {
				return nil, err
			}
			to, err := os.OpenFile(filepath.Join(folder, file), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
			if errors.Is(err, fs.ErrExist) {
				return nil, underfoot.Errorf(underfoot.Conflict, "%s is there already: move it away, or name another folder with --bad-rows",
					shown(filepath.Join(folder, file)))
			}
			return to, err
		}
	}
	if at, err := os.Stat(c.Path); err == nil && at.Mode().IsRegular() {
		b, err := c.sheetAt(c.Path)
		switch {
		case err != nil:
		case b != nil:
			err = c.sheet(env, app.New(st, env.Now, who), who, b)
		default:
			err = c.weather(env, app.New(st, env.Now, who), who, said)
		}
		if err != nil && missing != nil {
			removeEmpty(env, st, c.Store)
		}
		return err
	}
	if c.given() {
		if _, err := os.Stat(c.Path); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "laboratory sheet: %w", err)
		}
		return underfoot.Errorf(underfoot.Invalid, "--mapping, --rule, --preview, --rule-out, --save and --green are for a laboratory's sheet: a package needs none of them")
	}
	if c.Course != "" {
		return underfoot.Errorf(underfoot.Invalid, "--course is for a laboratory's sheet or a weather file: a package says itself which course it is of")
	}
	taken, err := app.New(st, env.Now, who).Import(env.Context, c.Path, who, how)
	bar.done()
	if err != nil {
		if missing != nil {
			removeEmpty(env, st, c.Store)
		}
		return err
	}
	if err := c.print(env, taken); err != nil {
		return err
	}
	if taken.Summary.Problems > 0 && c.Partial {
		return underfoot.Errorf(underfoot.Invalid, "%s refused and left out; see folder %s", counted(total(taken.Summary.Refused), "row was", "rows were"), shown(folder))
	}
	return nil
}

// weather brings a weather file in.
func (c *importCommand) weather(env *Env, a *app.App, who string, said *speaker) error {
	t, err := a.ImportWeather(env.Context, c.Path, c.Course, who, said.problem)
	if err != nil {
		return err
	}
	if c.JSON {
		x := t.Counts
		return printJSON(env.Stdout, imported{
			Courses: []string{t.Course}, Change: t.Change.ID, Tables: []importedTable{{x.Table, x.Added, x.Changed, x.Same, x.Restored}}, Refused: map[string]int{},
		})
	}
	fmt.Fprintf(env.Stdout, "%s: %s from %s to %s, read as a %s: %d new, %d changed, %d the same\n", t.Course, counted(len(t.File.Days), "day", "days"), t.From, t.To, t.File.Form,
		t.Counts.Added+t.Counts.Restored, t.Counts.Changed, t.Counts.Same)
	if t.File.Early > 0 {
		fmt.Fprintf(env.Stdout, "note: %s before 1900 left out\n", counted(t.File.Early, "day was", "days were"))
	}
	if t.File.Doubtful > 0 {
		fmt.Fprintf(env.Stdout, "note: %s left out that the station's own checks mark as doubtful\n", counted(t.File.Doubtful, "value was", "values were"))
	}
	return nil
}

// removeEmpty closes a store that was made for nothing and takes its files away, unless somebody else has used it since.
func removeEmpty(env *Env, st *store.SQLite, path string) {
	changes, err := st.Changes(context.WithoutCancel(env.Context), "", 1)
	st.Close()
	if err != nil || len(changes) > 0 {
		return
	}
	for _, end := range []string{"", "-wal", "-shm"} {
		os.Remove(path + end)
	}
}

func total(counts map[string]int) int {
	n := 0
	for _, k := range counts {
		n += k
	}
	return n
}

func (c *importCommand) print(env *Env, t *app.Taken) error {
	if c.JSON {
		out := imported{Courses: t.Summary.Courses, Change: t.Change.ID, Tables: importedTables(t.Tables), Problems: t.Summary.Problems, Refused: t.Summary.Refused}
		return printJSON(env.Stdout, out)
	}
	printTables(env, t.Tables)
	if !t.New() {
		fmt.Fprintln(env.Stdout, "Nothing in it was new; the store is as it was.")
	}
	return nil
}

func importedTables(list []app.TableTaken) []importedTable {
	out := []importedTable{}
	for _, x := range list {
		out = append(out, importedTable{x.Table, x.Added, x.Changed, x.Same, x.Restored})
	}
	return out
}

// printTables prints what became of the rows of each table.
func printTables(env *Env, list []app.TableTaken) {
	g := newGrid("table", ">new", ">changed", ">the same", ">brought back")
	for _, x := range list {
		g.row(x.Title, fmt.Sprint(x.Added), fmt.Sprint(x.Changed), fmt.Sprint(x.Same), fmt.Sprint(x.Restored))
	}
	g.print(env.Stdout)
}
