package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/catalogue"
	"underfoot/season"
)

type seasonCommand struct {
	source
	From             string   `placeholder:"DATE" help:"First day that is planned for, such as 2027-03-01."`
	Until            string   `placeholder:"DATE" help:"Last day; the bands are wanted on it where they name no other."`
	Band             []string `sep:"none" placeholder:"0-20:3.0:4.0[:DATE]" help:"Where a layer is wanted: its depths in mm, least and most organic matter in percent, and on which day; the last one where none is given. Repeatable, on several days too."`
	Direction        string   `placeholder:"lower|hold|raise" help:"Where to go, instead of bands; what the findings say where none is given."`
	Probability      float64  `default:"0.8" help:"With which probability all of it is to come about, between 0 and 1."`
	Sand             string   `placeholder:"ID" help:"Sand to plan with; the course's topdressing sand where none is given."`
	Operations       string   `type:"path" placeholder:"FILE" help:"Catalogue of operations the plan may use (TOML); the course's own, or the built-in one, where none is given."`
	PrintOperations  bool     `help:"Print the catalogue as a file to edit, and do nothing else: that of the course where one is named, else the built-in one."`
	Closed           []string `sep:"none" placeholder:"FROM:TO" help:"Days on which nothing is done, beside those of the course. Repeatable."`
	Tournament       []string `sep:"none" placeholder:"DATE[:DAYS]" help:"Day the greens have to be at their best, and how many days before it they have to be so already; 3 where none are given; beside those of the course. Repeatable."`
	MaxSandMM        *float64 `name:"max-sand-mm" help:"Most sand in a season, mm, that in holes included."`
	Budget           *float64 `help:"Most money for the whole plan."`
	MaxDisturbedDays *float64 `help:"Most disturbed days in a season."`
	CrewHours        *float64 `help:"Most crew hours in a week; what the course says where nothing is given."`
	HourPrice        *float64 `help:"What an hour of labour costs; what the course says, else 30, where nothing is given."`
	DayWorth         *float64 `help:"What a disturbed day is reckoned at in money when plans are weighed against one another; 150 where nothing is given."`
	Nitrogen         string   `placeholder:"LOW:HIGH" help:"The plan may move a season's nitrogen to either of these, kg/ha; left as planned where nothing is given."`
	StorageT         float64  `name:"storage-t" help:"Most sand that can lie on the course, t; sand comes month by month where none is given."`
	LeadDays         int      `help:"Days ahead of its use that sand is delivered; 7 where none are given."`
	WorkOut          string   `type:"path" placeholder:"FILE" help:"Write the plan as rows of work.csv, with the planned nitrogen it counts on."`
	CalendarOut      string   `type:"path" placeholder:"FILE" help:"Write the plan as a calendar file (.ics)."`
	OrderOut         string   `type:"path" placeholder:"FILE" help:"Write the deliveries of sand as CSV."`
	Force            bool     `help:"Write over files that are there already."`
}

// Run looks for the plan of least money and disturbance, and prints it.
func (c *seasonCommand) Run(env *Env) error {
	operations, err := c.operations()
	if err != nil {
		return err
	}
	if c.PrintOperations {
		return c.printOperations(env, operations)
	}
	ask, err := c.ask()
	if err != nil {
		return err
	}
	ask.Operations = operations
	if err := c.mayWrite(); err != nil {
		return err
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	if len(ask.Bands) == 0 && ask.Direction == "" && s.Direction.Verdict == findings.Unknown {
		return underfoot.Errorf(underfoot.Negative, "season: there is no direction to plan for: no reading and no judgement says where the surface should go; state one with --direction lower, hold or raise, or give bands with --band")
	}
	if operations == nil { // refused before the model is worked out
		if ask.Operations, err = s.OperationsUsed(); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "season: %w", err)
		}
	}
	crew := c.crew(s, &ask)
	m, err := s.Model()
	if err != nil {
		return err
	}
	plan, seconds, err := c.find(env, m, ask)
	if err != nil {
		return err
	}
	plan.Notes = append(plan.Notes, crew...)
	return c.tell(env, plan, seconds)
}

