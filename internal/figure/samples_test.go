package figure

import (
	"math"
	"slices"
	"time"
)

// sample is a figure with invented numbers.
type sample struct {
	name  string
	scene *Scene
}

func on(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 9, 0, 0, 0, time.UTC) }

func plusMinus(mid, half float64) Estimate {
	return Estimate{
		Mid: mid, Outer: Interval{mid - half, mid + half},
		Inner: Interval{mid - .41*half, mid + .41*half},
	}
}

func sampleRounds(half float64, mids ...float64) []Round {
	var out []Round
	for i, m := range mids {
		out = append(out, Round{At: on(2025-len(mids)+1+i, time.October, 14), Estimate: plusMinus(m, half)})
	}
	return out
}

func sampleFit(mid, slope, se float64) []FitPoint {
	var out []FitPoint
	for k := 0; k <= 16; k++ {
		dx := float64(k)/4 - 2
		half := math.Sqrt(.07 + se*se*dx*dx)
		v := mid + slope*dx
		out = append(out, FitPoint{At: on(2021, time.October, 14).AddDate(0, 3*k, 0), Mid: v, Low: v - half, High: v + half})
	}
	return out
}

func sampleTrend() Trend {
	return Trend{Layer: "0–20 mm", Rounds: sampleRounds(.6, 5.1, 5.5, 6.2, 6.5, 7.2), Fit: sampleFit(6.1, .52, .2)}
}

func sampleDays(vs ...float64) []Reading {
	days := []time.Time{
		on(2025, 4, 14), on(2025, 5, 6), on(2025, 5, 27), on(2025, 6, 18), on(2025, 7, 9), on(2025, 7, 30),
		on(2025, 8, 20), on(2025, 9, 10), on(2025, 10, 1),
	}
	var out []Reading
	for i, v := range vs {
		out = append(out, Reading{At: days[i], Estimate: Estimate{Mid: v}})
	}
	return out
}

func sampleLayers() []Layer {
	return []Layer{{0, 20, plusMinus(7.2, .6)}, {20, 40, plusMinus(4.4, .51)}, {40, 60, plusMinus(1.5, .27)}}
}

func need(mid, lo, hi float64) *Estimate { return &Estimate{Mid: mid, Outer: Interval{lo, hi}} }

func sampleSeasons() []Season {
	return []Season{
		{"2021", 7.0, need(9.9, 8.2, 11.8)},
		{"2022", 6.1, need(8.1, 6.7, 9.7)},
		{"2023", 5.6, need(6.9, 5.7, 8.3)},
		{"2024", 4.6, need(6.1, 5.1, 7.3)},
		{"2025", 3.8, need(5.4, 4.5, 6.5)},
	}
}

func sampleGreens(both bool) []Green {
	var out []Green
	for _, g := range []struct {
		name   string
		m, l   float64
		stands bool
	}{
		{"green 9", 8.4, 7.9, true},
		{"green 14", 7.3, 7.3, false},
		{"green 17", 7.2, 7.1, false},
		{"green 4", 7.0, 7.1, false},
		{"green 2", 6.7, 6.9, false},
		{"green 11", 6.6, 6.9, false},
	} {
		m, l := plusMinus(g.m, 1.32), plusMinus(g.l, .5)
		z := Green{Name: g.name, Measured: &m, StandsOut: g.stands}
		if both {
			z.Level = &l
		}
		out = append(out, z)
	}
	return out
}

func sampleSeason() SandSeason {
	z := SandSeason{From: on(2025, 3, 1), To: on(2025, 11, 30), Until: on(2025, 11, 13)}
	z.Dressings = []Dressing{
		{on(2025, 4, 8), .6},
		{on(2025, 5, 5), .5},
		{on(2025, 5, 26), .4},
		{on(2025, 6, 16), .4},
		{on(2025, 7, 7), .4},
		{on(2025, 8, 4), .5},
		{on(2025, 8, 27), .6},
		{on(2025, 9, 22), .4},
	}
	for k := range 10 {
		f := (1 - math.Cos(math.Pi*float64(k)/9)) / 2
		z.Need = append(z.Need, NeedPoint{on(2025, time.Month(3+k), 1), 5.4 * f, 4.5 * f, 6.5 * f})
	}
	return z
}

