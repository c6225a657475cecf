package app

import (
	"math"
	"slices"
	"time"

	"underfoot"
	"underfoot/findings"
	"underfoot/unit"
)

// Layer is what the rounds say about one layer of a course.
type Layer struct {
	TopMM, BottomMM float64
	Rows            []BenchRow // comparable composites of the layer, by date
	Rounds          []findings.RoundMean
	Trend           findings.Trend
	Even            findings.Consistency
}

// Name names the layer by its depths.
func (l *Layer) Name() string { return underfoot.LayerName(l.TopMM, l.BottomMM) }

// Last returns the mean of the last round; a layer has at least one.
func (l *Layer) Last() findings.RoundMean { return l.Rounds[len(l.Rounds)-1] }

// Released says whether results of a failed run that was released stand in a round of the layer.
func (l *Layer) Released(round string) bool {
	return slices.ContainsFunc(l.Rows, func(r BenchRow) bool { return r.Round == round && r.Released != nil })
}

// layersOf works out what the comparable rows of one surface say, layer by layer from the top down.
func layersOf(rows []BenchRow, wishes Wishes) ([]Layer, error) {
	var obs []findings.Observation
	for i := range rows {
		if rows[i].Comparable() {
			obs = append(obs, observation(rows[i]))
		}
	}
	found, err := findings.Layers(obs, findings.Options{Matters: wishes.Matters, Trends: wishes.listed})
	if err != nil {
		return nil, err
	}
	layers := make([]Layer, len(found))
	for i, f := range found {
		layers[i] = Layer{TopMM: float64(f.TopMM), BottomMM: float64(f.BottomMM), Rounds: f.Rounds, Trend: f.Trend, Even: f.Consistency}
		for _, row := range rows {
			if row.Comparable() && row.TopMM == layers[i].TopMM && row.BottomMM == layers[i].BottomMM {
				layers[i].Rows = append(layers[i].Rows, row)
			}
		}
	}
	return layers, nil
}

func observation(row BenchRow) findings.Observation {
	o := findings.Observation{
		Green: row.Green, Round: row.Round, Date: row.Of.Date.Time(), TopMM: unit.Millimetres(row.TopMM), BottomMM: unit.Millimetres(row.BottomMM),
		OM: max(row.Result.OrganicMatter, 0), Cores: row.Of.Cores.Or(0),
	}
	if row.Result.Uncertainty != nil {
		o.U = row.Result.Uncertainty.Standard
	}
	return o
}

// Findings is the answer of the findings command.
type Findings struct {
	Course    string          `json:"course"`
	Surface   string          `json:"surface"`
	Layers    []LayerFinding  `json:"layers"`
	Direction DirectionFound  `json:"direction"`
	Material  MaterialFound   `json:"material"`
	Readings  []ResponseFound `json:"readings"` // firmness held against water content and organic matter, a kind each
	Notes     []string        `json:"notes"`
}

// LayerFinding is one layer of [Findings]. Organic matter in percent of oven-dry mass, slopes in points a year.
type LayerFinding struct {
	TopMM                 float64        `json:"top_mm"`
	BottomMM              float64        `json:"bottom_mm"`
	Rounds                []RoundFinding `json:"rounds"`
	Trend                 *TrendFinding  `json:"trend"` // null where one round is all there is
	BetweenGreenSD        *float64       `json:"between_green_sd"`
	BetweenGreenSDLower95 *float64       `json:"between_green_sd_lower95"`
	BetweenGreenSDUpper95 *float64       `json:"between_green_sd_upper95"`
	Spread                *SpreadFinding `json:"spread"` // whether it grows; null where three rounds or three greens are wanting
	Greens                []GreenFinding `json:"greens"`
	Says                  string         `json:"says"`
}

// RoundFinding is the mean of a layer in one round.
type RoundFinding struct {
	Round   string   `json:"round"`
	Date    string   `json:"date"`
	Mean    *float64 `json:"mean"`
	SE      *float64 `json:"se"`
	DF      float64  `json:"df"` // of se; 0 where the scatter was assumed
	Lower90 *float64 `json:"lower90"`
	Upper90 *float64 `json:"upper90"`
	N       int      `json:"n"`
}

// TrendFinding is the change of a layer at fixed depth.
type TrendFinding struct {
	SlopePerYear           *float64           `json:"slope_per_year"`
	SE                     *float64           `json:"se"`
	DF                     float64            `json:"df"`
	Lower95                *float64           `json:"lower95"`
	Upper95                *float64           `json:"upper95"`
	PRising                *float64           `json:"p_rising"`
	Verdict                string             `json:"verdict"`
	SmallestVisiblePerYear *float64           `json:"smallest_visible_per_year"`
	Matters                float64            `json:"matters"`    // smallest change that matters, points a year
	Steady                 bool               `json:"steady"`     // within ±matters: the 90 % interval lies inside
	PSteady                *float64           `json:"p_steady"`   // chance of it
	Underlying             *UnderlyingFinding `json:"underlying"` // the line behind the rounds, good and bad ones taken for chance; null with two rounds
	RoundSD                *float64           `json:"round_sd"`   // scatter of rounds beyond cores, points
	CoreSD                 *float64           `json:"core_sd"`    // one core about its green, points
	Model                  string             `json:"model"`      // as a formula
	Choice                 string             `json:"choice"`     // why this model
	Method                 string             `json:"method"`
	Warnings               []string           `json:"warnings"`
}

// UnderlyingFinding is the line behind the rounds.
type UnderlyingFinding struct {
	SlopePerYear *float64 `json:"slope_per_year"`
	SE           *float64 `json:"se"`
	DF           float64  `json:"df"`
	Lower95      *float64 `json:"lower95"`
	Upper95      *float64 `json:"upper95"`
	PRising      *float64 `json:"p_rising"`
}

