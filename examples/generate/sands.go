package main

import (
	"math"
	"math/rand/v2"
)

// The sands of the larger course.
const (
	rootID = "vm-root"
	oldID  = "vm-dress-a"
	newID  = "vm-dress-b"
)

var sandKind = map[string]int{rootID: rootSand, oldID: oldDressing, newID: newDressing}

// bulkDensity is what a millimetre of the sand weighs as it is spread [kg/m³].
var bulkDensity = map[string]float64{rootID: 1580, oldID: 1560, newID: 1540, "os-dress": 1560}

// sieveSizes are openings [mm]; passing gives for each the percent of each kind of sand that goes through.
var (
	sieveSizes = []float64{4, 2, 1, 0.5, 0.25, 0.15, 0.053}
	passing    = [sandKinds][]float64{
		rootSand:    {100, 99.2, 91.0, 62.0, 22.0, 6.0, 1.8},
		oldDressing: {100, 99.8, 95.0, 70.0, 20.0, 3.8, 0.8},
		newDressing: {100, 100, 98.6, 84.5, 34.5, 7.6, 1.2},
	}
)

// pricePerTonne is what delivered topdressing sand costs [GBP/t]; moistSand is the water it comes with [%].
var pricePerTonne = map[string]float64{oldID: 41, newID: 46.5}

const moistSand = 5.0

func sandsTable() *table {
	t := newTable("sands.csv", "sand,name,role,bulk_density_kg_m3,moisture_percent,price_per_t,currency,load_t")
	t.add(rootID, "Root-zone sand", "rootzone", "1580", "", "", "", "")
	t.add(oldID, "Dressing sand A, medium", "topdressing", "1560", "5", "41.00", "GBP", "20")
	t.add(newID, "Dressing sand B, medium-fine", "topdressing", "1540", "5", "46.50", "GBP", "20")
	return t
}

// sieved gives what a mass of a mixture [g] leaves on each sieve and, last, in the pan, as weighed to 0.01 g; ash adds
// a little plant silica to the pan.
func sieved(r *rand.Rand, p parcel, mass, silica float64) []float64 {
	total := p.mineral()
	through := func(i int) float64 {
		sum := 0.0
		for k := range p.sand {
			sum += p.sand[k] / total * passing[k][i]
		}
		return (1-silica)*sum + silica*100
	}
	var retained []float64
	above := 100.0
	for i := range sieveSizes {
		here := through(i)
		retained = append(retained, weighed(r, mass*(above-here)/100))
		above = here
	}
	return append(retained, weighed(r, mass*above/100))
}

// weighed is one sieve's content: 2 % scatter of the class, half a percent lost in the mesh.
func weighed(r *rand.Rand, g float64) float64 {
	return round(max(0, g*near(r, 0.02)*0.995), 2)
}

func addSieve(t *table, source string, retained []float64) {
	for i, g := range retained {
		size := "0"
		if i < len(sieveSizes) {
			size = plain(sieveSizes[i])
		}
		t.add(source, size, fixed(math.Abs(g), 2))
	}
}

// sandCost is the price of sand [kg/m²] for an area [m²], delivered moist [GBP].
func sandCost(sand string, kg, area float64) float64 {
	return kg * area / 1000 * (1 + moistSand/100) * pricePerTonne[sand]
}
