package balance_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/balance"
)

// stood is a layer that stood still for two years under 8 kg/m² of sand a year, as n draws of which each has its own
// growth and its own share of organic matter in what sinks out.
func stood(n int) balance.Modelled {
	rng := rand.New(rand.NewPCG(7, 7))
	m := balance.Modelled{Bottom: 20, From: autumn(2020), To: autumn(2022), Years: 2}
	for range n {
		r := 0.06 * math.Exp(0.1*rng.NormFloat64())
		const sand, decayed, core = 16.0, 0.5, 0.04
		sunk := sand - core/r
		m.Made = append(m.Made, sunk*r+decayed+core)
		m.Decayed = append(m.Decayed, decayed)
		m.OrganicRemoved, m.MineralRemoved = append(m.OrganicRemoved, core), append(m.MineralRemoved, core/r)
		m.OrganicEntered, m.MineralEntered = append(m.OrganicEntered, 0), append(m.MineralEntered, 0)
		m.OrganicLeft, m.MineralLeft = append(m.OrganicLeft, sunk*r), append(m.MineralLeft, sunk)
		m.Organic, m.Mineral = append(m.Organic, 1.5), append(m.Mineral, 25)
		m.Written = append(m.Written, 1)
	}
	return m
}

func sheet(t *testing.T) balance.Sheet {
	t.Helper()
	h := balance.History{Draws: 200}
	for y := 2020; y <= 2022; y++ {
		h.Rounds = append(h.Rounds, steady(y, 0.055, 1300))
		if y > 2020 {
			h.Sand = append(h.Sand, balance.Sand{At: autumn(y).AddDate(0, -3, 0), Amount: 8})
		}
	}
	s, err := balance.Of(h)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A layer that stood still is told the sand it got in every draw, whatever sank out of it; only the years to come add doubt.
func TestModelOfALayerThatStoodStill(t *testing.T) {
	m := stood(400)
	s, err := sheet(t).WithModel([]balance.Modelled{m})
	if err != nil {
		t.Fatal(err)
	}
	h := s.Layers[0]
	var formed float64
	for i := range m.Made {
		formed += (m.Made[i] - m.Decayed[i]) / 2 / float64(len(m.Made))
	}
	if h.Basis != balance.ByModel || math.Abs(h.Formed.Mean-formed) > 1e-12 {
		t.Errorf("%s: formed %.6f by %s, want %.6f by the model", h.Name(), h.Formed.Mean, h.Basis, formed)
	}
	if math.Abs(h.Hold.Value-8) > 0.1 || math.Abs(h.Hold.Q50-8) > 0.15 {
		t.Errorf("sand to hold %.3f, middle %.3f, want 8", h.Hold.Value, h.Hold.Q50)
	}
	if b := h.HoldBudget; len(b) != 2 || b[0].Origin != balance.FromGrowth || b[1].SE > 0.3*b[0].SE {
		t.Errorf("the doubt of the sand that holds is %v: it has to be all of years to come", b)
	}
	if h.Check == nil || h.Check.Formed != sheet(t).Layers[0].Formed || h.Check.Hold != sheet(t).Layers[0].Hold {
		t.Errorf("the answer of the rounds is not kept beside: %+v", h.Check)
	}
	if h.Applied != sheet(t).Layers[0].Applied {
		t.Error("the sand applied is not as recorded")
	}
	if rest := s.Layers[1]; rest.Basis != balance.ByRounds || rest.Check != nil {
		t.Errorf("a layer without a model is by %s", rest.Basis)
	}
}

// Where a quarter more sand lies on the greens than was written down, holding takes a fifth less in the words of the log.
func TestModelSpeaksInTheWordsOfTheLog(t *testing.T) {
	m := stood(400)
	as, err := sheet(t).WithModel([]balance.Modelled{m})
	if err != nil {
		t.Fatal(err)
	}
	m.Written = slices.Repeat([]float64{1.25}, len(m.Written))
	more, err := sheet(t).WithModel([]balance.Modelled{m})
	if err != nil {
		t.Fatal(err)
	}
	was, err := as.Layers[0].Toward(0.85, 2)
	if err != nil {
		t.Fatal(err)
	}
	is, err := more.Layers[0].Toward(0.85, 2)
	if err != nil {
		t.Fatal(err)
	}
	for name, pair := range map[string][2]balance.Estimate{"hold": {as.Layers[0].Hold, more.Layers[0].Hold}, "lower": {was, is}} {
		if math.Abs(pair[0].Q50/pair[1].Q50-1.25) > 1e-9 {
			t.Errorf("%s: %.4f became %.4f, want it over 1.25", name, pair[0].Q50, pair[1].Q50)
		}
	}
}

// Where the model was run on, the sand found is the sand said, and going lower takes more of it.
func TestModelRunOn(t *testing.T) {
	m := stood(400)
	rng := rand.New(rand.NewPCG(8, 8))
	for range m.Made {
		m.Hold = append(m.Hold, 10+rng.NormFloat64())
	}
	m.Hold[0] = math.NaN()
	s, err := sheet(t).WithModel([]balance.Modelled{m})
	if err != nil {
		t.Fatal(err)
	}
	h := s.Layers[0]
	if math.Abs(h.Hold.Q50-10) > 0.15 || math.Abs(h.Hold.Value-10) > 0.15 || h.Hold.SD < 1 || h.Hold.SD > 1.5 {
		t.Errorf("sand to hold %.3f, value %.3f ± %.3f; found 10 ± 1 and years that differ", h.Hold.Q50, h.Hold.Value, h.Hold.SD)
	}
	lower, err := h.Toward(0.85, 2)
	if err != nil {
		t.Fatal(err)
	}
	if lower.Q50 <= h.Hold.Q50 || h.HoldBudget[0].Origin != balance.FromAhead || h.HoldBudget[1].Origin != balance.FromGrowth {
		t.Errorf("lower takes %.2f, holding %.2f; doubt %v", lower.Q50, h.Hold.Q50, h.HoldBudget)
	}
}

// Two answers with nothing in common are said to be so, once.
func TestModelAndRoundsApart(t *testing.T) {
	m := stood(200)
	for i := range m.Made {
		m.Made[i] += 5
	}
	s, err := sheet(t).WithModel([]balance.Modelled{m})
	if err != nil {
		t.Fatal(err)
	}
	if h := s.Layers[0]; h.Check.Apart == "" || !slices.Contains(s.Warnings, h.Check.Apart) {
		t.Errorf("formed %.2f to %.2f and by the rounds %.2f to %.2f: said %q", h.Formed.Q05, h.Formed.Q95, h.Check.Formed.Q05, h.Check.Formed.Q95, h.Check.Apart)
	}
}

func TestBadModelsAreRefused(t *testing.T) {
	few, uneven := stood(3), stood(50)
	uneven.Decayed = uneven.Decayed[1:]
	for want, m := range map[string]balance.Modelled{
		"balance: a model of 0–20 mm has 3 draws over 2 years: give 10 draws or more, and some time": few,
		"balance: a model of 0–20 mm has 50 draws of one thing and 49 of another":                    uneven,
	} {
		_, err := sheet(t).WithModel([]balance.Modelled{m})
		if err == nil {
			t.Errorf("%s: taken", want)
		} else if d := cmp.Diff(want, err.Error()); d != "" {
			t.Error(d)
		}
	}
}