// find searches, with progress on a terminal; the first interrupt leaves the best so far.
func (c *seasonCommand) find(env *Env, m *app.Model, ask app.SeasonAsk) (*app.SeasonPlan, float64, error) {
	bar := newProgress(env, "looking for the plan")
	defer bar.done()
	ask.Progress = func(judged, most int, best *season.Found) { bar.steps(judged, most) }
	begin := time.Now()
	plan, err := m.Season(env.Context, ask)
	if err != nil {
		return nil, 0, err
	}
	if env.Context.Err() != nil {
		if plan.Answer.Best == nil {
			return nil, 0, fmt.Errorf("season: stopped before any plan was found: %w", context.Canceled)
		}
		plan.Notes = append(plan.Notes, "the search was stopped: this is the best plan so far, and others were not looked at")
	}
	return plan, time.Since(begin).Seconds(), nil
}

// tell prints the answer and writes the files; no plan is status 1.
func (c *seasonCommand) tell(env *Env, plan *app.SeasonPlan, seconds float64) error {
	found, err := plan.Found(seconds, c.StorageT, c.LeadDays)
	if err != nil {
		return err
	}
	if c.JSON {
		err = printJSON(env.Stdout, found)
	} else {
		c.print(env, plan, found)
	}
	if err != nil {
		return err
	}
	if !found.Feasible {
		if c.JSON {
			return underfoot.Errorf(underfoot.Negative, "season: no plan does what is wanted: %s", found.Unmet)
		}
		return underfoot.Errorf(underfoot.Negative, "season: no plan does what is wanted; nothing was written")
	}
	return c.write(env, plan)
}

// write writes the files that were asked for.
func (c *seasonCommand) write(env *Env, plan *app.SeasonPlan) error {
	best := plan.Answer.Best.Plan
	files := []struct {
		path, what string
		write      func(*bytes.Buffer) error
	}{
		{c.WorkOut, "the work", func(b *bytes.Buffer) error { return plan.WriteWork(b, best) }},
		{c.CalendarOut, "the calendar", func(b *bytes.Buffer) error { return plan.WriteCalendar(b, best, env.Now()) }},
		{c.OrderOut, "the sand order", func(b *bytes.Buffer) error {
			o, err := plan.Order(best, c.StorageT, c.LeadDays)
			if err != nil {
				return err
			}
			return plan.WriteOrder(b, o)
		}},
	}
	for _, f := range files {
		if f.path == "" {
			continue
		}
		var b bytes.Buffer
		if err := f.write(&b); err != nil {
			return err
		}
		if err := writeWhole(f.path, b.Bytes()); err != nil {
			return err
		}
		if !c.JSON {
			fmt.Fprintf(env.Stdout, "wrote %s to %s\n", f.what, shown(f.path))
		}
	}
	return nil
}

// mayWrite refuses to write over what is there, before anything is worked out.
func (c *seasonCommand) mayWrite() error {
	seen := map[string]string{}
	for flag, path := range map[string]string{"--work-out": c.WorkOut, "--calendar-out": c.CalendarOut, "--order-out": c.OrderOut} {
		if path == "" {
			continue
		}
		if other, twice := seen[path]; twice {
			return underfoot.Errorf(underfoot.Invalid, "%s and %s name the same file %s: give each its own", min(flag, other), max(flag, other), shown(path))
		}
		seen[path] = flag
		if info, err := os.Stat(path); err == nil && (info.IsDir() || !c.Force) {
			return underfoot.Errorf(underfoot.Conflict, "%s: %s is there already: name another file, or add --force to write over it", flag, shown(path))
		}
	}
	return nil
}

// operations reads the catalogue of a file; nil where none is named.
func (c *seasonCommand) operations() ([]season.Operation, error) {
	if c.Operations == "" {
		return nil, nil
	}
	f, err := os.Open(c.Operations)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.NotFound, "--operations: opening the catalogue: %w", err)
	}
	defer f.Close()
	return catalogue.Read(f, shown(c.Operations))
}

