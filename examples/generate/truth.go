package main

import (
	"encoding/json"
	"fmt"
)

// truth is what really lay and happened in the larger course, for tests of hindcasts; it is no part of the package.
type truth struct {
	Course  string      `json:"course"`
	Seed    int         `json:"seed"`
	About   string      `json:"about"`
	Truths  truths      `json:"parameters"`
	Greens  []greenFact `json:"greens"`
	Layers  []layerFact `json:"layers"`
	Account []interval  `json:"account_0_20_mm"`
}

type greenFact struct {
	Green  string  `json:"green"`
	Vigour float64 `json:"factor_on_made"`
	Rich   float64 `json:"factor_on_first_profile"`
	Spread float64 `json:"factor_on_sand_landed"`
}

type layerFact struct {
	Date    string  `json:"date"`
	Green   string  `json:"green"` // "": mean of all greens
	Top     float64 `json:"top_mm"`
	Bottom  float64 `json:"bottom_mm"`
	OM      float64 `json:"om_percent"`
	Organic float64 `json:"organic_kg_m2"`
	Mineral float64 `json:"mineral_kg_m2"`
}

// interval is the account of the top 20 mm between two rounds, mean of all greens [kg/m²].
type interval struct {
	From       string  `json:"from"`
	Until      string  `json:"until"`
	Sand       float64 `json:"sand_kg_m2"` // landed, at any depth
	Made       float64 `json:"made_kg_m2"`
	Decayed    float64 `json:"decayed_kg_m2"`
	TakenOut   float64 `json:"organic_taken_out_kg_m2"`
	Change     float64 `json:"change_kg_m2"`
	Buried     float64 `json:"buried_kg_m2"` // organic matter that sank below 20 mm, net
	NetPerYear float64 `json:"net_formed_kg_m2_year"`
}

func truthFile() ([]file, error) {
	h, _ := varrowmereHistory()
	t := truth{
		Course: courseID, Seed: seed, Truths: h.truths,
		About: "invented; the true state behind examples/varrowmere, made by examples/generate",
	}
	for _, g := range h.greens {
		t.Greens = append(t.Greens, greenFact{g.id, round(g.vigour, 4), round(g.rich, 4), round(g.spread, 4)})
	}
	for i, s := range h.rounds {
		t.Layers = append(t.Layers, layerFacts(s, h.greens)...)
		if i > 0 {
			t.Account = append(t.Account, account(h.rounds[i-1], s))
		}
	}
	data, err := json.MarshalIndent(t, "", " ")
	if err != nil {
		return nil, fmt.Errorf("truth.json: %w", err)
	}
	return []file{{"truth.json", append(data, '\n')}}, nil
}

func layerFacts(s snapshot, greens []green) []layerFact {
	var facts []layerFact
	for _, z := range layers {
		mean := layerFact{Date: date(s.date), Top: z[0], Bottom: z[1]}
		n := float64(len(greens))
		for i, g := range greens {
			p := s.columns[i].between(z[0], z[1])
			mean.OM += 100 * p.fraction() / n
			mean.Organic += p.organic / n
			mean.Mineral += p.mineral() / n
			facts = append(facts, layerFact{
				date(s.date), g.id, z[0], z[1],
				round(100*p.fraction(), 4), round(p.organic, 5), round(p.mineral(), 4),
			})
		}
		mean.OM, mean.Organic, mean.Mineral = round(mean.OM, 4), round(mean.Organic, 5), round(mean.Mineral, 4)
		facts = append(facts, mean)
	}
	return facts
}

func account(from, until snapshot) interval {
	a := interval{From: date(from.date), Until: date(until.date)}
	n := float64(len(from.columns))
	for i, before := range from.columns {
		after := until.columns[i]
		a.Sand += (after.ledger.sandIn - before.ledger.sandIn) / n
		a.Made += (after.ledger.topMade - before.ledger.topMade) / n
		a.Decayed += (after.ledger.topDecayed - before.ledger.topDecayed) / n
		a.TakenOut += (after.ledger.topOrganicO - before.ledger.topOrganicO) / n
		a.Change += (after.between(0, topWindow).organic - before.between(0, topWindow).organic) / n
	}
	a.Buried = a.Made - a.Decayed - a.TakenOut - a.Change
	a.NetPerYear = (a.Made - a.Decayed) / until.date.Sub(from.date).Hours() * 24 * 365.25
	for _, x := range []*float64{&a.Sand, &a.Made, &a.Decayed, &a.TakenOut, &a.Change, &a.Buried, &a.NetPerYear} {
		*x = round(*x, 5)
	}
	return a
}
