package findings

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/unit"
)

// slope makes a change with a 90 % interval of ±half.
func slope(perYear, half float64) MaterialChange {
	c := MaterialChange{Known: true, PerYear: perYear, SE: half / quantile(0.95, 0), Rounds: 5, Verdict: NoChange}
	return c.conclude()
}

func TestSentenceOfTheTwoViews(t *testing.T) {
	two := slope(-2, 0.5)
	two.Assumed = true
	none := MaterialChange{}
	for _, c := range []struct {
		name string
		band MaterialBand
		last MaterialRound
		want string
	}{
		{
			"dressed: less at fixed depth, the material steady",
			MaterialBand{Fixed: slope(-0.4, 0.2), Change: slope(-0.1, 0.2)},
			MaterialRound{TopMM: 21, BottomMM: 40.6, SandMM: 21},
			"At fixed depth 0–20 mm lost 0.40 points a year (0.20 to 0.60), but the material that lay there shows no change that this sampling could see (−0.30 to +0.10 points a year): 21 mm of sand moved it down to 21–41 mm, and what took its place holds less organic matter.",
		},
		{
			"opposite signs",
			MaterialBand{Fixed: slope(0.5, 0.2), Change: slope(-0.3, 0.1)},
			MaterialRound{TopMM: 8, BottomMM: 28, SandMM: 8.25},
			"At fixed depth 0–20 mm gained 0.50 points a year (0.30 to 0.70), but the material that lay there lost 0.30 points a year (0.20 to 0.40): 8.2 mm of sand moved it down to 8–28 mm, and what took its place holds more organic matter.",
		},
		{
			"the same change in both",
			MaterialBand{Fixed: slope(-0.31, 0.2), Change: slope(-0.3, 0.1)},
			MaterialRound{TopMM: 8, BottomMM: 28, SandMM: 8, removedIn: true, opened: true},
			"At fixed depth 0–20 mm lost 0.31 points a year (0.11 to 0.51), and the material that lay there lost 0.30 points a year (0.20 to 0.40): 8.0 mm of sand and coring moved it down to 8–28 mm, and what took its place holds about as much organic matter.",
		},
		{
			"cannot tell",
			MaterialBand{Fixed: slope(-0.3, 0.6), Change: slope(0.2, 0.9)},
			MaterialRound{TopMM: 8, BottomMM: 28, SandMM: 8},
			"At fixed depth 0–20 mm shows no change that this sampling could see (−0.90 to +0.30 points a year), and the material that lay there shows no change that this sampling could see (−0.70 to +1.10 points a year): 8.0 mm of sand moved it down to 8–28 mm, and whether what took its place holds more or less these rounds cannot tell.",
		},
		{
			"no sand",
			MaterialBand{Fixed: slope(-0.3, 0.1), Change: slope(-0.3, 0.1)},
			MaterialRound{BottomMM: 20},
			"At fixed depth 0–20 mm lost 0.30 points a year (0.20 to 0.40), and the material that lay there lost 0.30 points a year (0.20 to 0.40): no work on record moved it, so both look at the same material.",
		},
		{
			"no sand, other densities",
			MaterialBand{Fixed: slope(-0.3, 0.1), Change: slope(-0.1, 0.05)},
			MaterialRound{BottomMM: 20},
			"At fixed depth 0–20 mm lost 0.30 points a year (0.20 to 0.40), and the material that lay there lost 0.10 points a year (0.05 to 0.15): no work on record moved it, and the 0.20 points a year between the two come from densities that differ between the rounds.",
		},
		{
			"cored without filling",
			MaterialBand{Fixed: slope(0.2, 0.1), Change: slope(0, 0.1)},
			MaterialRound{BottomMM: 18, removedIn: true},
			"At fixed depth 0–20 mm gained 0.20 points a year (0.10 to 0.30), but the material that lay there shows no change that this sampling could see (−0.10 to +0.10 points a year): coring moved it up to 0–18 mm, and what took its place holds more organic matter.",
		},
		{
			"two rounds, still in one layer with the sand",
			MaterialBand{Fixed: two, Stock: slope(0.2, 0.1), Change: none},
			MaterialRound{TopMM: 8, BottomMM: 28, SandMM: 8},
			"At fixed depth 0–20 mm reads lower by 2.00 points a year (1.50 to 2.50), but the material that lay there gained 0.20 kg/m² a year of organic matter, with what grew in the sand laid on it, (0.10 to 0.30): 8.0 mm of sand moved it down to 8–28 mm, and sand dilutes what is measured at fixed depth without taking organic matter away.",
		},
		{
			"rounds cut otherwise",
			MaterialBand{Change: slope(-0.3, 0.1)},
			MaterialRound{TopMM: 12, BottomMM: 32, SandMM: 12},
			"The material that lay at 0–20 mm lost 0.30 points a year (0.20 to 0.40), and fixed depth cannot be set beside it because the rounds cut other layers: 12 mm of sand moved it down to 12–32 mm.",
		},
		{
			"left later",
			MaterialBand{Fixed: slope(-0.3, 0.1), Change: slope(-0.1, 0.05), Left: "2024"},
			MaterialRound{TopMM: 40, BottomMM: 60, SandMM: 40},
			"At fixed depth 0–20 mm lost 0.30 points a year (0.20 to 0.40), and the material that lay there lost 0.10 points a year (0.05 to 0.15): 40 mm of sand moved it down to 40–60 mm, and what took its place holds less organic matter; it left the sampled depth in round 2024, and rounds in which it lay deeper count in neither.",
		},
		{
			"left at once",
			MaterialBand{Left: "2021", DeeperMM: 8.2},
			MaterialRound{},
			"The material of 0–20 mm left the sampled depth in round 2021, so nothing can be said of its change: a round 9 mm deeper would have held it.",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.band.BottomMM = 20
			c.band.Rounds = []MaterialRound{{BottomMM: 20}, c.last}
			if diff := cmp.Diff(c.want, c.band.sentence()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestFollowingRefusesOrSaysWhy(t *testing.T) {
	two := func(om unit.Percent) Profile {
		return Profile{Round: "a", Date: after(0), Layers: []ProfileLayer{{0, 20, om, 0, 1300, 0}, {20, 40, 3, 0, 1400, 0}}}
	}
	top := Profile{Round: "b", Date: after(1), Layers: []ProfileLayer{{0, 20, 5, 0, 1300, 0}}}
	gap := Profile{Round: "c", Date: after(2), Layers: []ProfileLayer{{0, 20, 5, 0, 1300, 0}, {40, 60, 2, 0, 1400, 0}}}
	for _, c := range []struct {
		name string
		in   Following
		want string
	}{
		{"nothing", Following{}, "No round has two layers that touch from the surface down: sample 0–20 and 20–40 mm, better 40–60 mm too, to follow the material."},
		{"one round", Following{Rounds: []Profile{two(5)}}, "No round after a reaches down in layers that touch: there is nothing to follow the material through yet."},
		{"top layer only", Following{Rounds: []Profile{two(5), top, gap}}, "No round after a reaches down in layers that touch: there is nothing to follow the material through yet."},
		{"reference that cannot be", Following{Rounds: []Profile{two(5), top}, Reference: "b"}, "Round b has fewer than two layers that touch from the surface down: choose another round to follow the material from."},
		{"no such round", Following{Rounds: []Profile{two(5)}, Reference: "z"}, "following the material: round \"z\" is not there: choose one of the rounds that were sampled"},
		{"all organic", Following{Rounds: []Profile{two(100)}}, "following the material: round \"a\": layer 0–20 mm: organic matter is 100 %: allowed is 0 to less than 100 %"},
		{"sand taken away", Following{Sand: []SandLaid{{Date: after(1), Amount: -1}}}, "following the material: sand on 1 Jan 2016 is -1 kg/m²: allowed is 0 or more"},
		{"all of it opened", Following{Opened: []Opened{{Date: after(1), Touched: 1, DepthMM: 10}}}, "following the material: share of the surface opened on 1 Jan 2016 is 1: allowed is 0 or more and less than 1"},
		{"doubt", Following{Doubt: MaterialDoubt{Sand: 2}}, "following the material: relative standard uncertainty of the record of work is 2: allowed is 0 to 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := FollowMaterial(c.in)
			got := m.Why
			if err != nil {
				got = err.Error()
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// 8 mm of clean sand on an unchanged profile: the top layer seems to lose half of its organic matter, and lost none.
func ExampleFollowMaterial() {
	before := demonstration()
	m, err := FollowMaterial(Following{
		Rounds: []Profile{before, dressed(before, 12.4)},
		Sand:   []SandLaid{{Date: after(0.5), Amount: 12.4}},
		Doubt:  DefaultMaterialDoubt(),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	top := m.Bands[0]
	fmt.Printf("fixed depth: %.2f %%, then %.2f %%\n", float64(top.Rounds[0].Fixed), float64(top.Rounds[1].Fixed))
	fmt.Printf("the material: %.2f kg/m², then %.2f ± %.2f kg/m²\n", float64(top.Rounds[0].Organic), float64(top.Rounds[1].Organic), float64(top.Rounds[1].OrganicSE))
	// Output:
	// fixed depth: 6.00 %, then 3.34 %
	// the material: 1.56 kg/m², then 1.41 ± 0.13 kg/m²
}