// printOperations prints the catalogue of the file, of the course, or the built-in one.
func (c *seasonCommand) printOperations(env *Env, list []season.Operation) error {
	if list == nil && c.Source == "" && c.Store == "" {
		list = season.Usual()
	}
	if list == nil {
		all, err := c.records(env)
		if err != nil {
			return err
		}
		one, err := app.OneCourse(all, c.Course)
		if err != nil {
			return err
		}
		if list, err = catalogue.Used(one.Operations); err != nil {
			return err
		}
	}
	return catalogue.Write(env.Stdout, list)
}

// crew fills in what the course says of its crew where no flag does, and notes it.
func (c *seasonCommand) crew(s *app.Standing, a *app.SeasonAsk) (notes []string) {
	hours, price := s.CrewOf(a.From, a.Until)
	if c.CrewHours == nil && hours > 0 {
		a.Caps.CrewHours = hours
		notes = append(notes, fmt.Sprintf("the course has %s crew hours a week: the plan keeps to them", underfoot.FormatNumber(hours)))
	}
	if c.HourPrice == nil && price > 0 {
		a.Hour = price
		notes = append(notes, fmt.Sprintf("an hour of labour costs %s, as the course says", underfoot.FormatNumber(price)))
	}
	return notes
}

// ask reads the flags.
func (c *seasonCommand) ask() (a app.SeasonAsk, err error) {
	if a.From, err = flagDate("--from", c.From); err != nil {
		return a, err
	}
	if a.Until, err = flagDate("--until", c.Until); err != nil {
		return a, err
	}
	for _, text := range c.Band {
		b, err := parseBand(text)
		if err != nil {
			return a, err
		}
		a.Bands = append(a.Bands, b)
	}
	switch c.Direction {
	case "", "lower", "hold", "raise":
		a.Direction = c.Direction
	default:
		return a, underfoot.Errorf(underfoot.Invalid, "--direction is %q: allowed are lower, hold and raise", c.Direction)
	}
	if !(c.Probability > 0 && c.Probability < 1) {
		return a, underfoot.Errorf(underfoot.Invalid, "--probability is %g: give a number between 0 and 1, such as 0.8", c.Probability)
	}
	a.Probability, a.Sand = c.Probability, c.Sand
	if err := c.calendar(&a); err != nil {
		return a, err
	}
	return a, c.limits(&a)
}

// calendar reads when nothing can be done.
func (c *seasonCommand) calendar(a *app.SeasonAsk) error {
	for _, text := range c.Closed {
		from, until, two := strings.Cut(text, ":")
		if !two {
			return underfoot.Errorf(underfoot.Invalid, "--closed is %q: give two days with a colon between them, such as 2027-07-01:2027-07-14", text)
		}
		first, err := flagDate("--closed", from)
		if err != nil {
			return err
		}
		last, err := flagDate("--closed", until)
		if err != nil {
			return err
		}
		if last < first {
			return underfoot.Errorf(underfoot.Invalid, "--closed is %q: it ends before it begins", text)
		}
		a.Closed = append(a.Closed, season.Closed{From: int(first), Until: int(last)})
	}
	for _, text := range c.Tournament {
		day, before, given := strings.Cut(text, ":")
		d, err := flagDate("--tournament", day)
		if err != nil {
			return err
		}
		days := 3 // working default, no source
		if given {
			if days, err = strconv.Atoi(before); err != nil || days < 0 || days > 90 {
				return underfoot.Errorf(underfoot.Invalid, "--tournament is %q: the days before it are %q: give a whole number from 0 to 90", text, before)
			}
		}
		a.Tournaments = append(a.Tournaments, season.Tournament{Day: int(d), Before: days})
	}
	return nil
}

