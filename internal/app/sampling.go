package app

import (
	"math"
	"slices"

	"underfoot"
	"underfoot/sampling"
)

// assurance is how surely a figure with its doubt is not too small: the scatter it rests on stays below what is taken in 9 of
// 10 cases (common practice, no source).
const assurance = 0.9

// PowerPart is one component of the scatter of a layer, and where it comes from.
type PowerPart struct {
	Name string  `json:"name"`
	SD   float64 `json:"sd"`
	Unit string  `json:"unit"`
	Own  bool    `json:"own"`  // from this course's rounds
	From string  `json:"from"` // in words
	df   float64 // behind an own one; 0 not known
}

// layerSampling is what planning needs to know of a layer.
type layerSampling struct {
	layer    *Layer
	onCourse int
	target   sampling.Target
	parts    []PowerPart
	origin   float64
	design   sampling.Design // as in the last round
}

// samplingOf turns a layer of a standing into components and the design in use. Core scatter, scatter of rounds, between
// greens and of the bench come from the course's own fit where it has them; the rest from the defaults of package
// sampling at the level of the last round.
func (s *Standing) samplingOf(l *Layer) (layerSampling, error) {
	out := layerSampling{layer: l, onCourse: len(s.Greens)}
	out.design = sampling.DefaultDesign(out.onCourse)
	out.design.Greens, out.design.Cores = l.Last().N, coresOf(l, out.design.Cores)
	out.onCourse = max(out.onCourse, out.design.Greens)
	out.design.OnCourse = out.onCourse
	out.target = sampling.Target(out.onCourse)
	usual, err := sampling.DefaultComponents(max(l.Last().Mean, 0.1))
	if err != nil {
		return out, err
	}
	out.parts = parts(l, usual)
	var sum float64
	for _, r := range l.Rounds {
		sum += underfoot.DateOf(r.Date).Decimal()
	}
	out.origin = sum / float64(len(l.Rounds))
	return out, nil
}

// coresOf is the middle number of cores a green in the last round, or the default where none is on record.
func coresOf(l *Layer, usual int) int {
	var cores []float64
	for i := range l.Rows {
		if r := &l.Rows[i]; r.Of.Cores.Known && roundOf(r) == l.Last().Round {
			cores = append(cores, float64(r.Of.Cores.Value))
		}
	}
	if len(cores) == 0 {
		return usual
	}
	return max(1, int(math.Round(median(cores))))
}

func roundOf(r *BenchRow) string {
	if r.Round != "" {
		return r.Round
	}
	return r.Of.Date.String()
}

// fewRounds is how many rounds cannot show that rounds do not scatter: a fit that finds none is then not believed (common
// practice, no source).
const fewRounds = 7

// noScatter is a standard deviation that counts as none [points]: a tenth of what two decimals leave out.
const noScatter = 0.0003

const (
	partCore = iota
	partGreen
	partRound
	partGreenTime
	partSlope
	partBench
)

