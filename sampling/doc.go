// Package sampling plans rounds: what a design of greens, cores and rounds can see, what it costs, and which design is
// the cheapest for a wanted precision.
//
// Components are what a figure scatters by. With a Design they give an Estimate of the course's mean, of a change between
// two rounds or of a slope; Trend does so for any panel, rotating greens and holes included. An Estimate knows its half
// width, its power and the smallest change it would see. Cheapest searches all designs within limits; NextRound says what
// one more round is worth. Everything is in the unit the components are in, percentage points unless said otherwise, and in
// years. The derivations are in docs/model/sampling.md.
package sampling
