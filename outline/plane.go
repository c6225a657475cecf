package outline

import (
	"fmt"
	"math"
)

// Position is a place on WGS 84 [°], longitude east and latitude north.
type Position struct{ Longitude, Latitude float64 }

// Point is a place on a plane [m].
type Point struct{ East, North float64 }

// Distance is how far two points are from each other [m].
func (p Point) Distance(q Point) float64 { return math.Hypot(p.East-q.East, p.North-q.North) }

func (p Position) check() error {
	switch {
	case !(p.Longitude >= -180 && p.Longitude <= 180):
		return fmt.Errorf("longitude %g°: allowed is −180 to 180", p.Longitude)
	case !(p.Latitude >= -90 && p.Latitude <= 90):
		return fmt.Errorf("latitude %g°: allowed is −90 to 90", p.Latitude)
	}
	return nil
}

// Plane touches the ellipsoid at a position, with east and north from there. Lengths on it are short by (d/R)²/6 of a
// distance d from where it touches: 4 parts in a thousand million over 1 km.
// Source: IOGP, Geomatics Guidance Note 7, part 2, geographic to topocentric conversions (EPSG 9837), heights of 0.
type Plane struct {
	x, y, z                        float64 // where it touches, earth-centred [m]
	sinLon, cosLon, sinLat, cosLat float64
}

// NewPlane touches the ellipsoid at the position.
func NewPlane(at Position) Plane {
	var p Plane
	p.sinLon, p.cosLon = math.Sincos(at.Longitude * radian)
	p.sinLat, p.cosLat = math.Sincos(at.Latitude * radian)
	p.x, p.y, p.z = earthCentred(at, 0)
	return p
}

// earthCentred are the Cartesian coordinates [m] of a position at a height [m] above the ellipsoid.
// Source: as Plane, geographic to geocentric conversions (EPSG 9602).
func earthCentred(at Position, height float64) (x, y, z float64) {
	sinLon, cosLon := math.Sincos(at.Longitude * radian)
	sinLat, cosLat := math.Sincos(at.Latitude * radian)
	n := semiMajor / math.Sqrt(1-e2*sinLat*sinLat)
	return (n + height) * cosLat * cosLon, (n + height) * cosLat * sinLon, (n*(1-e2) + height) * sinLat
}

// topocentric are east, north and up [m] of earth-centred coordinates.
func (p Plane) topocentric(x, y, z float64) (east, north, up float64) {
	dx, dy, dz := x-p.x, y-p.y, z-p.z
	out := p.cosLon*dx + p.sinLon*dy
	return -p.sinLon*dx + p.cosLon*dy, -p.sinLat*out + p.cosLat*dz, p.cosLat*out + p.sinLat*dz
}

// Point is where a position lies on the plane.
func (p Plane) Point(at Position) Point {
	east, north, _ := p.topocentric(earthCentred(at, 0))
	return Point{east, north}
}

// Position is the place on the ellipsoid under a point of the plane, which must lie within some 1000 km of where it
// touches. The drop u from the plane to the ellipsoid solves |D(P + u·U)|² = 1 with D = diag(1/a, 1/a, 1/b); a point of
// the ellipsoid has tan φ = z/((1 − e²)·√(x² + y²)).
func (p Plane) Position(at Point) Position {
	out := -p.sinLat * at.North
	x := p.x - p.sinLon*at.East + p.cosLon*out
	y := p.y + p.cosLon*at.East + p.sinLon*out
	z := p.z + p.cosLat*at.North
	ux, uy, uz := p.cosLat*p.cosLon, p.cosLat*p.sinLon, p.sinLat
	const a2, b2 = semiMajor * semiMajor, semiMinor * semiMinor
	square := (ux*ux+uy*uy)/a2 + uz*uz/b2
	middle := (x*ux+y*uy)/a2 + z*uz/b2
	rest := (x*x+y*y)/a2 + z*z/b2 - 1
	u := -rest / (middle + math.Sqrt(max(0, middle*middle-square*rest)))
	x, y, z = x+u*ux, y+u*uy, z+u*uz
	return Position{math.Atan2(y, x) / radian, math.Atan2(z, (1-e2)*math.Hypot(x, y)) / radian}
}
