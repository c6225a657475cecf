package report

import "underfoot/internal/app"

type leverNumbers = app.Levers

// Levers says what one more of each kind of work would do; the sentence says why there is nothing to say.
func (p Profile) Levers() (*Levers, string) {
	l, err := p.o.Model.Levers()
	if err != nil {
		return nil, sentence(err.Error())
	}
	return &Levers{p, l}, ""
}
