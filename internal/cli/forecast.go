package cli

import (
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/internal/app"
)

type forecastCommand struct {
	source
	Dates    []string `sep:"," placeholder:"DATE" help:"Days to look at, such as 2027-10-01, several with commas; one and two years after the last round where none are given."`
	Layers   []string `sep:"," placeholder:"LAYER" help:"Layers in mm, such as 0-40, several with commas, none deeper than was sampled; every layer that was ever sampled where none are given."`
	Greens   bool     `help:"Print every green, not only their mean."`
	Hindcast bool     `help:"Leave the last round out, and set what the others foretold beside it."`
	Account  bool     `help:"Print where the organic matter of each layer went, season by season."`
	Members  int      `help:"Members of the ensemble; 400 where none are given."`
	Seed     uint64   `default:"1" help:"Seed of the draws."`
	Sampler  bool     `help:"Draw from the posterior by a sampler instead of weighted draws: slower, and right where the answer is far from normal."`
}

// Run prints where the layers will be.
func (c *forecastCommand) Run(env *Env) error {
	dates, err := parseDates(c.Dates)
	if err != nil {
		return err
	}
	layers, err := parseLayers(c.Layers)
	if err != nil {
		return err
	}
	if c.Members != 0 && (c.Members < 10 || c.Members > 100000) {
		return underfoot.Errorf(underfoot.Invalid, "--members is %d: give 10 to 100000", c.Members)
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	m, err := c.model(env, s)
	if err != nil {
		return err
	}
	if len(dates) == 0 {
		dates = usualDates(underfoot.Date(m.Fit.Course.Last()))
	}
	f, err := m.Forecast(dates, layers...)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, m.ForecastRows(f))
	}
	c.print(env, s, m, f)
	if c.Hindcast {
		printHindcast(env, m)
	}
	if c.Account {
		flows, err := m.SeasonFlows()
		if err != nil {
			return err
		}
		printFlows(env.Stdout, flows)
	}
	return nil
}

// model calibrates the course as asked.
func (c *forecastCommand) model(env *Env, s *app.Standing) (*app.Model, error) {
	how := app.Calibration{Members: c.Members, Seed: c.Seed}
	if !c.Sampler {
		return s.CalibratedBy(how)
	}
	bar := newProgress(env, "drawing")
	defer bar.done()
	how.Sampler, how.Progress = true, bar.steps
	return s.CalibratedBy(how)
}

// usualDates are one and two years after the last round.
func usualDates(last underfoot.Date) []underfoot.Date {
	return []underfoot.Date{underfoot.DateOf(last.Time().AddDate(1, 0, 0)), underfoot.DateOf(last.Time().AddDate(2, 0, 0))}
}

// parseDates reads days of the form 2027-10-01; one named twice counts once.
func parseDates(texts []string) ([]underfoot.Date, error) {
	var dates []underfoot.Date
	for _, t := range texts {
		d, err := underfoot.ParseDate(strings.TrimSpace(t))
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "--dates: %w", err)
		}
		if !slices.Contains(dates, d) {
			dates = append(dates, d)
		}
	}
	return dates, nil
}

// parseLayers reads layers of the form 0-20.
func parseLayers(texts []string) ([]calibrate.Layer, error) {
	var layers []calibrate.Layer
	for _, t := range texts {
		top, bottom, ok := strings.Cut(strings.ReplaceAll(strings.TrimSpace(t), "–", "-"), "-")
		a, errA := underfoot.ParseNumber(top)
		b, errB := underfoot.ParseNumber(bottom)
		if !ok || errA != nil || errB != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "--layers: %q is not a layer of the form 0-20, in mm", t)
		}
		if l := (calibrate.Layer{Top: a, Bottom: b}); !slices.Contains(layers, l) {
			layers = append(layers, l)
		}
	}
	return layers, nil
}

func (c *forecastCommand) print(env *Env, s *app.Standing, m *app.Model, f *calibrate.Forecast) {
	w := env.Stdout
	plan := "nothing is planned after the record: growth and decay go on, no sand goes on"
	if m.Planned() {
		plan = "with the work planned in the log"
	}
	fmt.Fprintf(w, "%s: organic matter ahead, %% of oven-dry mass, mean of %d greens; the record runs to %s, %s\n", s.Records.Course.Title(), f.Greens, m.LastDay(), plan)
	g := newGrid("date", "layer", "green", ">middle", ">9 in 10", ">half")
	for d, day := range f.Days {
		for l, layer := range f.Layers {
			for green := -1; green < f.Greens; green++ {
				if green >= 0 && !c.Greens {
					break
				}
				name := "all"
				if green >= 0 {
					name = s.GreenTitle(m.Fit.Course.Greens[green].Name)
				}
				e := f.Estimate(green, d, l)
				g.row(underfoot.Date(day).String(), underfoot.LayerName(layer.Top, layer.Bottom), name, number(100*e.Q50, 2),
					number(100*e.Q05, 2)+" to "+number(100*e.Q95, 2), number(100*e.Q25, 2)+" to "+number(100*e.Q75, 2))
			}
		}
	}
	g.print(w)
	printLearnt(env, m)
	for _, n := range m.Notes {
		fmt.Fprintln(w, "note: "+n)
	}
}

// printLearnt says what the rounds decided, and which of them do not fit.
func printLearnt(env *Env, m *app.Model) {
	w := env.Stdout
	fmt.Fprintln(w, "\nWhat the rounds decided, and what is still taken from "+m.Fit.Prior.Source+":")
	g := newGrid("", ">before", ">9 in 10", ">after", ">9 in 10", "unit", "")
	for _, l := range m.Fit.Learnt() {
		e := l.Entry()
		g.row(e.Name, figures(l.Prior.Q50), figures(l.Prior.Q05)+" to "+figures(l.Prior.Q95), figures(l.After.Q50), figures(l.After.Q05)+" to "+figures(l.After.Q95), unitName(e.Unit), l.Word())
	}
	g.print(w)
	misfits, err := m.Fit.Misfits()
	if err != nil {
		fmt.Fprintln(w, "note: "+err.Error())
		return
	}
	for _, x := range misfits {
		if x.Odd() {
			fmt.Fprintln(w, "does not fit: "+x.Sentence())
		}
	}
}

func printHindcast(env *Env, m *app.Model) {
	w := env.Stdout
	list, err := m.Hindcasts()
	if err != nil {
		fmt.Fprintln(w, "\n"+err.Error())
		return
	}
	fmt.Fprintln(w, "\nThe last round left out, and foretold from the others with the work and weather that came:")
	g := newGrid("round", "layer", ">composites", ">measured", ">foretold", ">9 in 10 of what would be measured", "", ">last value before")
	for _, h := range list {
		word := "inside"
		if !h.Inside() {
			word = "outside"
		}
		g.row(h.Round, underfoot.LayerName(h.Layer.Top, h.Layer.Bottom), fmt.Sprint(h.N), number(100*h.Measured, 2), number(100*h.Foretold.Q50, 2),
			number(100*h.Sampled.Q05, 2)+" to "+number(100*h.Sampled.Q95, 2), word, number(100*h.LastValue, 2))
	}
	g.print(w)
}

func unitName(u string) string {
	if u == "1" {
		return "share"
	}
	return u
}

// figures writes a number with three figures.
func figures(v float64) string {
	switch {
	case v >= 100:
		return number(v, 0)
	case v >= 10:
		return number(v, 1)
	case v >= 1:
		return number(v, 2)
	case v >= 0.1:
		return number(v, 3)
	}
	return number(v, 4)
}
