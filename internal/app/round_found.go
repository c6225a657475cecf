package app

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"underfoot"
	"underfoot/sampling"
	"underfoot/unit"
)

// RoundFound is what a planned round takes, holds, costs and can see.
type RoundFound struct {
	Course     string        `json:"course"`
	Round      string        `json:"round"`
	Date       string        `json:"date"`
	Full       []string      `json:"full_greens"`
	TopOnly    []string      `json:"top_greens"`
	Cores      int           `json:"cores"`
	DiameterMM float64       `json:"core_diameter_mm"`
	Verdure    string        `json:"verdure"`
	Seed       int           `json:"seed"`
	Layers     []RoundLayer  `json:"layers"`
	Composites int           `json:"composites"`
	CoresInAll int           `json:"cores_in_all"`
	Cost       float64       `json:"cost"`
	Greens     []GreenPlaces `json:"greens"`
	Next       *RoundTiming  `json:"next,omitempty"`
	Notes      []string      `json:"notes"`

	Plan   underfoot.RoundPlan `json:"-"`
	design sampling.Round
}

// RoundLayer is one layer of a planned round; organic matter in percentage points.
type RoundLayer struct {
	TopMM     float64  `json:"top_mm"`
	BottomMM  float64  `json:"bottom_mm"`
	Greens    int      `json:"greens"`
	VolumeCm3 float64  `json:"volume_cm3"`
	Advice    string   `json:"advice"`                  // what to change about the volume, or ""
	Paired    bool     `json:"same_greens_as_last"`     // every green was in the last round of the layer
	Visible   *float64 `json:"smallest_visible_change"` // since a round like it, seen 8 times in 10
	Half      *float64 `json:"mean_half_width"`         // of the course's mean, right 9 times in 10
	Own       bool     `json:"own_scatter"`             // from this course's rounds
	Says      string   `json:"says"`
}

// Name names the layer by its depths.
func (l *RoundLayer) Name() string { return underfoot.LayerName(l.TopMM, l.BottomMM) }

// Round works out what a plan takes, holds, costs and can see.
func (s *Standing) Round(plan underfoot.RoundPlan) (*RoundFound, error) {
	if err := checkPlan(&plan); err != nil {
		return nil, err
	}
	r, err := roundOfPlan(&plan)
	if err != nil {
		return nil, err
	}
	for _, g := range r.Greens() {
		if !slices.ContainsFunc(s.Records.Greens, func(h underfoot.Green) bool { return h.ID == g }) {
			return nil, fieldError("full_greens", "green %q is not on this course", g)
		}
	}
	out := &RoundFound{
		Course: plan.Course, Round: plan.Round, Date: plan.Date.String(), Full: noNil(r.Full), TopOnly: noNil(r.TopOnly), Cores: r.Cores,
		DiameterMM: float64(r.Diameter), Verdure: plan.Verdure, Seed: plan.Seed.Or(0), Composites: r.Composites(), CoresInAll: r.Cores * len(r.Greens()),
		Plan: plan, Notes: []string{}, design: r,
	}
	if out.Cost, err = sampling.DefaultPrices().RoundCost(r); err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	for i, l := range r.Layers {
		layer, err := s.roundLayer(r, i, l)
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "round %q, %v: %w", plan.Round, l, err)
		}
		out.Layers = append(out.Layers, layer)
	}
	for i, g := range r.Greens() {
		p := s.placesOf(&plan, g)
		p.Full = i < len(r.Full)
		out.Greens = append(out.Greens, p)
	}
	out.note()
	return out, nil
}

// usualMean is the level that scatter is reckoned at for a layer nobody has measured (common practice, no source).
const usualMean unit.Percent = 3

// planning are the components of a layer, and what they are for; own says whether the course has shown any of them.
func (s *Standing) planning(l sampling.Layer) (c sampling.Components, target sampling.Target, last *Layer, own bool, err error) {
	if found := s.Layer(float64(l.Top), float64(l.Bottom)); found != nil {
		p, err := s.samplingOf(found)
		if err != nil {
			return c, 0, nil, false, err
		}
		c, err = p.components(false)
		return c, p.target, found, p.own() > 0, err
	}
	c, err = sampling.DefaultComponents(usualMean)
	return c, sampling.Target(len(s.Greens)), nil, false, err
}

