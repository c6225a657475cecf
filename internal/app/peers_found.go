package app

import "underfoot/findings"

// PeersFound is the answer of the peers command; organic matter in percent of oven-dry mass.
type PeersFound struct {
	Course  string      `json:"course"`
	Why     string      `json:"why_not"` // empty where some layer could be compared
	Layers  []PeerLayer `json:"layers"`
	Caution string      `json:"caution"` // said wherever peers are shown
	Notes   []string    `json:"notes"`
}

// PeerLayer is one layer of the course, on its greens of one species, among its peers.
type PeerLayer struct {
	TopMM      float64        `json:"top_mm"`
	BottomMM   float64        `json:"bottom_mm"`
	Species    string         `json:"species"`
	Year       int            `json:"year"` // of the course's own round
	Why        string         `json:"why_not"`
	Courses    int            `json:"other_courses"`
	FromTables int            `json:"other_courses_from_tables"`
	Measured   float64        `json:"measured_percent"`
	MeasuredSE *float64       `json:"measured_se"`
	Level      *float64       `json:"level_percent"` // drawn towards the peers by how little the sampling says
	LevelSE    *float64       `json:"level_se"`
	Percentile *float64       `json:"percentile"`
	Lower90    *float64       `json:"percentile_lower90"`
	Upper90    *float64       `json:"percentile_upper90"`
	SD         *float64       `json:"between_courses_sd"`
	Quantiles  []PeerQuantile `json:"quantiles"`
	Says       string         `json:"says"`
	Method     string         `json:"method"`
	Of         findings.Peers `json:"-"`
}

// PeerQuantile is one quantile of the peers' levels.
type PeerQuantile struct {
	P  float64 `json:"p"`
	OM float64 `json:"om_percent"`
}

func peerLayer(l layerLevel, p findings.Peers) PeerLayer {
	out := PeerLayer{
		TopMM: l.topMM, BottomMM: l.bottomMM, Species: l.species, Year: l.year, Why: p.Why, Courses: p.Courses, FromTables: p.FromTables,
		Measured: float64(l.level.OM), MeasuredSE: finite(float64(l.level.SE)), Quantiles: []PeerQuantile{}, Says: p.Says, Method: p.Method, Of: p,
	}
	if !p.Known {
		out.Says = p.Why
		return out
	}
	out.MeasuredSE = finite(float64(p.MeasuredSE))
	out.Level, out.LevelSE, out.Percentile = finite(float64(p.Level)), finite(float64(p.LevelSE)), finite(p.Percentile)
	out.Lower90, out.Upper90, out.SD = finite(p.Low90), finite(p.High90), finite(float64(p.SD))
	for _, q := range p.Quantiles {
		out.Quantiles = append(out.Quantiles, PeerQuantile{q.P, float64(q.OM)})
	}
	return out
}
