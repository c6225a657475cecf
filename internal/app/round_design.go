package app

import (
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/sampling"
	"underfoot/unit"
)

// Ways of choosing the greens of a round.
const (
	GreensSame       = "same"       // as in the last round: each green is compared with itself
	GreensRandom     = "random"     // any of the course
	GreensStratified = "stratified" // in proportion from greens of one grass and age
)

// RoundAsked is what is asked of a round that is to be designed; what is empty follows the last round or common practice.
type RoundAsked struct {
	Label    string
	Date     underfoot.Date
	Layers   string // as in rounds.csv
	Choice   string // of the greens; [GreensSame] where there was a round, else stratified
	Full     int    // greens in full, for random and stratified; 0 for 3
	TopOnly  int    // greens for the top layer only; -1 for none, 0 for 3
	Cores    int
	Diameter float64 // mm
	Verdure  string
	Seed     *int
}

// DesignRound fills in what is asked: the same greens, layers, cores and corer as in the last round, and where there was none,
// common practice (no source).
func (s *Standing) DesignRound(a RoundAsked) (underfoot.RoundPlan, error) {
	last, when := s.lastRound()
	plan := underfoot.RoundPlan{Course: s.Records.Course.ID, Round: a.Label, Date: a.Date, Layers: a.Layers, Verdure: a.Verdure}
	usual := sampling.DefaultRound(nil)
	if plan.Date == 0 {
		plan.Date = s.Today.Add(14)
		if when != 0 {
			plan.Date = max(plan.Date, underfoot.DateOf(when.Time().AddDate(1, 0, 0)))
		}
	}
	if plan.Round == "" {
		plan.Round = s.freeLabel(plan.Date)
	}
	if plan.Layers == "" {
		plan.Layers = layersText(last, usual)
	}
	plan.Cores = underfoot.Some(firstSet(a.Cores, most(last, func(m underfoot.Sample) (int, bool) { return m.Cores.Value, m.Cores.Known }), usual.Cores))
	plan.CoreDiameterMM = underfoot.Some(firstSet(a.Diameter, most(last, func(m underfoot.Sample) (float64, bool) { return m.CoreDiameterMM.Value, m.CoreDiameterMM.Known }), float64(usual.Diameter)))
	plan.Verdure = firstSet(plan.Verdure, most(last, func(m underfoot.Sample) (string, bool) { return m.Verdure, m.Verdure != "" }), "kept")
	plan.Seed = underfoot.Some(s.seedOf(a, plan.Date))
	if err := s.chooseGreens(&plan, a, last); err != nil {
		return plan, err
	}
	return plan, checkPlan(&plan)
}

// firstSet is the first value that is not the zero one.
func firstSet[T comparable](values ...T) T {
	var zero T
	for _, v := range values {
		if v != zero {
			return v
		}
	}
	return zero
}

// most is the value most of the samples have, the first of equals.
func most[T comparable](samples []underfoot.Sample, of func(underfoot.Sample) (T, bool)) T {
	var best T
	times, top := map[T]int{}, 0
	for _, m := range samples {
		if v, known := of(m); known {
			times[v]++
			if times[v] > top {
				best, top = v, times[v]
			}
		}
	}
	return best
}

// lastRound are the composites of the latest round, and its last day.
func (s *Standing) lastRound() (samples []underfoot.Sample, when underfoot.Date) {
	label := ""
	for i := range s.Records.Samples {
		if m := &s.Records.Samples[i]; m.Date > when {
			when, label = m.Date, m.RoundLabel()
		}
	}
	for _, m := range s.Records.Samples {
		if when != 0 && m.RoundLabel() == label {
			samples = append(samples, m)
		}
	}
	return samples, when
}

// freeLabel names a round by its year, with its month where the year is taken, and counts on from there.
func (s *Standing) freeLabel(day underfoot.Date) string {
	taken := map[string]bool{}
	for i := range s.Records.Samples {
		taken[s.Records.Samples[i].RoundLabel()] = true
	}
	for _, p := range s.Records.RoundPlans {
		taken[p.Round] = true
	}
	base := day.Time().Format("2006-01")
	for _, label := range []string{strconv.Itoa(day.Year()), base, day.String()} {
		if !taken[label] {
			return label
		}
	}
	for n := 2; ; n++ {
		if label := base + "-" + strconv.Itoa(n); !taken[label] {
			return label
		}
	}
}

// layersText are the layers of a round as rounds.csv writes them.
func layersText(samples []underfoot.Sample, usual sampling.Round) string {
	var layers []underfoot.PlannedLayer
	for _, m := range samples {
		if l := (underfoot.PlannedLayer{TopMM: m.TopMM, BottomMM: m.BottomMM}); !slices.Contains(layers, l) {
			layers = append(layers, l)
		}
	}
	if len(layers) == 0 {
		for _, l := range usual.Layers {
			layers = append(layers, underfoot.PlannedLayer{TopMM: float64(l.Top), BottomMM: float64(l.Bottom)})
		}
	}
	slices.SortFunc(layers, func(a, b underfoot.PlannedLayer) int { return int(1000 * (a.TopMM - b.TopMM)) })
	var words []string
	for _, l := range layers {
		words = append(words, underfoot.FormatNumber(l.TopMM)+"-"+underfoot.FormatNumber(l.BottomMM))
	}
	return strings.Join(words, " ")
}