// parts lists the components of a layer in the order of the constants above.
func parts(l *Layer, usual sampling.Components) []PowerPart {
	t, rounds := l.Trend, len(l.Rounds)
	const points = "points"
	byDefault := func(name string, variance float64, unit string) PowerPart {
		return PowerPart{Name: name, SD: math.Sqrt(variance), Unit: unit, From: "default"}
	}
	out := []PowerPart{
		partCore:      byDefault("single cores of one green", usual.Core, points),
		partGreen:     byDefault("between greens", usual.Green, points),
		partRound:     byDefault("rounds, all greens alike", usual.Round, points),
		partGreenTime: byDefault("one green about its own line", usual.GreenTime, points),
		partSlope:     byDefault("between the slopes of greens", usual.GreenSlope, "points a year"),
		partBench:     byDefault("bench, one composite", usual.Laboratory, points),
	}
	own := func(i int, sd, df float64, from string) {
		out[i].SD, out[i].Own, out[i].From = sd, true, from
		if df != 0 {
			out[i].df = max(1, df)
		}
	}
	over := "this course, " + counted(rounds, "round", "rounds")
	if t.Estimated && t.DF > 0 && t.CoreSD > 0 {
		cells := 0
		for _, r := range l.Rounds {
			cells += r.N
		}
		own(partCore, t.CoreSD, max(1, float64(cells-t.Greens-rounds+1)), over)
		own(partGreenTime, 0, 0, "in the scatter of cores, from which the rounds do not tell it")
		switch {
		case t.RoundSD >= noScatter:
			own(partRound, t.RoundSD, float64(rounds-2), over)
		case rounds >= fewRounds:
			own(partRound, 0, float64(rounds-2), over+": none seen")
		default:
			out[partRound].From = "default: none was seen, which " + counted(rounds, "round", "rounds") + " cannot show"
		}
	}
	switch {
	case !l.Even.Known:
	case l.Even.SD < noScatter && rounds < fewRounds:
		out[partGreen].From = "default: none was seen, which " + counted(rounds, "round", "rounds") + " cannot show"
	default:
		own(partGreen, float64(l.Even.SD), float64(len(l.Even.Greens)-1), over)
	}
	if u, ok := benchSD(l); ok {
		own(partBench, u, 0, "this course’s bench")
	}
	return out
}

// benchSD is the quadratic mean of what the bench says of its own doubt, over the composites that have one [points].
func benchSD(l *Layer) (float64, bool) {
	var sum, n float64
	for i := range l.Rows {
		if u := float64(observation(l.Rows[i]).U); u > 0 {
			sum, n = sum+u*u, n+1
		}
	}
	return math.Sqrt(sum / max(n, 1)), n > 0
}

// components are those of the parts; with cautious set, each own one as large as it may be with the assurance.
func (p layerSampling) components(cautious bool) (sampling.Components, error) {
	v := make([]float64, len(p.parts))
	for i, part := range p.parts {
		v[i] = part.SD * part.SD
		if cautious && part.Own && part.df > 0 {
			var err error
			if v[i], err = sampling.Cautious(v[i], part.df, assurance); err != nil {
				return sampling.Components{}, err
			}
		}
	}
	return sampling.Components{
		Core: v[partCore], Green: v[partGreen], Round: v[partRound], GreenTime: v[partGreenTime], GreenSlope: v[partSlope], Laboratory: v[partBench],
		Origin: p.origin,
	}, nil
}

// doubted says whether any component is known with a doubt that can be told.
func (p layerSampling) doubted() bool {
	return slices.ContainsFunc(p.parts, func(part PowerPart) bool { return part.Own && part.df > 0 && part.SD > 0 })
}

// own counts the components that are the course's own; at least one is then known not to be a default.
func (p layerSampling) own() int {
	n := 0
	for i, part := range p.parts {
		if part.Own && i != partGreenTime {
			n++
		}
	}
	return n
}

// record is who was sampled when in the layer.
func (p layerSampling) record() []sampling.Composite {
	var out []sampling.Composite
	for i := range p.layer.Rows {
		r := &p.layer.Rows[i]
		out = append(out, sampling.Composite{Green: r.Green, Round: roundOf(r), Year: r.Of.Date.Decimal(), Cores: max(1, r.Of.Cores.Or(p.design.Cores)), Determinations: 1})
	}
	return out
}

// next is a round like the last, a year after it, or today where that is later.
func (p layerSampling) next(today underfoot.Date) sampling.Planned {
	last := p.layer.Last()
	seen := map[string]bool{}
	out := sampling.Planned{Cores: p.design.Cores, Determinations: 1}
	for i := range p.layer.Rows {
		if r := &p.layer.Rows[i]; roundOf(r) == last.Round && !seen[r.Green] {
			seen[r.Green] = true
			out.Greens = append(out.Greens, r.Green)
		}
	}
	out.Year = max(underfoot.DateOf(last.Date).Decimal()+1, today.Decimal())
	return out
}
