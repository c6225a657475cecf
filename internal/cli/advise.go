package cli

import (
	"fmt"
	"strings"

	"charm.land/lipgloss/v2"

	"underfoot/internal/app"
)

type adviseCommand struct {
	source
}

// Run prints next season's sand in plain words.
func (c *adviseCommand) Run(env *Env) error {
	s, err := c.standing(env, app.Wishes{})
	if err != nil {
		return err
	}
	a := s.AdviceFound()
	if c.JSON {
		return printJSON(env.Stdout, a)
	}
	w := env.Stdout
	fmt.Fprintf(w, "%s, as of %s\n\n", s.Records.Course.Title(), s.AsOf)
	for i, sentence := range a.Sentences {
		fmt.Fprintln(w, wrapped(sentence))
		if i == 0 {
			fmt.Fprintln(w)
		}
	}
	fmt.Fprintln(w, "\nCare")
	for _, caution := range a.Cautions {
		fmt.Fprintln(w, wrapped(caution))
	}
	return nil
}

// wrapped breaks a sentence into lines that fit a terminal.
func wrapped(text string) string {
	lines := strings.Split(lipgloss.NewStyle().Width(100).Render(text), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}
