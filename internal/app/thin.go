package app

import (
	"fmt"

	"underfoot"
	"underfoot/calibrate"
)

// thin says where the record is so thin, or reads so oddly, that the model's answer hangs on how it was taken.
func (s *Standing) thin(r *recordSet) []string {
	var notes []string
	rounds := map[string]bool{}
	for _, m := range r.course.Measured {
		rounds[m.Round] = true
	}
	if len(rounds) == 1 {
		notes = append(notes, "only one round has been measured: how fast organic matter builds up is not decided by it, and the intervals are wide")
	}
	var done, early, overdue, deep int
	var deepest underfoot.Work
	for _, w := range s.Records.Work {
		switch {
		case w.Planned() && int(w.Date) > r.course.Last() && w.Date <= s.AsOf:
			overdue++
		case w.Planned():
		case int(w.Date) < r.course.Start:
			done, early = done+1, early+1
		default:
			done++
		}
		if w.DepthMM.Or(0) > r.course.Settings.Depth {
			deep++
			if w.DepthMM.Value > deepest.DepthMM.Or(0) {
				deepest = w
			}
		}
	}
	if done == 0 {
		notes = append(notes, "no work is logged: the model takes it that none was done; log the sand, coring and nitrogen of the past for a forecast of this course")
	}
	if early > 0 {
		notes = append(notes, fmt.Sprintf("%s from before %s, when the model begins: what that work did is in the first round",
			counted(early, "entry of the log is", "entries of the log are"), underfoot.Date(r.course.Start)))
	}
	if overdue > 0 {
		notes = append(notes, fmt.Sprintf("%s for days gone by since the last sample: the model takes that work as done; mark what was done",
			counted(overdue, "entry of the log is planned", "entries of the log are planned")))
	}
	if deep > 0 {
		notes = append(notes, fmt.Sprintf("%s deeper than the model’s column of %g mm, at most %g mm (work %s of %s): only what they do within the column counts",
			counted(deep, "entry of the log goes", "entries of the log go"), r.course.Settings.Depth, deepest.DepthMM.Value, deepest.ID, deepest.Date))
	}
	return notes
}

// reached refuses layers that lie below all that was ever sampled: there the answer would be the model's beginning and no
// more.
func (m *Model) reached(layers []calibrate.Layer) error {
	var deepest float64
	for _, l := range m.Fit.Layers {
		deepest = max(deepest, l.Bottom)
	}
	for _, l := range layers {
		if !(l.Top >= 0 && l.Bottom > l.Top) {
			return underfoot.Errorf(underfoot.Invalid, "forecast: layer %g–%g mm: the second depth has to be deeper than the first", l.Top, l.Bottom)
		}
		if l.Bottom > deepest {
			return underfoot.Errorf(underfoot.Invalid, "forecast: layer %s was never sampled: the rounds reach down to %g mm; ask for a layer within them, or sample deeper", underfoot.LayerName(l.Top, l.Bottom), deepest)
		}
	}
	return nil
}
