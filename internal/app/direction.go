package app

import (
	"math"

	"underfoot"
	"underfoot/findings"
)

// directionOf judges what the surface asks for from a course's readings, wanted bands and stated judgements.
func directionOf(rs *underfoot.Records, ours map[string]bool, asOf, today underfoot.Date) (findings.Direction, error) {
	readings, targets := readingsOf(rs, ours)
	return findings.Judge(readings, targets, stated(standingRecord(rs.Judgements, today)), asOf.Time().AddDate(0, 0, 1))
}

// readingsOf gives the readings of the greens and of the course as a whole, and the bands that are wanted.
func readingsOf(rs *underfoot.Records, ours map[string]bool) ([]findings.Reading, []findings.Target) {
	var readings []findings.Reading
	for _, r := range rs.Readings {
		if r.Green != "" && !ours[r.Green] {
			continue
		}
		readings = append(readings, findings.Reading{Green: r.Green, Date: r.Date.Time(), Kind: findings.Kind(r.Kind), Value: r.Value})
	}
	var targets []findings.Target
	for _, t := range rs.Targets {
		if !t.Low.Known && !t.High.Known {
			continue // nothing is wanted of it
		}
		f := findings.Target{Kind: findings.Kind(t.Kind), Low: t.Low.Or(math.Inf(-1)), High: t.High.Or(math.Inf(1))}
		if t.FromMonth.Known || t.ToMonth.Known {
			f.FromMonth, f.ToMonth = t.FromMonth.Or(1), t.ToMonth.Or(12)
		}
		targets = append(targets, f)
	}
	return readings, targets
}

// standingRecord returns the latest judgement that has not been withdrawn, or nil.
func standingRecord(list []underfoot.Judgement, today underfoot.Date) *underfoot.Judgement {
	last := -1
	for i, j := range list {
		if j.Date <= today+1 && (last < 0 || j.Date >= list[last].Date) {
			last = i
		}
	}
	if last < 0 || list[last].Direction == "withdrawn" {
		return nil
	}
	return &list[last]
}

func stated(j *underfoot.Judgement) *findings.Judgement {
	if j == nil {
		return nil
	}
	return &findings.Judgement{Verdict: findings.Verdict(j.Direction), Reason: j.Reason, Date: j.Date.Time()}
}

// directionFound is the direction with all its reasons.
func (s *Standing) directionFound() DirectionFound {
	d := s.Direction
	d.Because = s.Reasons()
	return directionFound(d)
}

func directionFound(d findings.Direction) DirectionFound {
	out := DirectionFound{Verdict: string(d.Verdict), DecidedBy: d.DecidedBy, Because: noNil(d.Because), Kinds: []KindFinding{}}
	for _, k := range d.Kinds {
		found := KindFinding{
			Kind: string(k.Kind), Season: k.Season, Mean: finite(k.Mean), SE: finite(k.SE), DF: k.DF, Lower90: finite(k.Low90), Upper90: finite(k.High90),
			Low: finite(k.Low), High: finite(k.High), PBelow: k.PBelow, PWithin: k.PWithin, PAbove: k.PAbove, Days: k.Days,
			Greens: k.Greens, Wave: k.Wave, Below: k.GreensBelow, Above: k.GreensAbove,
		}
		if k.Greens > 0 {
			found.GreenSD, found.DaySD = finite(k.GreenSD), finite(k.DaySD)
		}
		out.Kinds = append(out.Kinds, found)
	}
	if d.Verdict != findings.Unknown && d.DecidedBy != "judgement" {
		out.Probability = finite(d.Probability)
	}
	out.Readings.Verdict = string(d.FromReadings)
	out.Readings.PLower, out.Readings.PHold, out.Readings.PRaise = d.PLower, d.PHold, d.PRaise
	return out
}
