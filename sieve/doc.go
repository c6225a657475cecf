// Package sieve turns what stayed on the sieves into a curve of grain sizes, and says what the curve means: percentile
// sizes, size classes by three systems, limits met or not, blends, distance between sands, drift over rounds, how far
// formulas for permeability may be trusted, and which sand to choose.
//
// A Sheet is one sieving; its Curve is what everything else asks. Nothing is guessed beyond the sieves that were used: what
// lies outside them is not known, and a range is given where bounds are. Every class carries the standard deviation that
// repeated sievings of a material would show. The derivations and limits are in docs/model/sieve.md.
package sieve
