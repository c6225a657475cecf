package profile

import (
	"fmt"
	"math"
)

// Unknown numbers what a course's rounds have to tell about a column.
type Unknown int

// The unknowns of a column, in the order of [Params].
const (
	Growth         Unknown = iota // κ
	SlowRate                      // k
	FastRate                      // kq
	FastShare                     // a
	RootDepth                     // λ
	DeepShare                     // ω
	Surface                       // f0
	Base                          // fb
	Fade                          // ζ
	Coring                        // e
	Filling                       // c
	Sanding                       // m
	Nitrogen                      // b
	OrganicDensity                // ρo
	Unknowns                      // how many there are
)

// Scale says on which scale an unknown is free to move; derivatives are by the place on that scale.
type Scale uint8

// The scales.
const (
	Log   Scale = iota // x = ln p, p > 0
	Logit              // x = ln(p/(1−p)), 0 < p < 1
)

// Params holds a value for every unknown, in the units of [Table].
type Params [Unknowns]float64

// Entry is one unknown in the table that feeds priors, forms, help and the documents.
type Entry struct {
	Name, Symbol, Unit string
	Scale              Scale
	Middle             float64 // where it lies before any round: median
	Spread             float64 // standard deviation on its scale
	Low, High          float64 // allowed
	Source             string
}

// Range gives the 5 % and 95 % points of the entry's prior.
func (e Entry) Range() (low, high float64) {
	const z = 1.6448536269514722 // normal 95 % point
	x := e.Scale.Of(e.Middle)
	return e.Scale.Value(x - z*e.Spread), e.Scale.Value(x + z*e.Spread)
}

// Of gives the place of a value on the scale.
func (s Scale) Of(v float64) float64 {
	if s == Logit {
		return math.Log(v / (1 - v))
	}
	return math.Log(v)
}

// Value gives the value at a place on the scale.
func (s Scale) Value(x float64) float64 {
	if s == Logit {
		return 1 / (1 + math.Exp(-x))
	}
	return math.Exp(x)
}

// Default gives the middle of every entry of [Table].
func Default() Params {
	var p Params
	for i, e := range Table {
		p[i] = e.Middle
	}
	return p
}

// Coordinates gives the place of every value on its scale.
func (p Params) Coordinates() (x [Unknowns]float64) {
	for i, e := range Table {
		x[i] = e.Scale.Of(p[i])
	}
	return x
}

// At is the inverse of [Params.Coordinates]; values are held within the limits of [Table].
func At(x [Unknowns]float64) (p Params) {
	for i, e := range Table {
		p[i] = min(max(e.Scale.Value(x[i]), e.Low), e.High)
	}
	return p
}

// Check refuses values outside the limits of [Table].
func (p Params) Check() error {
	for i, e := range Table {
		if !(p[i] >= e.Low && p[i] <= e.High) {
			return fmt.Errorf("%s is %s: give %g to %g", e.Name, said(p[i], e.Unit), e.Low, e.High)
		}
	}
	return nil
}
