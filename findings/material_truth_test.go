package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"underfoot/unit"
)

// parcel is a thin slice of an invented green. Slices keep their order and their mineral.
type parcel struct {
	mineral, organic float64 // kg/m²
	band             int     // layer of the first round it lay in; −1 for sand that came later
}

// thick is the thickness [mm]: organic and mineral fill 220 and 1600 kg/m³ (a form of Federer, Turcotte & Smith 1993,
// Can. J. For. Res. 23:1026–1032; densities are working values, no source).
func (p parcel) thick() float64 { return 1000 * (p.organic/220 + p.mineral/1600) }

// invented is a course on which the material is followed.
type invented struct {
	name       string
	first      func(z float64) float64 // organic share by depth [mm]
	sand       float64                 // a year, in monthly dressings [kg/m²]
	cored      float64                 // share taken out and filled, each spring
	grows      float64                 // organic matter formed a year [kg/m²]
	rots       float64                 // share a year
	layersOf20 int
}

func inventedCourses() []invented {
	falling := func(z float64) float64 { return 0.012 + 0.055*math.Exp(-z/22) }
	young := func(z float64) float64 { // a mat of 25 mm on a clean root zone
		if z < 25 {
			return 0.06
		}
		return 0.008
	}
	buried := func(z float64) float64 { // a rich layer that was dressed over
		if z > 25 && z < 45 {
			return 0.07
		}
		return 0.03
	}
	return []invented{
		{"steady dressing", falling, 8, 0, 1.0, 0.25, 4},
		{"heavy dressing", falling, 16, 0, 1.0, 0.25, 5},
		{"light dressing", falling, 3, 0, 0.8, 0.25, 3},
		{"nothing grows", falling, 8, 0, 0, 0, 4},
		{"cored and filled", falling, 6, 0.08, 1.0, 0.25, 4},
		{"young mat", young, 8, 0, 1.0, 0.25, 4},
		{"rich layer buried", buried, 8, 0, 1.0, 0.25, 4},
	}
}

// play gives yearly rounds of the course and, in each, the organic and mineral mass of each band's own slices and the
// organic matter of everything down to the uppermost band's lower end.
func (c invented) play(rounds int) (f Following, own [][]parcel, above []float64) {
	const slice = 0.5 // mm
	var green []parcel
	for z := 0.0; z < 160; z += slice {
		om := c.first(z + slice/2)
		mass := slice / 1000 / (om/220 + (1-om)/1600)
		green = append(green, parcel{(1 - om) * mass, om * mass, int(z / 20)})
	}
	f.SandDensity = 1600
	for year := range rounds {
		f.Rounds = append(f.Rounds, c.sampled(green, year))
		sums := make([]parcel, c.layersOf20)
		var down float64
		for _, p := range green {
			if p.band >= 0 && p.band < len(sums) {
				sums[p.band].mineral += p.mineral
				sums[p.band].organic += p.organic
			}
			if p.band < 1 {
				down += p.organic
			}
		}
		own, above = append(own, sums), append(above, down)
		if c.cored > 0 {
			green = c.core(green)
			f.Opened = append(f.Opened, Opened{Date: after(float64(year) + 0.02), Touched: unit.Fraction(c.cored), DepthMM: 50, Removed: true, Backfill: unit.KgPerM2(c.cored * 0.050 * 1600)})
		}
		for month := range 12 {
			green = c.month(green)
			f.Sand = append(f.Sand, SandLaid{Date: after(float64(year) + 0.05 + float64(month)/13), Amount: unit.KgPerM2(c.sand / 12)})
		}
	}
	return f, own, above
}

// sampled cuts the green into layers of 20 mm.
func (c invented) sampled(green []parcel, year int) Profile {
	p := Profile{Round: fmt.Sprint(2015 + year), Date: after(float64(year))}
	sums := make([]parcel, c.layersOf20)
	z := 0.0
	for _, s := range green {
		h := s.thick()
		for k := range sums {
			share := max(0, min(z+h, 20*float64(k+1))-max(z, 20*float64(k))) / h
			sums[k].mineral += share * s.mineral
			sums[k].organic += share * s.organic
		}
		z += h
	}
	for k, s := range sums {
		p.Layers = append(p.Layers, ProfileLayer{
			TopMM: unit.Millimetres(20 * k), BottomMM: unit.Millimetres(20*k + 20),
			OM: unit.Percent(100 * s.organic / (s.organic + s.mineral)), Density: unit.KgPerM3((s.organic + s.mineral) / 0.020),
		})
	}
	return p
}

// month lays a dressing on and lets the green grow and rot for a twelfth of a year.
func (c invented) month(green []parcel) []parcel {
	green = slices.Insert(green, 0, parcel{c.sand / 12, 0, -1})
	const depth = 9.0 // mm over which growth falls to a third
	z := 0.0
	for i := range green {
		h := green[i].thick()
		grown := c.grows / 12 * (math.Exp(-z/depth) - math.Exp(-(z+h)/depth))
		z += h
		green[i].organic += grown - green[i].organic*c.rots/12
	}
	return green
}

