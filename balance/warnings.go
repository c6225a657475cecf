package balance

import (
	"fmt"
	"math"
	"time"
)

// From where on a sheet speaks up; working defaults, no source.
const (
	leastYears    = 0.5  // an account over less time than this is not given
	shortYears    = 0.75 // an interval shorter than this is coloured by its season
	offSeasonDays = 60   // rounds this far apart in the year compare different seasons
	muchScatter   = 1.5  // times the stated uncertainty
)

// warnings says what weakens the answer.
func (m *model) warnings(layers []Holding, value *state) []string {
	var out []string
	for k, h := range layers {
		if !h.Answered() {
			continue
		}
		if m.edges[k].from == alone {
			out = append(out, fmt.Sprintf("%s: only this layer was measured, so what sinks out of it is taken to be like it; a layer below would make this surer", h.Name()))
		}
		for i, a := range h.Accounts {
			if a.LeftMineral.Value > value.mineral[m.tracks[k].rounds[i]][k] {
				out = append(out, fmt.Sprintf("%s, %s to %s: more sand passed through than the layer holds; the account rests on what sank through unseen", h.Name(), a.FromRound, a.ToRound))
			}
		}
		if h.Scatter > muchScatter {
			out = append(out, fmt.Sprintf("%s: the rounds scatter %.1f times more than the stated uncertainties allow; intervals are widened by that much", h.Name(), h.Scatter))
		}
		if h.OutsideWorkingRange() {
			out = append(out, fmt.Sprintf("%s: the organic matter formed lies outside the working range of %g to %g kg/m² a year (a working default, no source): check the record of sand and the densities", h.Name(), WorkingLow, WorkingHigh))
		}
	}
	return append(out, m.timing()...)
}

// timing warns of intervals that show the season more than the years, and of intervals without any sand.
func (m *model) timing() []string {
	var out []string
	for j := 0; j+1 < len(m.rounds); j++ {
		a, b := m.rounds[j], m.rounds[j+1]
		years := b.years - a.years
		apart := math.Abs(math.Remainder(years, 1)) * 365.25
		switch {
		case years < shortYears:
			out = append(out, fmt.Sprintf("the time from %s to %s is only %.1f years: growth in it shows the season more than the year", spoken(a.at), spoken(b.at), years))
		case apart > offSeasonDays:
			out = append(out, fmt.Sprintf("the rounds of %s and %s fall %.0f days apart in the year: part of the change is the season", spoken(a.at), spoken(b.at), apart))
		}
		if len(m.steps[j].years) == 0 && len(m.steps[j].placed) == 0 {
			out = append(out, fmt.Sprintf("no sand is recorded from %s to %s: if some was put on, enter it, for the account takes it as none", spoken(a.at), spoken(b.at)))
		}
	}
	return out
}

// spoken is a day as people write it in a sentence.
func spoken(t time.Time) string { return t.Format("2 Jan 2006") }
