package cli

import (
	"fmt"
	"strings"

	"underfoot/internal/app"
)

type findingsCommand struct {
	source
	Matters float64 `default:"0.5" help:"Smallest change that matters, percentage points a year."`
}

// Run prints what the rounds and readings say.
func (c *findingsCommand) Run(env *Env) error {
	s, err := c.standing(env, app.Wishes{Matters: c.Matters})
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env.Stdout, s.Findings())
	}
	w := env.Stdout
	fmt.Fprintf(w, "%s, %s\n\n", s.Records.Course.Title(), s.Today)
	fmt.Fprintf(w, "Direction: %s", s.Direction.Verdict)
	switch d := s.Findings().Direction; {
	case d.Probability != nil:
		fmt.Fprintf(w, " (probability %s)", number(*d.Probability, 2))
	case d.DecidedBy == "judgement":
		fmt.Fprint(w, ", by the manager’s judgement")
	}
	fmt.Fprintln(w)
	for _, b := range s.Reasons() {
		fmt.Fprintln(w, "  "+b)
	}
	for i := range s.Layers {
		printLayer(env, s, &s.Layers[i])
	}
	if len(s.Layers) == 0 {
		fmt.Fprintln(w, "\nNo layer yet: there is no result that may stand in a trend.")
	}
	for _, n := range s.Notes {
		fmt.Fprintln(w, "note: "+n)
	}
	return nil
}

func printLayer(env *Env, s *app.Standing, l *app.Layer) {
	w := env.Stdout
	fmt.Fprintf(w, "\n%s: %s\n", l.Name(), l.Trend.Sentence())
	if l.Trend.Estimated {
		chance, _ := l.Trend.ChanceOfChange()
		fmt.Fprintf(w, "  %s, 9 in 10; %s. %s\n", l.Trend.Figures(), chance, l.Trend.Visible())
		fmt.Fprintln(w, "  "+strings.TrimSpace(l.Trend.Equivalence()+" "+l.Trend.Behind()))
	}
	g := newGrid("  round", "date", ">OM, %", ">± (s.e.)", ">9 in 10", ">greens")
	for _, m := range l.Rounds {
		g.row("  "+m.Round, m.Date.Format("2006-01-02"), number(float64(m.Mean), 2), number(float64(m.SE), 2),
			number(float64(m.Low90), 1)+"–"+number(float64(m.High90), 1), fmt.Sprint(m.N))
	}
	g.print(w)
	if l.Even.Known {
		fmt.Fprintf(w, "  Between greens: standard deviation %s points (%s to %s, 95 %%). %s\n", number(float64(l.Even.SD), 2),
			number(float64(l.Even.SDLower95), 2), number(float64(l.Even.SDUpper95), 2), l.Even.Sentence())
	}
	if says := l.Even.Growth.Sentence(); says != "" {
		fmt.Fprintln(w, "  "+says)
	}
	if l.Trend.Model != "" {
		fmt.Fprintf(w, "  Model: %s. %s\n", l.Trend.Model, l.Trend.Choice)
	}
	for _, warning := range l.Trend.Warnings {
		fmt.Fprintln(w, "  note: "+warning)
	}
}
