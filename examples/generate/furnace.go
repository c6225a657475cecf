package main

import (
	"fmt"
	"math/rand/v2"
)

const (
	controlID   = "vm-control-a"
	controlTrue = 5.20 // %, accepted
	controlSD   = 0.08 // percentage points
	perRun      = 8    // composites in the furnace beside blank, controls and duplicate
	crucibles   = 48
)

// furnace weighs, burns and weighs again.
type furnace struct {
	r      *rand.Rand
	table  *table
	tares  [crucibles]float64
	next   int // crucible
	run    string
	runs   int     // since the furnace was new
	bias   float64 // relative, of this run
	ashC   int
	hours  int
	burned map[string]float64 // ash of each sample [g]
	used   map[string]bool    // sample and crucible; a pair is written down once
}

func newFurnace(r *rand.Rand) *furnace {
	f := &furnace{r: r, ashC: 440, hours: 8, burned: map[string]float64{}, used: map[string]bool{}}
	f.table = newTable("weighings.csv", "sample,crucible,furnace_run,tare_g,moist_g,dry_g,ash_g,dry_c,ash_c,ash_hours,balance_resolution_g,kind")
	for i := range f.tares {
		f.tares[i] = 38 + 8*r.Float64()
	}
	return f
}

// start opens a run; its temperature and place in the furnace make all of it burn a little more or less.
func (f *furnace) start(run string, bias float64) {
	f.run, f.bias, f.ashC = run, bias, 440
}

// burn puts a mass of dry material [g] with the fraction given into the next crucible; moist [g] is what it weighed
// before the oven, 0 when nobody looked. It gives the ash [g].
func (f *furnace) burn(sample, kind string, dry, fraction, moist float64) float64 {
	n := f.crucible(sample)
	tare := round(f.tares[n]+0.002*f.r.NormFloat64(), 3)
	lost := dry * fraction * (1 + f.bias)
	moistCell := ""
	if moist > 0 {
		moistCell = fixed(tare+moist, 3)
	}
	f.table.add(sample, fmt.Sprintf("c%02d", n+1), f.run, fixed(tare, 3), moistCell, fixed(tare+dry, 3),
		fixed(tare+dry-lost, 3), "105", fmt.Sprint(f.ashC), fmt.Sprint(f.hours), "0.001", kind)
	return dry - lost
}

// crucible takes the next one off the shelf that this sample has not been in.
func (f *furnace) crucible(sample string) int {
	for {
		n := f.next % crucibles
		f.next++
		if key := fmt.Sprint(sample, " ", n); !f.used[key] {
			f.used[key] = true
			return n
		}
	}
}

// quality burns what goes into every run beside the samples: an empty crucible and the control material.
func (f *furnace) quality(controls int) {
	f.burn("blank-"+f.run, "blank", 0.001*float64(f.r.IntN(3)), 1, 0) // a crumb of dust, if anything
	for range controls {
		f.burn(controlID, "control", 20+0.4*f.r.NormFloat64(), controlTrue/100+0.0005*f.r.NormFloat64(), 0)
	}
}

// sample burns one composite, in as many crucibles as asked, all of it.
func (f *furnace) sample(c composite, parts int, moist bool) {
	rest, ash := c.dry, 0.0
	for i := range parts {
		dry := rest / float64(parts-i) * near(f.r, 0.03)
		if i == parts-1 {
			dry = rest
		}
		rest -= dry
		wet := 0.0
		if moist {
			wet = dry * (1.13 + 1.1*c.fraction + 0.01*f.r.NormFloat64())
		}
		ash += f.burn(c.sample, "sample", dry, c.fraction*near(f.r, 0.008), wet)
	}
	f.burned[c.sample] = ash
}

// duplicate burns a second set of cores, taken a hand's breadth from the first.
func (f *furnace) duplicate(c composite) {
	f.burn(c.sample, "duplicate", c.dry*near(f.r, 0.02), c.fraction*near(f.r, 0.05), 0)
}