func sampleBudget() Budget {
	return Budget{Unit: "points of OM", Shares: []Share{
		{"Cores: 5 from one green", .805}, {"Bias of this furnace", .105}, {"Repeat burns", .08}, {"Balance, 1 mg", .004},
	}}
}

func sampleViews() Views {
	v := Views{Layer: "0–20 mm", Fixed: sampleRounds(.6, 5.1, 5.5, 6.2, 6.5, 7.2)}
	for i, m := range []float64{5.0, 5.4, 4.8, 3.8, 2.9} {
		top := 7.2 * float64(i)
		v.Material = append(v.Material, Followed{At: v.Fixed[i].At, Top: top, Bottom: top + 20, Estimate: plusMinus(m, .5)})
	}
	return v
}

func samplePeers() PeerStrip {
	level, measured := plusMinus(5.6, .5), plusMinus(5.9, .7)
	return PeerStrip{
		Layer: "0–20 mm", Peers: []PeerLevel{{.1, 3.1}, {.25, 3.9}, {.5, 4.6}, {.75, 5.4}, {.9, 6.3}}, Level: &level, Measured: &measured,
	}
}

func samplePower() Power {
	p := Power{XName: "years of sampling", Unit: "points a year", Across: "year", Wanted: .5, At: PowerPoint{5, .5}, Likely: Interval{.35, .9}}
	for _, c := range []struct {
		name   string
		scale  float64
		chosen bool
	}{{"6 greens of 5 cores", 1, true}, {"12 greens of 5 cores", .8, false}, {"6 greens of 5 cores, twice a year", .6, false}} {
		curve := PowerCurve{Name: c.name, Chosen: c.chosen}
		for x := 3.0; x <= 10; x++ {
			curve.Points = append(curve.Points, PowerPoint{x, c.scale * 11 / math.Pow(x-1.1, 2.26) / 1})
		}
		p.Curves = append(p.Curves, curve)
	}
	return p
}