// SpreadFinding says whether the spread between greens grows; rates are shares of itself a year.
type SpreadFinding struct {
	PerYear  *float64 `json:"per_year"`
	Lower95  *float64 `json:"lower95"`
	Upper95  *float64 `json:"upper95"`
	PGrowing *float64 `json:"p_growing"`
	Verdict  string   `json:"verdict"`
}

// GreenFinding is one green's level in a layer, shrunk towards the course.
type GreenFinding struct {
	Green     string   `json:"green"`
	Estimate  *float64 `json:"estimate"`
	SE        *float64 `json:"se"`
	StandsOut bool     `json:"stands_out"`
}

// DirectionFound is what the surface asks of organic matter.
type DirectionFound struct {
	Verdict     string        `json:"verdict"`
	Probability *float64      `json:"probability"` // that the readings support it; null for a judgement and for unknown
	DecidedBy   string        `json:"decided_by"`
	Because     []string      `json:"because"`
	Kinds       []KindFinding `json:"kinds"` // what each kind of reading says of its last season
	Readings    struct {      // what the readings say by themselves
		Verdict string  `json:"verdict"`
		PLower  float64 `json:"p_lower"`
		PHold   float64 `json:"p_hold"`
		PRaise  float64 `json:"p_raise"`
	} `json:"readings"`
}

// KindFinding is a season of one kind of reading against the band that is wanted, in the unit of the kind.
type KindFinding struct {
	Kind    string   `json:"kind"`
	Season  string   `json:"season"`
	Mean    *float64 `json:"mean"`
	SE      *float64 `json:"se"`
	DF      float64  `json:"df"`
	Lower90 *float64 `json:"lower90"`
	Upper90 *float64 `json:"upper90"`
	Low     *float64 `json:"low"`  // null where that side is open
	High    *float64 `json:"high"` // null where that side is open
	PBelow  float64  `json:"p_below"`
	PWithin float64  `json:"p_within"`
	PAbove  float64  `json:"p_above"`
	Days    int      `json:"days"`
	Greens  int      `json:"greens"`   // 0 where greens were not told apart, with the next two
	GreenSD *float64 `json:"green_sd"` // between greens
	DaySD   *float64 `json:"day_sd"`   // between days, the season's own course taken out where it is worth it
	Wave    bool     `json:"wave"`     // it was
	Below   int      `json:"greens_below"`
	Above   int      `json:"greens_above"`
}

// Findings gives the answer of the findings command.
func (s *Standing) Findings() Findings {
	f := Findings{Course: s.Records.Course.ID, Surface: s.Surface, Layers: []LayerFinding{}, Notes: noNil(s.Notes)}
	for i := range s.Layers {
		f.Layers = append(f.Layers, s.Layers[i].finding())
	}
	f.Direction = s.directionFound()
	f.Material = s.MaterialFound()
	f.Readings = responsesFound(s.Responses())
	return f
}

func (l *Layer) finding() LayerFinding {
	out := LayerFinding{TopMM: l.TopMM, BottomMM: l.BottomMM, Rounds: []RoundFinding{}, Greens: []GreenFinding{}, Says: l.Trend.Sentence()}
	for _, m := range l.Rounds {
		out.Rounds = append(out.Rounds, RoundFinding{
			Round: m.Round, Date: m.Date.Format(time.DateOnly), Mean: finite(float64(m.Mean)), SE: finite(float64(m.SE)), DF: m.DF,
			Lower90: finite(float64(m.Low90)), Upper90: finite(float64(m.High90)), N: m.N,
		})
	}
	if t := l.Trend; t.Estimated {
		out.Trend = trendFinding(t)
	}
	if l.Even.Known {
		out.BetweenGreenSD = finite(float64(l.Even.SD))
		out.BetweenGreenSDLower95 = finite(float64(l.Even.SDLower95))
		out.BetweenGreenSDUpper95 = finite(float64(l.Even.SDUpper95))
	}
	if g := l.Even.Growth; g.Known {
		out.Spread = &SpreadFinding{PerYear: finite(g.PerYear), Lower95: finite(g.Lower95), Upper95: finite(g.Upper95), PGrowing: finite(g.PGrowing), Verdict: string(g.Verdict)}
	}
	for _, g := range l.Even.Greens {
		out.Greens = append(out.Greens, GreenFinding{Green: g.Green, Estimate: finite(float64(g.Estimate)), SE: finite(float64(g.SE)), StandsOut: g.StandsOut})
	}
	return out
}

func trendFinding(t findings.Trend) *TrendFinding {
	out := &TrendFinding{
		SlopePerYear: finite(t.SlopePerYear), SE: finite(t.SE), DF: t.DF, Lower95: finite(t.Lower95), Upper95: finite(t.Upper95),
		PRising: finite(t.PRising), Verdict: string(t.Verdict), SmallestVisiblePerYear: finite(t.SmallestVisiblePerYear),
		Matters: t.Matters, Steady: t.Steady, PSteady: finite(t.PSteady), RoundSD: finite(t.RoundSD), CoreSD: finite(t.CoreSD),
		Model: t.Model, Choice: t.Choice, Method: t.Method, Warnings: noNil(t.Warnings),
	}
	if u := t.Underlying; u.Known {
		out.Underlying = &UnderlyingFinding{
			SlopePerYear: finite(u.PerYear), SE: finite(u.SE), DF: u.DF, Lower95: finite(u.Lower95), Upper95: finite(u.Upper95), PRising: finite(u.PRising),
		}
	}
	return out
}

// finite returns nil for what JSON cannot carry.
func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func noNil(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
