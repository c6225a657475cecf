// Package findings says what the records of one course show: how much organic matter each round
// found, whether it is changing, how even the greens are, and which way the surface asks it to go.
//
// It takes slices of its own small structs and gives back numbers with their doubt and the words
// that go with them. Observations are whole-sample results only: a screened or scooped test is
// another quantity and is never handed in. Nothing here sets a target: the direction comes from
// readings on the surface, or from the stated judgement of whoever looks after it.
//
// The assumptions, the derivations and what falls short are in docs/model/findings.md.
package findings