func (s *Standing) roundLayer(r sampling.Round, i int, l sampling.Layer) (RoundLayer, error) {
	out := RoundLayer{
		TopMM: float64(l.Top), BottomMM: float64(l.Bottom), Greens: r.Of(i), VolumeCm3: float64(r.Volume(l)), Advice: r.VolumeAdvice(l),
	}
	c, target, last, own, err := s.planning(l)
	if err != nil || out.Greens == 0 {
		return out, err
	}
	out.Own = own
	greens := r.Greens()[:out.Greens]
	if last != nil {
		met := map[string]bool{}
		for i := range last.Rows {
			if roundOf(&last.Rows[i]) == last.Last().Round {
				met[last.Rows[i].Green] = true
			}
		}
		out.Paired = !slices.ContainsFunc(greens, func(g string) bool { return !met[g] })
	}
	d := sampling.Design{Greens: out.Greens, Cores: r.Cores, Determinations: 1, NewGreens: !out.Paired}
	if out.Greens >= 2 {
		change, err := c.Change(d)
		if err != nil {
			return out, err
		}
		visible, err := change.SmallestVisible(sampling.UsualTest())
		if err != nil {
			return out, err
		}
		mean, err := c.CourseMean(d, max(target, sampling.Target(out.Greens)))
		if err != nil {
			return out, err
		}
		half, err := mean.HalfWidth(0.9)
		if err != nil {
			return out, err
		}
		out.Visible, out.Half = finite(visible), finite(half)
	}
	out.Says = out.sentence(last != nil)
	return out, nil
}

// sentence says what the layer of this round can see.
func (l *RoundLayer) sentence(before bool) string {
	if l.Greens < 2 || l.Visible == nil {
		return l.Name() + ": one green says nothing about the course; take 2 or more."
	}
	since := "against a later round of other greens"
	switch {
	case l.Paired:
		since = "since a round like it, each green against itself"
	case before:
		since = "since the last round, for the greens are not the same"
	}
	return fmt.Sprintf("%s: with %s, a change of %s points would be seen in 8 of 10 cases %s; the course’s mean would be known to ± %s points in 9 of 10 cases.",
		l.Name(), counted(l.Greens, "green", "greens"), roundedUp(*l.Visible), since, roundedUp(*l.Half))
}

// roundedUp prints a precision so that it does not promise too much.
func roundedUp(v float64) string {
	return strconv.FormatFloat(math.Ceil(v*100-1e-9)/100, 'f', 2, 64)
}

// DefaultPrices is the note that a cost rests on no prices of the course’s own.
const DefaultPrices = "Cost is at default prices (common practice, no source); underfoot round and underfoot power take your own."

// PriceAt works the cost out at other prices than the default ones.
func (f *RoundFound) PriceAt(p sampling.Prices) error {
	cost, err := p.RoundCost(f.design)
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	f.Cost = cost
	if p != sampling.DefaultPrices() {
		f.Notes = slices.DeleteFunc(f.Notes, func(n string) bool { return n == DefaultPrices })
	}
	return nil
}

// note says what the answer rests on.
func (f *RoundFound) note() {
	own := slices.ContainsFunc(f.Layers, func(l RoundLayer) bool { return l.Own })
	all := !slices.ContainsFunc(f.Layers, func(l RoundLayer) bool { return !l.Own })
	switch {
	case !own:
		f.Notes = append(f.Notes, "What can be seen rests on default scatter (common practice, no source): this course may differ by half or double.")
	case !all:
		f.Notes = append(f.Notes, "For layers this course has not measured yet, what can be seen rests on default scatter at a mean of 3 % (common practice, no source).")
	}
	f.Notes = append(f.Notes, DefaultPrices)
	if f.Cores < 5 {
		f.Notes = append(f.Notes, "Common practice, no source, is 5 cores a green or more: single cores scatter by a third of the mean.")
	}
	if len(f.Full) < 3 {
		f.Notes = append(f.Notes, "Common practice, no source, is at least 3 greens for every layer, and 3 more for the top layer only.")
	}
}
