package sieve

import "underfoot/unit"

// Allowed is the range of percent passing that limits leave at a size.
type Allowed struct {
	Size      unit.Millimetres
	Low, High unit.Percent
}

// RootZoneEnvelope is what the limits of [RootZoneLimits] leave of percent passing, the finest size first:
//
//	0.05 mm: 0 to 8 (silt and clay); 0.15: 0 to 10; 0.25: 0 to 30 (and fine sand); 1: 90 to 100; 2: 97 to 100 %
//
// A curve outside it breaks a limit; one inside may still break the limit on coarse and medium sand together, or on very fine
// sand.
func RootZoneEnvelope() []Allowed {
	return []Allowed{{0.05, 0, 8}, {0.15, 0, 10}, {0.25, 0, 30}, {1, 90, 100}, {2, 97, 100}}
}
