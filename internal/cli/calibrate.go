package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/app"
)

type calibrateCommand struct {
	Store   string   `type:"path" required:"" help:"Store file."`
	Dates   []string `sep:"," placeholder:"DATE" help:"Foretell these days, several with commas; one and two years after each course's last round where none are given."`
	Out     string   `type:"path" placeholder:"DIR" help:"Write each course's forecast there as COURSE.json, in the form of \"forecast --json\"."`
	Workers int      `default:"2" help:"Courses worked on side by side."`
	JSON    bool     `help:"Print JSON."`
}

// calibrated is the outcome of a batch.
type calibrated struct {
	Courses  int               `json:"courses"`
	Learnt   int               `json:"learnt"`
	Foretold int               `json:"foretold"`
	UpToDate int               `json:"up_to_date"`
	Seconds  float64           `json:"seconds"`
	Not      map[string]string `json:"not"` // why a course could not be calibrated
}

// Run calibrates and foretells every course of a store, going on where it was stopped.
func (c *calibrateCommand) Run(env *Env) error {
	dates, err := parseDates(c.Dates)
	if err != nil {
		return err
	}
	if c.Workers < 1 || c.Workers > 64 {
		return underfoot.Errorf(underfoot.Invalid, "--workers is %d: give 1 to 64", c.Workers)
	}
	st, err := openStore(env, c.Store, false)
	if err != nil {
		return err
	}
	defer st.Close()
	if c.Out != "" {
		if err := os.MkdirAll(c.Out, 0o755); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "--out: %w", err)
		}
	}
	began := env.Now()
	out := calibrated{Not: map[string]string{}}
	bar := newProgress(env, "calibrating")
	defer bar.done()
	b := app.Batch{Workers: c.Workers, OnDone: func(x app.Calibrated) {
		out.Courses = x.Of
		switch {
		case x.Err != nil:
			out.Not[x.Course] = x.Err.Error()
		case x.Skipped:
			out.UpToDate++
		case x.Pass == "learnt":
			out.Learnt++
		default:
			out.Foretold++
		}
		if x.Pass == "learnt" {
			bar.steps(x.Done, 2*x.Of)
		} else {
			bar.steps(x.Of+x.Done, 2*x.Of)
		}
	}}
	if c.Out != "" {
		b.Dates = func(last underfoot.Date) []underfoot.Date {
			if len(dates) > 0 {
				return dates
			}
			return usualDates(last)
		}
		b.Done, b.Put = c.done, c.put
	}
	err = app.New(st, env.Now, "underfoot calibrate").Calibrate(env.Context, b)
	out.Seconds = env.Now().Sub(began).Round(time.Millisecond).Seconds()
	if err != nil {
		return fmt.Errorf("calibrating %s: stopped; the next run goes on from here: %w", c.Store, err)
	}
	return c.say(env, out)
}

func (c *calibrateCommand) say(env *Env, out calibrated) error {
	if c.JSON {
		return printJSON(env.Stdout, out)
	}
	w := env.Stdout
	fmt.Fprintf(w, "%d courses: %d learnt from, %d foretold, %d results were up to date, %s s\n", out.Courses, out.Learnt, out.Foretold, out.UpToDate, number(out.Seconds, 1))
	for _, course := range sorted(out.Not) {
		fmt.Fprintf(w, "%s: not calibrated: %s\n", course, out.Not[course])
	}
	return nil
}

func sorted(m map[string]string) []string {
	var list []string
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}

// mark is beside a forecast file and says what it was made from.
func (c *calibrateCommand) mark(course, from string) (path, text string) {
	return filepath.Join(c.Out, course+".from"), fmt.Sprintf("%s, dates %s\n", from, strings.Join(c.Dates, ","))
}

// done says whether a course's forecast is there, made from what it would be made from now.
func (c *calibrateCommand) done(course, from string) bool {
	path, text := c.mark(course, from)
	have, err := os.ReadFile(path)
	if err != nil || string(have) != text {
		return false
	}
	_, err = os.Stat(filepath.Join(c.Out, course+".json"))
	return err == nil
}

// put writes a forecast, whole or not at all, and then its mark.
func (c *calibrateCommand) put(course, from string, rows []app.ForecastRow) error {
	if course != filepath.Base(course) || strings.HasPrefix(course, ".") {
		return underfoot.Errorf(underfoot.Invalid, "course %q cannot be the name of a file: foretell it with \"underfoot forecast --store %s --course\"", course, c.Store)
	}
	path := filepath.Join(c.Out, course+".json")
	data, err := json.Marshal(rows)
	if err != nil {
		return err
	}
	mark, text := c.mark(course, from)
	return errors.Join(replace(path, append(data, '\n')), replace(mark, []byte(text)))
}

// replace writes a file beside its place and moves it there.
func replace(path string, data []byte) error {
	if err := os.WriteFile(path+".part", data, 0o644); err != nil {
		return fmt.Errorf("writing a forecast: %w", err)
	}
	return os.Rename(path+".part", path)
}