// seedOf is the seed asked for, that of the last plan so that cores are taken beside the last ones, or the day of the round.
func (s *Standing) seedOf(a RoundAsked, day underfoot.Date) int {
	if a.Seed != nil {
		return *a.Seed
	}
	var last *underfoot.RoundPlan
	for i := range s.Records.RoundPlans {
		if p := &s.Records.RoundPlans[i]; p.Seed.Known && (last == nil || p.Date > last.Date) {
			last = p
		}
	}
	if last != nil {
		return last.Seed.Value
	}
	return int(day)
}

// chooseGreens names the greens of a plan.
func (s *Standing) chooseGreens(plan *underfoot.RoundPlan, a RoundAsked, last []underfoot.Sample) error {
	choice := a.Choice
	if choice == "" {
		choice = GreensSame
		if len(last) == 0 {
			choice = GreensStratified
		}
	}
	full, top := firstSet(a.Full, 3), firstSet(a.TopOnly, 3)
	top = max(top, 0)
	var groups []sampling.GreenGroup
	switch choice {
	case GreensSame:
		if len(last) == 0 {
			return fieldError("choice", "there is no round yet to take the same greens as: let them be drawn")
		}
		layers := map[string]int{}
		var order []string
		for _, m := range last {
			if layers[m.Green]++; layers[m.Green] == 1 {
				order = append(order, m.Green)
			}
		}
		one := len(strings.Fields(plan.Layers)) == 1
		for _, g := range order {
			if one || layers[g] > 1 {
				plan.FullGreens = joined(plan.FullGreens, g)
			} else {
				plan.TopGreens = joined(plan.TopGreens, g)
			}
		}
		return nil
	case GreensRandom:
		groups = []sampling.GreenGroup{{Name: "all greens", Greens: s.greenIDs()}}
	case GreensStratified:
		groups = s.greenGroups()
	default:
		return fieldError("choice", "%q: allowed are %s, %s, %s", choice, GreensSame, GreensRandom, GreensStratified)
	}
	if len(s.Greens) == 0 {
		return fieldError("full_greens", "the course has no green yet: bring its greens in first")
	}
	full = min(full, len(s.Greens))
	n := min(full+top, len(s.Greens))
	drawn, err := sampling.Choose(n, uint64(plan.Seed.Value), groups...)
	if err != nil && len(groups) > 1 { // too few for a share of each group
		drawn, err = sampling.Choose(n, uint64(plan.Seed.Value), sampling.GreenGroup{Name: "all greens", Greens: s.greenIDs()})
	}
	if err != nil {
		return fieldError("full_greens", "%v", err)
	}
	slices.SortFunc(drawn[:full], byNumber)
	slices.SortFunc(drawn[full:], byNumber)
	plan.FullGreens, plan.TopGreens = strings.Join(drawn[:full], " "), strings.Join(drawn[full:], " ")
	return nil
}

func (s *Standing) greenIDs() []string {
	var ids []string
	for _, g := range s.Greens {
		ids = append(ids, g.ID)
	}
	return ids
}

func joined(list, word string) string { return strings.TrimSpace(list + " " + word) }

// greenGroups are the greens by grass and year of building; groups of one green are put together.
func (s *Standing) greenGroups() []sampling.GreenGroup {
	by := map[string]*sampling.GreenGroup{}
	var order []string
	for _, g := range s.Greens {
		name := g.Species
		if g.BuiltYear.Known {
			name += ", built " + strconv.Itoa(g.BuiltYear.Value)
		}
		if by[name] == nil {
			by[name] = &sampling.GreenGroup{Name: name}
			order = append(order, name)
		}
		by[name].Greens = append(by[name].Greens, g.ID)
	}
	var out []sampling.GreenGroup
	rest := sampling.GreenGroup{Name: "the others"}
	for _, name := range order {
		if len(by[name].Greens) < 2 {
			rest.Greens = append(rest.Greens, by[name].Greens...)
			continue
		}
		out = append(out, *by[name])
	}
	if len(rest.Greens) > 0 {
		out = append(out, rest)
	}
	return out
}

// roundOfPlan is a plan as package sampling takes it.
func roundOfPlan(p *underfoot.RoundPlan) (sampling.Round, error) {
	usual := sampling.DefaultRound(nil)
	r := sampling.Round{
		Full: strings.Fields(p.FullGreens), TopOnly: strings.Fields(p.TopGreens), Cores: p.Cores.Or(usual.Cores),
		Diameter: unit.Millimetres(p.CoreDiameterMM.Or(float64(usual.Diameter))),
	}
	layers, err := p.LayerList()
	if err != nil {
		return r, fieldError("layers", "%v", err)
	}
	slices.SortFunc(layers, func(a, b underfoot.PlannedLayer) int { return int(1000 * (a.TopMM - b.TopMM)) })
	for _, l := range layers {
		r.Layers = append(r.Layers, sampling.Layer{Top: unit.Millimetres(l.TopMM), Bottom: unit.Millimetres(l.BottomMM)})
	}
	return r, nil
}

// checkPlan refuses what a plan cannot be.
func checkPlan(p *underfoot.RoundPlan) error {
	for _, f := range p.Check() {
		return fieldError(f.Column, "%s", f.Text)
	}
	r, err := roundOfPlan(p)
	if err != nil {
		return err
	}
	if len(r.Full)+len(r.TopOnly) == 0 {
		return fieldError("full_greens", "no green is chosen: choose at least one")
	}
	if err := r.Check(); err != nil {
		column := "layers"
		if strings.Contains(err.Error(), "corer") {
			column = "core_diameter_mm"
		} else if strings.Contains(err.Error(), "cores") {
			column = "cores"
		}
		return fieldError(column, "%v", err)
	}
	return nil
}
