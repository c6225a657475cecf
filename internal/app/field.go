package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/label"
)

// FieldRound is a round as its papers show it: the composites that were taken, and those that are still to be.
type FieldRound struct {
	Label      string
	Date       underfoot.Date     // the first day of the round; 0 when none is set yet
	Planned    bool               // nothing of it is on record yet
	Composites []underfoot.Sample // by green in walking order, then by depth

	records *underfoot.Records
}

// FieldRounds are the rounds of a course that papers can be printed for, the latest first.
func FieldRounds(rs *underfoot.Records) []FieldRound {
	by := map[string]*FieldRound{}
	var out []*FieldRound
	of := func(name string) *FieldRound {
		if by[name] == nil {
			by[name] = &FieldRound{Label: name, Planned: true, records: rs}
			out = append(out, by[name])
		}
		return by[name]
	}
	for _, s := range rs.Samples {
		r := of(s.RoundLabel())
		r.Composites = append(r.Composites, s)
		if r.Date == 0 || s.Date < r.Date {
			r.Date = s.Date
		}
		r.Planned = false
	}
	for _, p := range rs.RoundPlans {
		r := of(p.Round)
		if r.Date == 0 {
			r.Date = p.Date
		}
		for _, s := range PlannedComposites(rs, p) {
			if !r.has(s) {
				r.Composites = append(r.Composites, s)
			}
		}
	}
	rounds := make([]FieldRound, len(out))
	for i, r := range out {
		r.walk()
		rounds[i] = *r
	}
	slices.SortStableFunc(rounds, func(a, b FieldRound) int {
		return cmp.Or(cmp.Compare(b.Date, a.Date), strings.Compare(a.Label, b.Label))
	})
	return rounds
}

// FieldRoundOf finds a round by its label; the latest, which may be planned, for an empty one.
func FieldRoundOf(rs *underfoot.Records, name string) (*FieldRound, error) {
	rounds := FieldRounds(rs)
	if len(rounds) == 0 {
		return nil, underfoot.Errorf(underfoot.NotFound, "course %q has no round yet, neither taken nor planned: plan one in rounds.csv or on the page of the rounds", rs.Course.ID)
	}
	if name == "" {
		return &rounds[0], nil
	}
	var have []string
	for i := range rounds {
		if rounds[i].Label == name {
			return &rounds[i], nil
		}
		have = append(have, rounds[i].Label)
	}
	if len(have) > 12 {
		have = append(have[:12], "…")
	}
	return nil, underfoot.Errorf(underfoot.NotFound, "course %q has no round %q: there are %s", rs.Course.ID, name, strings.Join(have, ", "))
}

func (r *FieldRound) has(s underfoot.Sample) bool {
	return slices.ContainsFunc(r.Composites, func(t underfoot.Sample) bool {
		return t.ID == s.ID || (t.Green == s.Green && t.TopMM == s.TopMM && t.BottomMM == s.BottomMM)
	})
}

// walk puts the composites in the order in which they are taken: from green to green as they are numbered, and down.
func (r *FieldRound) walk() {
	names := map[string]string{}
	for _, g := range r.records.Greens {
		names[g.ID] = g.Title()
	}
	slices.SortStableFunc(r.Composites, func(a, b underfoot.Sample) int {
		return cmp.Or(byNumber(names[a.Green], names[b.Green]), byNumber(a.Green, b.Green), cmp.Compare(a.TopMM, b.TopMM),
			cmp.Compare(a.BottomMM, b.BottomMM), strings.Compare(a.ID, b.ID))
	})
}

