package app

import (
	"underfoot/findings"
)

// ResponseFound is how one way of reading firmness goes with water content and organic matter. Slopes are in the unit of the kind for a point
// of organic matter or a percent of water by volume. No number in it is a target.
type ResponseFound struct {
	Kind         string       `json:"kind"`
	TopMM        float64      `json:"top_mm"`
	BottomMM     float64      `json:"bottom_mm"`
	Why          string       `json:"why_not"` // empty where the model could be fitted; the rest is null where it could not
	N            int          `json:"n"`
	Greens       int          `json:"greens"`
	Days         int          `json:"days"`
	Left         int          `json:"left_out"`
	Direct       *SlopeFound  `json:"om_at_same_water"`
	Water        *SlopeFound  `json:"water"`
	WaterOnOM    *SlopeFound  `json:"water_on_om"` // percent by volume a point
	Through      *SlopeFound  `json:"om_through_water"`
	Total        *SlopeFound  `json:"om_water_following"`
	Beyond       *ShareFound  `json:"explained_beyond_water"` // marginal R², 0..1
	All          *ShareFound  `json:"explained_water_left_out"`
	Tells        bool         `json:"tells"`   // the interval of om_at_same_water leaves zero out
	Against      bool         `json:"against"` // it tells, but against what organic matter does by itself
	Season       bool         `json:"season"`
	TypicalWater *float64     `json:"typical_water_percent"`
	SeenLow      *float64     `json:"om_seen_low"`
	SeenHigh     *float64     `json:"om_seen_high"`
	Reliability  *float64     `json:"om_reliability"`
	GreenSD      *float64     `json:"green_sd"`
	DaySD        *float64     `json:"day_sd"`
	ResidualSD   *float64     `json:"residual_sd"`
	AtLow        *AtBandFound `json:"om_at_low"` // null where the records cannot tell, or that side is open
	AtMiddle     *AtBandFound `json:"om_at_middle"`
	AtHigh       *AtBandFound `json:"om_at_high"`
	Says         []string     `json:"says"`
	Warnings     []string     `json:"warnings"`
}

// SlopeFound is a slope with its 95 % interval.
type SlopeFound struct {
	Value   *float64 `json:"value"`
	SE      *float64 `json:"se"`
	DF      *float64 `json:"df"`
	Lower95 *float64 `json:"lower95"`
	Upper95 *float64 `json:"upper95"`
}

// ShareFound is a share of a variance with its 95 % interval.
type ShareFound struct {
	Share   *float64 `json:"share"`
	Lower95 *float64 `json:"lower95"`
	Upper95 *float64 `json:"upper95"`
}

// AtBandFound is the organic matter at which readings would stand at an edge or the middle of their band.
type AtBandFound struct {
	Reading float64  `json:"reading"`
	Beyond  string   `json:"beyond"`  // "less" or "more" where it lies beyond what these greens have had; the rest is null then
	OM      *float64 `json:"om"`      // percent
	Lower95 *float64 `json:"lower95"` // null where it lies beyond what is told of
	Upper95 *float64 `json:"upper95"`
}

func responsesFound(list []findings.Response) []ResponseFound {
	out := []ResponseFound{}
	for i := range list {
		out = append(out, responseFound(&list[i]))
	}
	return out
}

func responseFound(r *findings.Response) ResponseFound {
	out := ResponseFound{
		Kind: string(r.Kind), TopMM: float64(r.TopMM), BottomMM: float64(r.BottomMM), Why: r.Why, N: r.N, Greens: r.Greens, Days: r.Days, Left: r.Left,
		Says: []string{r.Sentence()}, Warnings: noNil(r.Warnings),
	}
	if !r.Known {
		return out
	}
	out.Direct, out.Water, out.WaterOnOM = slopeFound(r.Direct), slopeFound(r.Water), slopeFound(r.WaterOnOM)
	out.Through, out.Total = slopeFound(r.Through), slopeFound(r.Total)
	out.Beyond, out.All = shareFound(r.Beyond), shareFound(r.All)
	out.Tells, out.Against, out.Season = r.Tells, r.Against, r.Season
	out.TypicalWater, out.SeenLow, out.SeenHigh, out.Reliability = finite(r.TypicalWater), finite(r.SeenLow), finite(r.SeenHigh), finite(r.Reliability)
	out.GreenSD, out.DaySD, out.ResidualSD = finite(r.GreenSD), finite(r.DaySD), finite(r.Sigma)
	out.AtLow, out.AtMiddle, out.AtHigh = atBandFound(r.Low), atBandFound(r.Middle), atBandFound(r.High)
	for _, says := range []string{r.Split(), r.Explains(), r.Doubt(), r.Levels()} {
		if says != "" {
			out.Says = append(out.Says, says)
		}
	}
	return out
}

func slopeFound(s findings.OMSlope) *SlopeFound {
	return &SlopeFound{finite(s.Value), finite(s.SE), finite(s.DF), finite(s.Lower95), finite(s.Upper95)}
}

func shareFound(e findings.Explained) *ShareFound {
	return &ShareFound{finite(e.Share), finite(e.Lower95), finite(e.Upper95)}
}

func atBandFound(l findings.OMLevel) *AtBandFound {
	out := &AtBandFound{Reading: l.Reading}
	switch {
	case l.Beyond < 0:
		out.Beyond = "less"
	case l.Beyond > 0:
		out.Beyond = "more"
	case !l.Told:
		return nil
	default:
		out.OM = finite(l.OM)
		if !l.LowOpen {
			out.Lower95 = finite(l.Lower95)
		}
		if !l.UpperOpen {
			out.Upper95 = finite(l.Upper95)
		}
	}
	return out
}
