// Package outline knows the shape of a green: its area, what lies inside, how far a place is from the edge, and where the
// cores of a round are taken.
//
// An [Outline] is made of polygons with holes in degrees of WGS 84, as GeoJSON has them. Everything but its area is worked
// out in metres on a [Plane] that touches the ellipsoid at the green. [Outline.Spread] gives places that are spread evenly,
// repeatable and extendable; [Tapes] says where they lie by two tape distances, and [Stroll] in words where there is no
// outline. The derivations are in docs/model/outline.md.
package outline