// byNumber compares names as people order them: "Green 2" before "Green 10".
func byNumber(a, b string) int {
	for a != "" && b != "" {
		na, ra := leadingNumber(a)
		nb, rb := leadingNumber(b)
		if na != "" && nb != "" {
			if c := cmp.Or(cmp.Compare(len(na), len(nb)), strings.Compare(na, nb)); c != 0 {
				return c
			}
			a, b = ra, rb
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

// leadingNumber cuts the digits off the front of a name, without noughts before them.
func leadingNumber(s string) (digits, rest string) {
	rest = strings.TrimLeft(s, "0123456789")
	if digits = s[:len(s)-len(rest)]; digits == "" {
		return "", s
	}
	if digits = strings.TrimLeft(digits, "0"); digits == "" {
		digits = "0"
	}
	return digits, rest
}

// Bags are the labels of the round’s composites.
func (r *FieldRound) Bags() []label.Bag {
	names := r.greenNames()
	var out []label.Bag
	for _, s := range r.Composites {
		b := label.Bag{
			Sample: s.ID, Green: names[s.Green], Layer: s.Layer(), Course: r.records.Course.Title(), Round: r.Label,
		}
		if s.Date != 0 {
			b.Date = s.Date.String()
		}
		if s.Cores.Known {
			b.Cores = counted(s.Cores.Value, "core", "cores")
		}
		out = append(out, b)
	}
	return out
}

func (r *FieldRound) greenNames() map[string]string {
	names := map[string]string{}
	for _, s := range r.Composites {
		names[s.Green] = s.Green
	}
	for _, g := range r.records.Greens {
		names[g.ID] = g.Title()
	}
	return names
}

// PlannedComposites are the composites a planned round asks for, as they will be on record once they are taken.
func PlannedComposites(rs *underfoot.Records, p underfoot.RoundPlan) []underfoot.Sample {
	layers, err := p.LayerList()
	if err != nil {
		return nil // the records’ own check says what is wrong
	}
	slices.SortFunc(layers, func(a, b underfoot.PlannedLayer) int { return cmp.Compare(a.TopMM, b.TopMM) })
	var out []underfoot.Sample
	add := func(green string, layers []underfoot.PlannedLayer) {
		if !slices.ContainsFunc(rs.Greens, func(g underfoot.Green) bool { return g.ID == green }) {
			return
		}
		for _, l := range layers {
			s := underfoot.Sample{
				Course: rs.Course.ID, Green: green, Round: p.Round, Date: p.Date, TopMM: l.TopMM, BottomMM: l.BottomMM, Cores: p.Cores,
				CoreDiameterMM: p.CoreDiameterMM, Verdure: p.Verdure,
			}
			s.ID = compositeName(s)
			if !slices.ContainsFunc(out, func(o underfoot.Sample) bool { return o.ID == s.ID }) {
				out = append(out, s)
			}
		}
	}
	for _, g := range strings.Fields(p.FullGreens) {
		add(g, layers)
	}
	for _, g := range strings.Fields(p.TopGreens) {
		add(g, layers[:1])
	}
	return out
}

// compositeName names a composite by where it is from: course, round, green and depths.
func compositeName(s underfoot.Sample) string {
	parts := []string{s.Course, s.Round, s.Green, underfoot.FormatNumber(s.TopMM), underfoot.FormatNumber(s.BottomMM)}
	return strings.Join(strings.Fields(strings.Join(parts, "-")), "-")
}

// facts are what holds for every green of the round.
func (r *FieldRound) facts() []label.Fact {
	var out []label.Fact
	if text := common(r.Composites, func(s underfoot.Sample) string {
		if !s.Cores.Known {
			return ""
		}
		return counted(s.Cores.Value, "core", "cores") + " in each bag"
	}); text != "" {
		out = append(out, label.Fact{Name: "Cores", Value: text})
	}
	if text := common(r.Composites, func(s underfoot.Sample) string {
		if !s.CoreDiameterMM.Known {
			return ""
		}
		return fmt.Sprintf("%s mm inside", underfoot.FormatNumber(s.CoreDiameterMM.Value))
	}); text != "" {
		out = append(out, label.Fact{Name: "Corer", Value: text})
	}
	if text := common(r.Composites, func(s underfoot.Sample) string { return s.Verdure }); text != "" {
		out = append(out, label.Fact{Name: "Verdure", Value: text})
	}
	return out
}

// common is what all composites say, or "differs".
func common(list []underfoot.Sample, f func(underfoot.Sample) string) string {
	if len(list) == 0 {
		return ""
	}
	first := f(list[0])
	for _, s := range list[1:] {
		if f(s) != first {
			return "differs from bag to bag: see the labels"
		}
	}
	return first
}

// PaperOf is the paper that is usual where a course is: US Letter in North America, A4 elsewhere (common practice, no source).
func PaperOf(c *underfoot.Course) label.Paper {
	switch strings.ToLower(strings.TrimSpace(c.Country)) {
	case "us", "usa", "united states", "united states of america", "ca", "can", "canada", "mx", "mexico":
		return label.Letter
	}
	return label.A4
}

// About is what the PDF of a round says of itself: kind is "Bag labels" or "Field sheet".
func (r *FieldRound) About(kind, version string, when time.Time) label.About {
	return label.About{
		Title: kind + ", " + r.records.Course.Title() + ", round " + r.Label, Subject: kind + " of a sampling round", When: when, Version: version,
	}
}

// Only keeps the composites that are named; all of them without a name.
func (r *FieldRound) Only(samples []string) error {
	if len(samples) == 0 {
		return nil
	}
	var kept []underfoot.Sample
	for _, name := range samples {
		i := slices.IndexFunc(r.Composites, func(s underfoot.Sample) bool { return s.ID == name })
		if i < 0 {
			return underfoot.Errorf(underfoot.NotFound, "round %q has no composite %q", r.Label, name)
		}
		kept = append(kept, r.Composites[i])
	}
	r.Composites = kept
	r.walk()
	return nil
}