// samples gives every figure in its usual form and in its odd ones.
func samples() []sample {
	trend, narrow := sampleTrend(), sampleTrend()
	narrow.Width, narrow.Height = 248, 126
	mixed := sampleTrend()
	mixed.Fit = nil
	mixed.Rounds[1].Kind, mixed.Rounds[3].Kind, mixed.Rounds[4].Kind = Released, Modelled, Held
	many := Trend{Layer: "20–40 mm", Rounds: sampleRounds(.5, 3.6, 4.1, 4.1, 4.6, 4.4, 4.2, 4.0, 4.4, 4.9, 5.0, 5.1, 5.0, 4.7, 4.9)}
	wide := Trend{Layer: "0–20 mm", Rounds: sampleRounds(.8, 3.1, 5.5, 8.2, 9.0)}
	firm := Readings{Name: "Firmness", Unit: "g", Days: sampleDays(88, 92, 95, 97, 101, 94, 90, 86, 83), Wanted: &Interval{95, 115}}
	speed := Readings{Name: "Green speed", Unit: "m", Decimals: 1, Days: sampleDays(2.4, 2.6, 2.7, 2.8, 2.9, 2.8, 2.7, 2.6, 2.4)}
	water := Readings{
		Name: "Soil water", Unit: "%", Days: sampleDays(29, 27, 24, 22, 21, 25, 27, 31, 34),
		Wanted: &Interval{math.Inf(-1), 25},
	}
	deep := Profile{Layers: []Layer{
		{0, 15, plusMinus(8.8, .7)}, {15, 30, Estimate{Mid: math.NaN()}}, {30, 75, plusMinus(5.3, .4)}, {90, 100, plusMinus(.4, .2)},
	}}
	return append(slices.Concat(profileSamples(), benchSamples(), sieveSamples()), []sample{
		{"trend", trend.Scene()},
		{"trend-narrow", narrow.Scene()},
		{"trend-kinds", mixed.Scene()},
		{"trend-many", many.Scene()},
		{"trend-wide", wide.Scene()},
		{"trend-one", Trend{Layer: "40–60 mm", Rounds: sampleRounds(.27, 1.5)}.Scene()},
		{"trend-none", Trend{Layer: "40–60 mm"}.Scene()},
		{"profile", Profile{Layers: sampleLayers()}.Scene()},
		{"profile-deep", deep.Scene()},
		{"profile-piece", Profile{Layers: sampleLayers(), From: 20, To: 40, Joined: true, Height: 160}.Scene()},
		{"profile-plain", Profile{Layers: sampleLayers(), Plain: true, Width: 22, Height: 92}.Scene()},
		{"profile-none", Profile{}.Scene()},
		{"readings", firm.Scene()},
		{"readings-unwanted", speed.Scene()},
		{"readings-most", water.Scene()},
		{"readings-one", Readings{Name: "Infiltration", Unit: "mm/h", Days: sampleDays(62), Wanted: &Interval{50, 100}}.Scene()},
		{"readings-none", Readings{Name: "Infiltration", Unit: "mm/h"}.Scene()},
		{"sand-need", SandNeed{Seasons: sampleSeasons(), AppliedNote: "57 t in 2025"}.Scene()},
		{"sand-need-one", SandNeed{Seasons: []Season{{Name: "2025", Applied: 3.8}}, Width: 330}.Scene()},
		{"sand-need-none", SandNeed{}.Scene()},
		{"greens", Greens{Layer: "0–20 mm", Greens: sampleGreens(true), Course: 7.2}.Scene()},
		{"greens-measured", Greens{Layer: "0–20 mm", Greens: sampleGreens(false), Course: 7.2}.Scene()},
		{"greens-none", Greens{Layer: "0–20 mm", Course: math.NaN()}.Scene()},
		{"views", sampleViews().Scene()},
		{"views-fixed", Views{Layer: "20–40 mm", Fixed: sampleRounds(.6, 4.1, 4.4)}.Scene()},
		{"views-one", Views{Layer: "20–40 mm", Material: sampleViews().Material[:1], Width: 320}.Scene()},
		{"views-none", Views{Layer: "20–40 mm"}.Scene()},
		{"peers", samplePeers().Scene()},
		{"peers-narrow", PeerStrip{Layer: "0–20 mm", Peers: samplePeers().Peers, Level: samplePeers().Level, Axis: Interval{2, 9}, Width: 340}.Scene()},
		{"peers-none", PeerStrip{Layer: "0–20 mm"}.Scene()},
		{"effects", Effects{Title: "Firmness and organic matter", Unit: "g a point", Decimals: 1, Effects: []Effect{
			{"at the same water", plusMinus(-2.9, 1.5)}, {"through water", plusMinus(-1.1, .8)}, {"in all", plusMinus(-4.1, 1.7)},
		}}.Scene()},
		{"effects-none", Effects{Title: "Firmness and organic matter"}.Scene()},
		{"power", samplePower().Scene()},
		{"power-unwanted", Power{XName: "greens in the round", Unit: "points", Across: "green", Curves: samplePower().Curves[:1], Width: 330}.Scene()},
		{"power-none", Power{XName: "years of sampling"}.Scene()},
		{"sand-season", sampleSeason().Scene()},
		{"sand-season-none", SandSeason{}.Scene()},
		{"budget", sampleBudget().Scene()},
		{"budget-none", Budget{}.Scene()},
		{"spark", Spark{Layer: "0–20 mm", Rounds: sampleRounds(.6, 5.1, 5.5, 6.2, 6.5, 7.2)}.Scene()},
		{"spark-held", Spark{Layer: "0–20 mm", Rounds: mixed.Rounds}.Scene()},
		{"spark-none", Spark{Layer: "0–20 mm"}.Scene()},
		{"sand-bar", SandBar{Applied: 3.8, Needed: need(5.4, 4.5, 6.5)}.Scene()},
		{"sand-bar-unknown", SandBar{Applied: 1.5}.Scene()},
		{"depth", DepthGlyph(20, 40, 60)},
		{"odds", Odds(11)},
		{"direction-raise", DirectionIcon(Raise)},
		{"direction-hold", DirectionIcon(Hold)},
		{"direction-lower", DirectionIcon(Lower)},
		{"state-waiting", StateMark(Waiting)},
		{"state-done", StateMark(Done)},
		{"state-your-move", StateMark(YourMove)},
		{"state-stopped", StateMark(Stopped)},
		{"state-warning", StateMark(Warning)},
		{"work-topdressing", WorkGlyph(Topdressing)},
		{"work-hollow", WorkGlyph(HollowTining)},
		{"work-solid", WorkGlyph(SolidTining)},
		{"work-scarifying", WorkGlyph(Scarifying)},
		{"work-round", WorkGlyph(RoundTaken)},
		{"work-readings", WorkGlyph(ReadingsTaken)},
	}...)
}
