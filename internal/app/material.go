package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"underfoot"
	"underfoot/balance"
	"underfoot/bench"
	"underfoot/findings"
	"underfoot/unit"
)

// GreenMaterial is the material of one green, followed.
type GreenMaterial struct {
	Green    string
	Material findings.Material
}

// Material follows the material of the layers of one round, the first where none is named, through the rounds after it:
// the mean of the sampled greens.
func (s *Standing) Material(reference string) (findings.Material, error) {
	var rows []BenchRow
	f := findings.Following{Rounds: profiles(s.History.Rounds), Reference: reference}
	for i := range s.Layers {
		l := &s.Layers[i]
		rows = append(rows, l.Rows...)
		if t := l.Trend; t.Estimated {
			f.Fixed = append(f.Fixed, fixedChange(l.TopMM, l.BottomMM, t))
		}
	}
	return s.follow(f, s.Done, rows)
}

// MaterialOfGreens follows the material of every green that was sampled in layers that touch in two rounds or more. What
// one composite is worth comes from the scatter of the cores of its layer.
func (s *Standing) MaterialOfGreens(reference string) ([]GreenMaterial, error) {
	var out []GreenMaterial
	for _, g := range s.Greens {
		rounds, rows := s.profilesOf(g.ID)
		if len(rounds) < 2 {
			continue
		}
		if reference != "" && !slices.ContainsFunc(rounds, func(p findings.Profile) bool { return p.Round == reference }) {
			continue
		}
		m, err := s.follow(findings.Following{Rounds: rounds, Reference: reference}, doneOn(s.Done, g.ID), rows)
		if err != nil {
			return nil, fmt.Errorf("green %s: %w", g.ID, err)
		}
		if m.Known {
			out = append(out, GreenMaterial{g.ID, m})
		}
	}
	return out, nil
}

// follow adds the work and its doubt, and asks package findings.
func (s *Standing) follow(f findings.Following, done []Done, rows []BenchRow) (findings.Material, error) {
	for _, sand := range sands(done) {
		f.Sand = append(f.Sand, findings.SandLaid{Date: sand.At, Amount: sand.Amount, TopMM: sand.Top, BottomMM: sand.Bottom})
	}
	for _, c := range corings(done) {
		f.Opened = append(f.Opened, findings.Opened{Date: c.At, Touched: c.Touched, DepthMM: c.Depth, Removed: c.Removed, Backfill: c.Backfill})
	}
	f.SandDensity = s.SandDensity()
	f.Doubt = findings.DefaultMaterialDoubt()
	f.Doubt.Density = estimatedDensity(rows)
	m, err := findings.FollowMaterial(f)
	if err != nil {
		return m, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return m, nil
}

// estimatedDensity is the relative standard uncertainty that densities from the mixture share, over all rows.
func estimatedDensity(rows []BenchRow) unit.Fraction {
	n := 0
	for i := range rows {
		if rows[i].Result.BulkDensityFrom == bench.FromMixture {
			n++
		}
	}
	if n == 0 {
		return 0
	}
	return bench.Defaults().MixtureRelative * unit.Fraction(n) / unit.Fraction(len(rows))
}

func profiles(rounds []balance.Round) []findings.Profile {
	out := make([]findings.Profile, len(rounds))
	for i, r := range rounds {
		out[i] = findings.Profile{Round: r.Label, Date: r.At}
		for _, l := range r.Layers {
			out[i].Layers = append(out[i].Layers, findings.ProfileLayer{
				TopMM: l.Top, BottomMM: l.Bottom, OM: l.OM.Percent(), OMSE: l.OMSE.Percent(), Density: l.Density, DensitySE: l.DensitySE,
			})
		}
	}
	return out
}

// fixedChange is the trend of a layer as the change at fixed depth.
func fixedChange(top, bottom float64, t findings.Trend) findings.FixedChange {
	return findings.FixedChange{
		TopMM: unit.Millimetres(top), BottomMM: unit.Millimetres(bottom), Rounds: t.Rounds,
		Change: findings.MaterialChange{
			Known: true, PerYear: t.SlopePerYear, SE: t.SE, DF: t.DF, Lower95: t.Lower95, Upper95: t.Upper95, Lower90: t.Lower90, Upper90: t.Upper90,
			PRising: t.PRising, RoundSD: t.RoundSD, Assumed: t.DF == 0, Verdict: t.Verdict, Rounds: t.Rounds,
		},
	}
}

// profilesOf gives the rounds of one green, and the rows they rest on.
func (s *Standing) profilesOf(green string) (rounds []findings.Profile, rows []BenchRow) {
	at := map[string]int{}
	for i := range s.Layers {
		l := &s.Layers[i]
		var own []BenchRow
		byRound := map[string][]BenchRow{}
		var order []string
		for _, row := range l.Rows {
			if row.Green != green {
				continue
			}
			if byRound[row.Round] == nil {
				order = append(order, row.Round)
			}
			byRound[row.Round] = append(byRound[row.Round], row)
			own = append(own, row)
		}
		for _, round := range order {
			layer, date := layerOf(l, byRound[round])
			k, ok := at[round]
			if !ok {
				k = len(rounds)
				at[round] = k
				rounds = append(rounds, findings.Profile{Round: round, Date: date})
			}
			rounds[k].Layers = append(rounds[k].Layers, layer)
		}
		rows = append(rows, own...)
	}
	slices.SortFunc(rounds, func(a, b findings.Profile) int { return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.Round, b.Round)) })
	return rounds, rows
}

// layerOf is one layer of one green in one round, its composites averaged by their cores.
func layerOf(l *Layer, rows []BenchRow) (findings.ProfileLayer, time.Time) {
	var om, u, cores float64
	for i := range rows {
		o := observation(rows[i])
		n := float64(o.Cores)
		if n == 0 {
			n = usualCores
		}
		om += n * float64(o.OM)
		u += n * float64(o.U) * n * float64(o.U)
		cores += n
	}
	om /= cores
	core := l.Trend.CoreSD // one core about its green
	if core == 0 {
		core = om / 3 // the usual scatter of single cores (common practice, no source)
	}
	rho, se, _ := densityOf(rows, rows[0].Round)
	return findings.ProfileLayer{
		TopMM: unit.Millimetres(l.TopMM), BottomMM: unit.Millimetres(l.BottomMM), OM: unit.Percent(om),
		OMSE: unit.Percent(math.Sqrt(core*core/cores + u/cores/cores)), Density: rho, DensitySE: se,
	}, rows[0].Of.Date.Time()
}

// usualCores is the number of cores taken to be in a composite that does not say (common practice, no source).
const usualCores = 5

// doneOn is the work as one green got it: what was done to all greens and to this one.
func doneOn(done []Done, green string) []Done {
	var out []Done
	for _, d := range done {
		if d.Work.Green != "" && d.Work.Green != green {
			continue
		}
		if d.Share > 0 {
			d.SurfaceMM, d.DeepMM, d.SandKgM2, d.Share = d.SurfaceMM/d.Share, d.DeepMM/d.Share, d.SandKgM2/d.Share, 1
		}
		out = append(out, d)
	}
	return out
}
