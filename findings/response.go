package findings

import (
	"fmt"

	"underfoot/unit"
)

// fewestResponses is how many readings with water content and organic matter beside them a model of the two needs: ten for its
// slopes, spreads and level and a couple to judge by (common practice, no source).
const fewestResponses = 12

// Response is how one way of reading firmness goes with the water content and the organic matter of the layer at the surface. It
// is association in records and no proof of cause, and no target: what the surface asks comes from the readings.
type Response struct {
	Kind                  Kind
	TopMM, BottomMM       unit.Millimetres // of the layer
	Known                 bool             // false: Why says in a sentence why there is nothing
	Why                   string
	N, Greens, Days       int
	Left                  int       // readings left out: no water content that day, a green never sampled, too far from any round
	Direct                OMSlope   // of firmness on organic matter at the same water content [unit of the kind per point]
	Water                 OMSlope   // of firmness on water content at the same organic matter [unit of the kind per % by volume]
	WaterOnOM             OMSlope   // of water content on organic matter [% by volume per point]
	Through               OMSlope   // of firmness on organic matter through water: Water·WaterOnOM [unit of the kind per point]
	Total                 OMSlope   // of firmness on organic matter with water left to follow, from a fit of its own [unit of the kind per point]
	Beyond, All           Explained // what organic matter explains beyond water, and with water left out
	Tells                 bool      // the 95 % interval of Direct leaves zero out
	Against               bool      // it tells, but against what organic matter does by itself
	Season                bool      // a wave of the year is in the models
	TypicalWater          float64   // mean of the readings in the target's months [% by volume]
	TypicalOM             float64   // mean of the same [%]
	SeenLow, SeenHigh     float64   // organic matter of these greens on these days [%]
	ReachLow, ReachHigh   float64   // how far levels are told [%]
	Reliability           float64   // share of the variance of organic matter that the composites know, 0..1
	Low, Middle, High     OMLevel   // organic matter at which the readings would be at the lower edge, middle and upper edge of their band
	GreenSD, DaySD, Sigma float64   // spreads of the model of firmness [unit of the kind]
	Band                  Target    // of the kind; both ends infinite where nothing is wanted
	How                   string    // how organic matter came to the day of a reading
	Warnings              []string  // plain sentences

	along lineAt // readings on organic matter at the typical water content and season
}

// OMSlope is a slope with its doubt.
type OMSlope struct {
	Value, SE, DF    float64
	Lower95, Upper95 float64
}

// zero reports whether the interval holds zero.
func (s OMSlope) zero() bool { return !(s.Lower95 > 0 || s.Upper95 < 0) }

// Respond tells how firmness goes with water content and organic matter, one answer for each kind of firmness read. top is the layer at
// the surface, as Layers gives it.
//
//	f_ik = α + c·w_ik + c′·w̄_k + c″·w̄_iq + b″·x_ik (+ season) + effects      c: firmness on water content
//	f_ik − c·w_ik = α + b·x_ik (+ season) + effects                           b: on organic matter at the same water content
//	f_ik = α + b′·x_ik (+ season) + effects                                   b′: with water left to follow
//	w_ik = α + d·x_ik (+ season) + effects                                    d: water content on organic matter
//	effects = g_i + d_k + y + h_iy + e_ik
//
// f_ik is firmness [unit of the kind] of green i on day k, w_ik its water content that day [% by volume], w̄_k the mean of the day and w̄_iq
// of the green in the quarter, x_ik its organic matter [%] (see omOfDays); g_i the green, d_k the day and, where the readings cover three
// years, y the year and h_iy the green in the year, all random and of their own in each model: organic matter is known by the green and the round, so that what it
// leaves unsaid stays for a season. Season is one wave of the year where it is worth its two numbers (AICc counting days, as in choose).
// Restricted maximum likelihood; intervals and degrees of freedom after Kenward and Roger, the latter for slopes on organic matter at most as
// many as there are greens and years less three. What organic matter does through water is c·d with the standard error of Sobel; the
// doubt of c goes into that of b.
//
// Why c comes from differences between greens on one day, their levels of the quarter taken out (Mundlak): water tells of organic matter that the cores
// missed, so that plain c holds part of what organic matter does by itself.
//
// Organic matter is known with error. x_ik is its best linear prediction, not a composite, so that its error scatters
// about it and slopes on it are not flattened: regression calibration. Reliability says how much of its variance is known; where
// greens and rounds are few that share is itself a rough guess. The slope of the trend is no such scatter; its doubt is added (see lean). Ignored: error of the water content, which flattens c and steepens b.
//
// Sources (from memory): Kenward & Roger, Biometrics 53:983–997, 1997; Mundlak, Econometrica 46:69–85, 1978; Sobel, Sociol. Methodol. 13:290–312, 1982; regression
// calibration, Carroll, Ruppert, Stefanski & Crainiceanu, Measurement Error in Nonlinear Models, 2nd ed. 2006, ch. 4.
func Respond(readings []Reading, targets []Target, top Layer) ([]Response, error) {
	if err := checkReadings(readings, targets); err != nil {
		return nil, fmt.Errorf("readings and organic matter: %w", err)
	}
	var out []Response
	for _, k := range kinds() {
		if k.kind.firmness() && hasKind(readings, k.kind) {
			out = append(out, respond(k.kind, readings, targets, top))
		}
	}
	return out, nil
}

func hasKind(readings []Reading, k Kind) bool {
	for _, r := range readings {
		if r.Kind == k {
			return true
		}
	}
	return false
}

func respond(kind Kind, readings []Reading, targets []Target, top Layer) Response {
	r := Response{Kind: kind, TopMM: top.TopMM, BottomMM: top.BottomMM, Band: bandOf(kind, targets)}
	rows := r.join(readings, top)
	if r.Why = rows.cannot(r); r.Why != "" {
		return r
	}
	if err := r.fit(rows); err != nil {
		r.Why = fmt.Sprintf("Organic matter and %s cannot be held together: %v.", wordsOf(kind).name, err)
		return r
	}
	r.Known = true
	r.reckonLevels(rows)
	r.explain(rows)
	return r
}
