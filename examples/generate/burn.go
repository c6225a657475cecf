package main

import "fmt"

// coldSample is the composite whose crucible stood in the cold corner of a second, short run in 2024.
const coldSample = "vm-2024-autumn-g12-0-20"

// runBias of the furnace runs, relative, in order: most are small, one run of 2025 burns high enough for a warning.
var runBias = []float64{0.002, -0.006, 0.004, -0.002, 0.009, -0.004, 0.003, -0.008, 0.024, 0.001, -0.003, 0.006, 0.002, -0.005}

// burnRound puts a round's composites through the furnace, eight a run, with blank, controls and a duplicate each.
func burnRound(f *furnace, p roundPlan, taken []composite) {
	var cold []composite
	started, done := 0, 0
	open := func(bias float64) {
		started++
		f.start(fmt.Sprintf("vm-%s-%d", p.label, started), bias)
		f.quality(2)
	}
	for _, c := range taken {
		if c.sample == coldSample {
			cold = append(cold, c)
			continue
		}
		if done%perRun == 0 {
			open(runBias[f.runs%len(runBias)])
			f.runs++
			f.duplicate(c)
		}
		parts := 1
		if c.layer == 0 && (c.green == "g09" || c.green == "g16") && p.date.Year() >= 2024 {
			parts = 2
		}
		f.sample(c, parts, p.date.Year() >= 2025)
		done++
	}
	for _, c := range cold { // 390 °C leaves a little unburnt
		open(0)
		f.ashC, f.bias = 390, -0.045
		f.sample(c, 1, false)
	}
}

// sievesAsh says whose ash was kept for the sieves.
func sievesAsh(c composite) bool {
	return c.green == "g03" || c.green == "g09" && c.layer == 0
}
