package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/sampling"
)

type roundCommand struct {
	source
	Plan          string  `placeholder:"ROUND" help:"Show the plan kept under this label, instead of a new design."`
	Label         string  `help:"Label of the round; its year or month where none is given."`
	Date          string  `placeholder:"DATE" help:"Day it is to be taken; a year after the last round, or in two weeks, where none is given."`
	Layers        string  `help:"Layers in mm, such as \"0-20 20-40\"; those of the last round where none are given."`
	Greens        string  `placeholder:"same|random|stratified" help:"Which greens: the same as last time, any, or in proportion by grass and age; the same where there was a round."`
	Full          int     `help:"Greens taken in full, where they are drawn; 3 where none are given (common practice)."`
	TopOnly       *int    `help:"More greens for the top layer only, where they are drawn; 3 where none are given (common practice), 0 for none."`
	Cores         int     `help:"Cores a green; as in the last round, else 5 (common practice)."`
	Diameter      float64 `help:"Inner diameter of the corer, mm; as in the last round, else 20."`
	Verdure       string  `placeholder:"kept|removed" help:"Whether the green top is left on; as in the last round, else kept."`
	Seed          *int    `help:"Number the places are drawn from; that of the last plan, so that cores are taken at the same places."`
	CostVisit     float64 `default:"150" help:"Cost of a visit, in any money."`
	CostGreen     float64 `default:"8" help:"Cost of a green, beside its cores and determinations."`
	CostCore      float64 `default:"1" help:"Cost of a core."`
	CostDetermine float64 `name:"cost-determination" default:"12" help:"Cost of a determination."`
	Next          bool    `help:"Say from when on the round is worth taking, from the calibrated model."`
	GeoJSON       string  `name:"geojson" type:"path" placeholder:"FILE" help:"Write the places of the cores as GeoJSON."`
	GPX           string  `name:"gpx" type:"path" placeholder:"FILE" help:"Write the places of the cores as GPX 1.1, for a phone."`
	Force         bool    `help:"Write over files that are there already."`
}

// Run designs a round and prints what it takes, holds, costs and can see, and where its cores are taken.
func (c *roundCommand) Run(env *Env) error {
	for _, file := range []string{c.GeoJSON, c.GPX} {
		if _, err := os.Stat(file); file != "" && !c.Force && !errors.Is(err, fs.ErrNotExist) {
			return underfoot.Errorf(underfoot.Conflict, "%s is there already: name another file, or write over it with --force", shown(file))
		}
	}
	asked := app.RoundAsked{
		Label: c.Label, Layers: strings.ReplaceAll(c.Layers, ",", " "), Choice: c.Greens, Full: c.Full, Cores: c.Cores, Diameter: c.Diameter,
		Verdure: c.Verdure, Seed: c.Seed,
	}
	if c.TopOnly != nil {
		if asked.TopOnly = *c.TopOnly; asked.TopOnly == 0 {
			asked.TopOnly = -1
		}
	}
	if c.Date != "" {
		var err error
		if asked.Date, err = underfoot.ParseDate(c.Date); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "--date: %w", err)
		}
	}
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	plan, err := c.plan(s, asked)
	if err != nil {
		return err
	}
	f, err := s.Round(plan)
	if err != nil {
		return err
	}
	if err := f.PriceAt(sampling.Prices{Visit: c.CostVisit, Green: c.CostGreen, Core: c.CostCore, Determination: c.CostDetermine}); err != nil {
		return err
	}
	if c.Next {
		if f.Next, err = s.RoundTiming(plan); err != nil {
			f.Notes = append(f.Notes, "When the next round is worth taking is not known: "+err.Error()+".")
		}
	}
	if err := c.write(f, s.Records.Course.Title()); err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, f)
	}
	printRound(env, s, f)
	return nil
}

// plan is the one that is kept, or a new design.
func (c *roundCommand) plan(s *app.Standing, asked app.RoundAsked) (underfoot.RoundPlan, error) {
	if c.Plan == "" {
		return s.DesignRound(asked)
	}
	var names []string
	for _, p := range s.Records.RoundPlans {
		if p.Round == c.Plan {
			return p, nil
		}
		names = append(names, p.Round)
	}
	if len(names) == 0 {
		return underfoot.RoundPlan{}, underfoot.Errorf(underfoot.NotFound, "round %q is not planned, and no other is: leave --plan out for a new design", c.Plan)
	}
	return underfoot.RoundPlan{}, underfoot.Errorf(underfoot.NotFound, "round %q is not planned: planned are %s", c.Plan, strings.Join(names, ", "))
}