// core takes a share out down to 50 mm and fills it with sand.
func (c invented) core(green []parcel) []parcel {
	var out []parcel
	z := 0.0
	for _, p := range green {
		h := p.thick()
		share := c.cored * min(max((50-z)/h, 0), 1)
		z += h
		p.mineral, p.organic = p.mineral*(1-share), p.organic*(1-share)
		out = append(out, p)
		if share > 0 {
			out = append(out, parcel{share * h / 1000 * 1600, 0, -1})
		}
	}
	return out
}

// Noise-free rounds of courses with a known truth: what is left is reading between the bottoms of layers. The stated
// standard error of that must be about right, so that 95 % intervals hold the truth; docs/model/material.md gives
// what this prints.
func TestFollowingAgainstTruth(t *testing.T) {
	var squares, n, outside float64
	for _, c := range inventedCourses() {
		t.Run(c.name, func(t *testing.T) {
			f, own, above := c.play(5)
			m := followed(t, f)
			for k, b := range m.Bands {
				for _, r := range b.Rounds[1:] {
					j := slices.IndexFunc(f.Rounds, func(p Profile) bool { return p.Round == r.Round })
					truth := own[j][k].organic
					if k == 0 {
						truth = above[j]
					}
					z := (float64(r.Organic) - truth) / float64(r.OrganicSE)
					squares, n = squares+z*z, n+1
					if math.Abs(z) > 1.96 {
						outside++
					}
					t.Logf("%g mm in %s, now %.0f–%.0f mm: %.3f ± %.3f kg/m², truth %.3f (%+.1f); %.2f %%, truth %.2f", float64(b.TopMM), r.Round,
						float64(r.TopMM), float64(r.BottomMM), float64(r.Organic), float64(r.OrganicSE), truth, z, float64(r.OM), 100*own[j][k].organic/(own[j][k].organic+own[j][k].mineral))
				}
			}
		})
	}
	if rms := math.Sqrt(squares / n); rms > 1 || outside/n > 0.05 {
		t.Errorf("errors are %.2f of the stated standard errors, %.0f %% beyond 1.96: want no more than 1 and 5 %%", rms, 100*outside/n)
	} else {
		t.Logf("errors are %.2f of the stated standard errors; %.0f of %.0f beyond 1.96", rms, outside, n)
	}
}

// Cores, densities and the log of work with errors as stated: about 95 in 100 intervals of what a round holds must hold
// the truth, and those of the change too.
func TestFollowingCoversTheTruth(t *testing.T) {
	const trials = 60
	rng := rand.New(rand.NewPCG(20261125, 1))
	doubt := DefaultMaterialDoubt()
	var held, asked, changes, changed int
	for _, c := range inventedCourses() {
		exact, own, above := c.play(5)
		for range trials {
			f := exact
			f.Doubt = doubt
			f.Rounds = nil
			for _, p := range exact.Rounds {
				p.Layers = slices.Clone(p.Layers)
				for k := range p.Layers {
					l := &p.Layers[k]
					l.OMSE, l.DensitySE = 0.06*l.OM, 0.03*l.Density
					l.OM += l.OMSE * unit.Percent(rng.NormFloat64())
					l.Density += l.DensitySE * unit.KgPerM3(rng.NormFloat64())
				}
				f.Rounds = append(f.Rounds, p)
			}
			f.Sand = slices.Clone(exact.Sand)
			factor := map[int]float64{}
			for i := range f.Sand {
				year := f.Sand[i].Date.Year()
				if factor[year] == 0 {
					factor[year] = max(0.1, 1+float64(doubt.Sand)*rng.NormFloat64())
				}
				f.Sand[i].Amount *= unit.KgPerM2(factor[year])
			}
			for k, b := range followed(t, f).Bands {
				var years, truths []float64
				for _, r := range b.Rounds {
					j := slices.IndexFunc(f.Rounds, func(p Profile) bool { return p.Round == r.Round })
					truth := own[j][k].organic
					if k == 0 {
						truth = above[j]
					}
					years, truths = append(years, float64(j)), append(truths, truth)
					asked++
					if math.Abs(float64(r.Organic)-truth) <= 1.96*float64(r.OrganicSE) {
						held++
					}
				}
				if len(years) < 3 {
					continue
				}
				truth := series{years: years, value: truths, se: ones(len(years))}.line(0).PerYear
				changes++
				if b.Stock.Lower95 <= truth && truth <= b.Stock.Upper95 {
					changed++
				}
			}
		}
	}
	round, slope := 100*float64(held)/float64(asked), 100*float64(changed)/float64(changes)
	t.Logf("%.1f %% of %d intervals of a round and %.1f %% of %d intervals of a change hold the truth", round, asked, slope, changes)
	if round < 93 || slope < 93 {
		t.Errorf("%.1f %% of the intervals of a round and %.1f %% of those of a change hold the truth: want at least 93", round, slope)
	}
}
