// Package sampling plans rounds: what a design of greens, cores and rounds can see, what it costs, and which design is
// the cheapest for a wanted precision.
package sampling
