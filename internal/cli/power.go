package cli

import (
	"fmt"
	"math"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/sampling"
)

type powerCommand struct {
	source
	Layer          string  `help:"Layer by its depths in mm, such as 20-40; the uppermost where none is named."`
	Greens         int     `help:"Greens a round; as in the last round where none are named."`
	Cores          int     `help:"Cores a green; as in the last round where none are named."`
	Determinations int     `default:"1" help:"Determinations of each composite."`
	PerYear        int     `default:"1" help:"Rounds a year."`
	Years          int     `default:"5" help:"Years of rounds."`
	Slope          float64 `default:"0.5" help:"Wanted: the smallest change to be seen 8 times in 10, percentage points a year."`
	Half           float64 `default:"0.5" help:"Wanted: the mean of one round known to ± so many percentage points, 9 times in 10."`
	CostVisit      float64 `default:"150" help:"Cost of a visit, in any money."`
	CostGreen      float64 `default:"8" help:"Cost of a green, beside its cores and determinations."`
	CostCore       float64 `default:"1" help:"Cost of a core."`
	CostDetermine  float64 `name:"cost-determination" default:"12" help:"Cost of a determination."`
}

// Run prints what sampling can see, so far and with a design, and the cheapest design for what is wanted.
func (c *powerCommand) Run(env *Env) error {
	asked := app.PowerAsked{
		Greens: c.Greens, Cores: c.Cores, Determinations: c.Determinations, PerYear: c.PerYear, Years: c.Years, Slope: c.Slope, Half: c.Half,
		Prices: &sampling.Prices{Visit: c.CostVisit, Green: c.CostGreen, Core: c.CostCore, Determination: c.CostDetermine},
	}
	var err error
	if asked.TopMM, asked.BottomMM, err = parseLayer(c.Layer); err != nil {
		return err
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	f, err := s.Power(asked)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, f)
	}
	fmt.Fprintf(env.Stdout, "%s, %s: what sampling can see\n", s.Records.Course.Title(), underfoot.LayerName(f.TopMM, f.BottomMM))
	printPower(env, f)
	return nil
}

// parseLayer reads "20-40"; empty is the uppermost layer.
func parseLayer(text string) (top, bottom float64, err error) {
	if text == "" {
		return 0, 0, nil
	}
	low, high, ok := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	if top, err = underfoot.ParseNumber(strings.TrimSpace(low)); ok && err == nil {
		bottom, err = underfoot.ParseNumber(strings.TrimSpace(strings.TrimSuffix(high, "mm")))
	}
	if !ok || err != nil || !(top >= 0 && bottom > top) {
		return 0, 0, underfoot.Errorf(underfoot.Invalid, "--layer %q: give two depths in mm with the deeper one last, such as 20-40", text)
	}
	return top, bottom, nil
}

func printPower(env *Env, f *app.PowerFound) {
	w := env.Stdout
	say := func(s string) {
		if s != "" {
			fmt.Fprintln(w, wrapped(s))
		}
	}
	fmt.Fprintf(w, "\nSo far, %s; a change seen 8 times in 10, points a year:\n", counted(f.SoFar.Rounds, "round", "rounds"))
	g := newGrid("", ">at least")
	g.row("in what happened in these years", upwards(f.SoFar.Happened))
	g.row("in what goes on, good and bad rounds taken for chance", upwards(f.SoFar.Behind))
	g.row("the same with one more round like the last", upwards(f.SoFar.WithNext))
	g.print(w)
	say(f.SoFar.NextSays)
	fmt.Fprintf(w, "\nThis design, for the %s of the course\n", counted(f.OnCourse, "green", "greens"))
	for _, d := range []app.PowerDesign{f.Slope, f.Mean} {
		cautious := ""
		if d.Cautious != nil && *d.Cautious > *d.Points {
			cautious = fmt.Sprintf(" Up to %s where the course scatters more than it has shown.", upwards(d.Cautious))
		}
		say(fmt.Sprintf("%s%s It costs %s.", d.Says, cautious, number(d.Cost, 0)))
	}
	fmt.Fprintln(w, "\nThe cheapest way")
	for _, a := range f.Cheapest {
		say(a.Says)
		for _, o := range a.Others {
			say("  " + o)
		}
	}
	fmt.Fprintln(w, "\nScatter this rests on, standard deviations")
	g = newGrid("scatter", ">size", "unit", "from")
	for _, p := range f.Parts {
		g.row(p.Name, number(p.SD, 3), p.Unit, p.From)
	}
	g.print(w)
	for _, n := range f.Notes {
		say("note: " + n)
	}
}

// upwards prints a precision rounded up, so that it does not promise too much.
func upwards(v *float64) string {
	if v == nil {
		return "–"
	}
	up := math.Ceil(*v*100-1e-9) / 100
	return number(up, 2)
}