// limits reads amounts of money, sand and time.
func (c *seasonCommand) limits(a *app.SeasonAsk) error {
	list := []struct {
		flag string
		from *float64
		into *float64
		most float64
		unit string
	}{
		{"--max-sand-mm", c.MaxSandMM, &a.Caps.SandMM, 200, "mm"},
		{"--budget", c.Budget, &a.Caps.Money, 1e9, ""},
		{"--max-disturbed-days", c.MaxDisturbedDays, &a.Caps.Disturbed, 366, "days"},
		{"--crew-hours", c.CrewHours, &a.Caps.CrewHours, 1e5, "h"},
		{"--hour-price", c.HourPrice, &a.Hour, 1e5, ""},
		{"--day-worth", c.DayWorth, &a.DayWorth, 1e7, ""},
	}
	for _, l := range list {
		if l.from == nil {
			continue
		}
		if !(*l.from > 0 && *l.from <= l.most) {
			return underfoot.Errorf(underfoot.Invalid, "%s is %g: give a number above 0 up to %s, or leave it out", l.flag, *l.from, strings.TrimSpace(underfoot.FormatNumber(l.most)+" "+l.unit))
		}
		*l.into = *l.from
	}
	if !(c.StorageT >= 0 && c.StorageT <= 1e6) {
		return underfoot.Errorf(underfoot.Invalid, "--storage-t is %g: give 0 to 1000000 t", c.StorageT)
	}
	if c.LeadDays < 0 || c.LeadDays > 90 {
		return underfoot.Errorf(underfoot.Invalid, "--lead-days is %d: give 0 to 90", c.LeadDays)
	}
	if c.Nitrogen == "" {
		return nil
	}
	low, high, two := strings.Cut(c.Nitrogen, ":")
	bad := underfoot.Errorf(underfoot.Invalid, "--nitrogen is %q: give least and most kg/ha a season with a colon between them, above 0 to 1000, such as 80:140", c.Nitrogen)
	if !two {
		return bad
	}
	var errLow, errHigh error
	a.NitrogenLow, errLow = underfoot.ParseNumber(low)
	a.NitrogenHigh, errHigh = underfoot.ParseNumber(high)
	if errLow != nil || errHigh != nil || !(a.NitrogenLow > 0 && a.NitrogenLow <= a.NitrogenHigh && a.NitrogenHigh <= 1000) {
		return bad
	}
	return nil
}

func flagDate(flag, text string) (underfoot.Date, error) {
	if text == "" {
		return 0, underfoot.Errorf(underfoot.Invalid, "%s is missing: give a day such as 2027-03-01", flag)
	}
	d, err := underfoot.ParseDate(strings.TrimSpace(text))
	if err != nil {
		return 0, underfoot.Errorf(underfoot.Invalid, "%s: %w", flag, err)
	}
	return d, nil
}

// parseBand reads 0-20:3.0:4.0.
func parseBand(text string) (b app.SeasonBand, err error) {
	parts := strings.Split(text, ":")
	if len(parts) != 3 && len(parts) != 4 {
		return b, underfoot.Errorf(underfoot.Invalid, "--band is %q: give depths in mm, least and most percent, and a day where it is not the last one, with colons between them, such as 0-20:3.0:4.0 or 0-20:3.0:4.0:2027-10-31", text)
	}
	if len(parts) == 4 {
		if b.On, err = flagDate("--band", parts[3]); err != nil {
			return b, err
		}
	}
	top, bottom, two := strings.Cut(strings.ReplaceAll(parts[0], "–", "-"), "-")
	if !two {
		return b, underfoot.Errorf(underfoot.Invalid, "--band is %q: its depths are %q: give two in mm with a dash between them, such as 0-20", text, parts[0])
	}
	for _, x := range []struct {
		text, what string
		into       *float64
		most       float64
	}{{top, "upper depth", &b.TopMM, 1000}, {bottom, "lower depth", &b.BottomMM, 1000}, {parts[1], "least", &b.Low, 100}, {parts[2], "most", &b.High, 100}} {
		v, err := underfoot.ParseNumber(strings.TrimSpace(x.text))
		if err != nil || !(v >= 0 && v <= x.most) {
			return b, underfoot.Errorf(underfoot.Invalid, "--band is %q: its %s is %q: give a number from 0 to %g", text, x.what, x.text, x.most)
		}
		*x.into = v
	}
	if b.BottomMM <= b.TopMM {
		return b, underfoot.Errorf(underfoot.Invalid, "--band is %q: its depths are upside down: give the upper one first, such as 0-20", text)
	}
	if b.High <= b.Low {
		return b, underfoot.Errorf(underfoot.Invalid, "--band is %q: it is upside down: give the least percent first, such as 3.0:4.0", text)
	}
	return b, nil
}
