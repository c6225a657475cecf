package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"
)

const (
	coresEach    = 5
	coreDiameter = 20.0 // mm
)

// round of sampling: which greens give every layer, and which the top layer only.
type roundPlan struct {
	label     string
	date      time.Time
	full, top []string
}

var layers = [][2]float64{{0, 20}, {20, 40}, {40, 60}}

// scatter is the relative standard deviation of a single core, by layer (common practice, no source: a quarter to a
// third of the mean at the surface).
var scatter = []float64{0.24, 0.20, 0.18}

// composite is the cores of one green and layer, as they really are.
type composite struct {
	sample, green string
	round         roundPlan
	layer         int
	fraction      float64 // of organic matter
	dry           float64 // g
	sands         parcel  // whose mineral part tells which sands it holds
}

// takeRound cores the greens of a round out of their true columns.
func takeRound(r *rand.Rand, prefix string, p roundPlan, s snapshot, greens []green) []composite {
	var taken []composite
	for k := range layers {
		for i, g := range greens {
			whole := slices.Contains(p.full, g.id)
			if !whole && (k > 0 || !slices.Contains(p.top, g.id)) {
				continue
			}
			taken = append(taken, core(r, prefix, p, k, g, s.columns[i]))
		}
	}
	return taken
}

// core takes five cores and puts them together: their organic matter scatters from core to core, the knife cuts a
// layer half a millimetre thick or thin.
func core(r *rand.Rand, prefix string, p roundPlan, k int, g green, c *column) composite {
	top, bottom := layers[k][0], layers[k][1]
	lies := c.between(top, bottom)
	f := lies.fraction() * math.Exp(scatter[k]/math.Sqrt(coresEach)*r.NormFloat64())
	density := 1 / (f/organicDensity + (1-f)/mineralDensity) // kg/m³
	thick := (bottom - top) * near(r, 0.02)                  // mm
	volume := coresEach * math.Pi / 4 * coreDiameter * coreDiameter * thick / 1000
	return composite{
		sample: fmt.Sprintf("%s-%s-%s-%g-%g", prefix, p.label, g.id, top, bottom), green: g.id,
		round: p, layer: k, fraction: f, dry: density * volume / 1000, sands: lies,
	}
}

const sampleColumns = "sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm,verdure,position"

func addSamples(t *table, course string, taken []composite, position string) {
	for _, c := range taken {
		z := layers[c.layer]
		t.add(c.sample, course, c.green, c.round.label, date(c.round.date), plain0(z[0]), plain0(z[1]),
			fmt.Sprint(coresEach), plain(coreDiameter), "kept", position)
	}
}

// plain0 is plain with zero printed.
func plain0(x float64) string {
	if x == 0 {
		return "0"
	}
	return plain(x)
}