func (c *roundCommand) write(f *app.RoundFound, course string) error {
	for _, out := range []struct {
		file string
		text func() ([]byte, error)
	}{{c.GeoJSON, f.GeoJSON}, {c.GPX, func() ([]byte, error) { return f.GPX(course) }}} {
		if out.file == "" {
			continue
		}
		if len(f.Waypoints()) == 0 {
			return underfoot.Errorf(underfoot.Negative, "there is no place to write to %s: none of the greens has an outline", shown(out.file))
		}
		text, err := out.text()
		if err != nil {
			return err
		}
		if err := os.WriteFile(out.file, text, 0o644); err != nil {
			return fmt.Errorf("writing %s: %w", shown(out.file), err)
		}
	}
	return nil
}

func printRound(env *Env, s *app.Standing, f *app.RoundFound) {
	w := env.Stdout
	say := func(text string) {
		if text != "" {
			fmt.Fprintln(w, wrapped(text))
		}
	}
	fmt.Fprintf(w, "%s: round %s, %s\n", s.Records.Course.Title(), f.Round, f.Date)
	fmt.Fprintf(w, "%s of %s from each green with a corer of %s mm, verdure %s; %s; it costs %s.\n",
		counted(f.Composites, "composite", "composites"), counted(f.Cores, "core", "cores"), underfoot.FormatNumber(f.DiameterMM), f.Verdure, counted(f.CoresInAll, "core in all", "cores in all"), number(f.Cost, 0))
	say("Every layer: " + titles(s, f.Full) + ".")
	if len(f.TopOnly) > 0 {
		say("Top layer only: " + titles(s, f.TopOnly) + ".")
	}
	g := newGrid("layer", ">greens", ">cm³", ">change seen 8 in 10", ">mean ± 9 in 10")
	for i := range f.Layers {
		l := &f.Layers[i]
		g.row(l.Name(), fmt.Sprint(l.Greens), number(l.VolumeCm3, 0), upwards(l.Visible), upwards(l.Half))
	}
	g.print(w)
	for i := range f.Layers {
		say(f.Layers[i].Advice)
	}
	if f.Next != nil {
		say(f.Next.Says)
	}
	for i := range f.Greens {
		printPlaces(env, &f.Greens[i])
	}
	fmt.Fprintln(w)
	for _, n := range f.Notes {
		say("note: " + n)
	}
}

func titles(s *app.Standing, greens []string) string {
	var names []string
	for _, g := range greens {
		names = append(names, s.GreenTitle(g))
	}
	return strings.Join(names, ", ")
}

func printPlaces(env *Env, g *app.GreenPlaces) {
	w := env.Stdout
	fmt.Fprintf(w, "\n%s", g.Title)
	if g.AreaM2 != nil {
		fmt.Fprintf(w, ", %s m², a walk of %s m", number(*g.AreaM2, 0), number(g.WalkM, 0))
	}
	fmt.Fprintln(w)
	if len(g.Walk) > 0 {
		fmt.Fprintln(w, wrapped(g.Why+". In walking order:"))
		for i, text := range g.Walk {
			fmt.Fprintf(w, "  %d. %s\n", i+1, text)
		}
		return
	}
	grid := newGrid(">core", ">longitude °", ">latitude °")
	for _, p := range g.Places {
		grid.row(fmt.Sprint(p.Core), number(p.LongitudeDeg, 7), number(p.LatitudeDeg, 7))
	}
	grid.print(w)
	for _, p := range g.Places {
		if p.Tape != "" {
			fmt.Fprintln(w, wrapped(fmt.Sprintf("  core %d: %s", p.Core, p.Tape)))
		}
	}
	for _, text := range []string{g.Near, g.Why} {
		if text != "" {
			fmt.Fprintln(w, wrapped("  "+text))
		}
	}
}
