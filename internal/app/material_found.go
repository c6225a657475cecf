package app

import (
	"time"

	"underfoot/findings"
)

// MaterialFound is the material of a round's layers, followed, in the findings: OM in percent of oven-dry mass, organic
// mass in kg/m².
type MaterialFound struct {
	Reference string      `json:"reference_round"` // the round whose layers are followed
	Why       string      `json:"why_not"`         // empty when the material can be followed
	Bands     []BandFound `json:"bands"`
	Method    string      `json:"method"`
	Notes     []string    `json:"notes"`
}

// BandFound is the material that lay between two depths in the reference round.
type BandFound struct {
	TopMM    float64      `json:"top_mm"`
	BottomMM float64      `json:"bottom_mm"`
	Rounds   []BandRound  `json:"rounds"`
	Change   *ChangeFound `json:"om_points_per_year"`     // null where its OM is known in fewer than two rounds
	Stock    *ChangeFound `json:"organic_kg_m2_per_year"` // of the uppermost band with what grew in the sand laid on it
	Fixed    *ChangeFound `json:"fixed_depth_points_per_year"`
	Left     string       `json:"left_sampled_depth"` // the first round in which part of it lay deeper
	DeeperMM float64      `json:"deeper_mm"`
	Says     string       `json:"says"`
}

// BandRound is where that material lay in one round and what it held.
type BandRound struct {
	Round     string   `json:"round"`
	Date      string   `json:"date"`
	TopMM     float64  `json:"top_mm"`
	BottomMM  float64  `json:"bottom_mm"`
	OM        *float64 `json:"om_percent"` // null while it lies in one layer with the sand laid on it
	SE        *float64 `json:"om_se"`
	Organic   float64  `json:"organic_kg_m2"`
	OrganicSE float64  `json:"organic_se_kg_m2"`
	Removed   float64  `json:"removed_organic_kg_m2"`
	SandMM    float64  `json:"sand_mm"`
	Fixed     *float64 `json:"fixed_depth_om_percent"`
	FixedSE   *float64 `json:"fixed_depth_om_se"`
}

// ChangeFound is a slope with its interval.
type ChangeFound struct {
	PerYear float64  `json:"per_year"`
	SE      *float64 `json:"se"`
	DF      float64  `json:"df"` // 0: normal
	Lower95 *float64 `json:"lower95"`
	Upper95 *float64 `json:"upper95"`
	PRising *float64 `json:"p_rising"`
	Verdict string   `json:"verdict"`
	Rounds  int      `json:"rounds"`
}

// MaterialFound gives the followed material as the findings print it.
func (s *Standing) MaterialFound() MaterialFound {
	m, err := s.Material("")
	if err != nil {
		return MaterialFound{Why: err.Error(), Bands: []BandFound{}, Notes: []string{}}
	}
	out := MaterialFound{Reference: m.Reference, Why: m.Why, Bands: []BandFound{}, Method: m.Method, Notes: noNil(m.Notes)}
	for _, b := range m.Bands {
		f := BandFound{
			TopMM: float64(b.TopMM), BottomMM: float64(b.BottomMM), Change: changeFound(b.Change), Stock: changeFound(b.Stock), Fixed: changeFound(b.Fixed),
			Left: b.Left, DeeperMM: float64(b.DeeperMM), Says: b.Says,
		}
		for _, r := range b.Rounds {
			f.Rounds = append(f.Rounds, bandRound(r))
		}
		out.Bands = append(out.Bands, f)
	}
	return out
}

func bandRound(r findings.MaterialRound) BandRound {
	out := BandRound{
		Round: r.Round, Date: r.Date.Format(time.DateOnly), TopMM: float64(r.TopMM), BottomMM: float64(r.BottomMM),
		Organic: float64(r.Organic), OrganicSE: float64(r.OrganicSE), Removed: float64(r.Removed), SandMM: float64(r.SandMM),
	}
	if r.OMKnown {
		out.OM, out.SE = finite(float64(r.OM)), finite(float64(r.SE))
	}
	if r.FixedKnown {
		out.Fixed, out.FixedSE = finite(float64(r.Fixed)), finite(float64(r.FixedSE))
	}
	return out
}

func changeFound(c findings.MaterialChange) *ChangeFound {
	if !c.Known {
		return nil
	}
	return &ChangeFound{
		PerYear: c.PerYear, SE: finite(c.SE), DF: c.DF, Lower95: finite(c.Lower95), Upper95: finite(c.Upper95), PRising: finite(c.PRising),
		Verdict: string(c.Verdict), Rounds: c.Rounds,
	}
}
