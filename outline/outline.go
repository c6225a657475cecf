package outline

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Ring is a closed line: its last position is its first.
type Ring []Position

// Polygon is an outer ring and the rings of its holes.
type Polygon []Ring

// Outline is the shape of a green.
type Outline struct {
	polygons []Polygon
	plane    Plane
	rings    [][]Point // all of them on the plane, closed
	area     float64   // [m²]
	low      Point
	high     Point
}

// Bounds of what is taken for a green (common practice, no source).
const (
	mostCorners = 5000
	farthest    = 2000.0 // across [m]
)

// New makes an outline of polygons with holes. A ring may run either way round and is turned so that outer rings run
// counter-clockwise and holes clockwise (RFC 7946, section 3.1.6, which asks readers to take both). Rings that cross
// themselves or one another are refused, and so are holes outside their polygon, shapes over the antimeridian or around a
// pole, and shapes too large for a green.
func New(polygons []Polygon) (*Outline, error) {
	if len(polygons) == 0 {
		return nil, errors.New("outline: no polygon: give at least one ring of corners")
	}
	o := &Outline{}
	corners := 0
	for i, p := range polygons {
		if len(p) == 0 {
			return nil, fmt.Errorf("outline: %s has no ring: give its corners", nameOf(polygons, i, 0))
		}
		var turned Polygon
		for j, r := range p {
			if corners += len(r) - 1; corners > mostCorners {
				return nil, fmt.Errorf("outline: more than %d corners: leave out some, one a metre is plenty", mostCorners)
			}
			if err := checkRing(r); err != nil {
				return nil, fmt.Errorf("outline: %s: %w", nameOf(polygons, i, j), err)
			}
			turned = append(turned, r.turned(j == 0))
		}
		o.polygons = append(o.polygons, turned)
	}
	if err := o.settle(); err != nil {
		return nil, err
	}
	return o, o.checkRings()
}

// nameOf names a ring in an error.
func nameOf(all []Polygon, polygon, ring int) string {
	name := "the outer ring"
	if ring > 0 {
		name = fmt.Sprintf("hole %d", ring)
	}
	if len(all) > 1 {
		name += fmt.Sprintf(" of part %d", polygon+1)
	}
	return name
}

func checkRing(r Ring) error {
	if len(r) < 4 {
		return fmt.Errorf("%d positions: four or more are needed, the last the same as the first", len(r))
	}
	west, east := r[0].Longitude, r[0].Longitude
	for i, p := range r {
		if err := p.check(); err != nil {
			return fmt.Errorf("corner %d: %w", i+1, err)
		}
		west, east = min(west, p.Longitude), max(east, p.Longitude)
		if i > 0 && i < len(r)-1 && p == r[i-1] {
			return fmt.Errorf("corner %d is the same as the one before it: leave it out", i+1)
		}
	}
	if r[0] != r[len(r)-1] {
		return errors.New("it is not closed: its last position must be the same as its first")
	}
	if east-west > 180 {
		return fmt.Errorf("longitudes run from %g° to %g°: a green across the antimeridian cannot be told from one around the world; cut it there in two parts", west, east)
	}
	return nil
}

// turned is the ring counter-clockwise, or clockwise.
func (r Ring) turned(counter bool) Ring {
	out := slices.Clone(r)
	if ringArea(r) > 0 != counter {
		slices.Reverse(out)
	}
	return out
}

// settle lays the rings on a plane through the middle of their box, and works out area and bounds.
func (o *Outline) settle() error {
	low, high := o.polygons[0][0][0], o.polygons[0][0][0]
	for _, p := range o.polygons {
		for _, c := range p[0] {
			low = Position{min(low.Longitude, c.Longitude), min(low.Latitude, c.Latitude)}
			high = Position{max(high.Longitude, c.Longitude), max(high.Latitude, c.Latitude)}
		}
	}
	if high.Longitude-low.Longitude > 180 {
		return fmt.Errorf("outline: longitudes run from %g° to %g°: its parts lie on either side of the antimeridian; give each part as an outline of its own", low.Longitude, high.Longitude)
	}
	o.plane = NewPlane(Position{(low.Longitude + high.Longitude) / 2, (low.Latitude + high.Latitude) / 2})
	o.low, o.high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, p := range o.polygons {
		for _, r := range p {
			var ring []Point
			for _, c := range r {
				q := o.plane.Point(c)
				ring = append(ring, q)
				o.low = Point{min(o.low.East, q.East), min(o.low.North, q.North)}
				o.high = Point{max(o.high.East, q.East), max(o.high.North, q.North)}
			}
			o.rings = append(o.rings, ring)
			o.area += ringArea(r)
		}
	}
	if high.Latitude-low.Latitude > 1 || o.low.Distance(o.high) > farthest {
		return fmt.Errorf("outline: it is %.0f m across: allowed are up to %.0f m; are longitude and latitude the right way round?", o.low.Distance(o.high), farthest)
	}
	return nil
}

// Area is the area on the ellipsoid, holes left out.
func (o *Outline) Area() unit.SquareMetres { return unit.SquareMetres(o.area) }

// Plane is the plane its points are on.
func (o *Outline) Plane() Plane { return o.plane }

// Polygons are its polygons, the outer rings counter-clockwise and the holes clockwise.
func (o *Outline) Polygons() []Polygon { return o.polygons }

// Rings are all its rings on the plane, closed.
func (o *Outline) Rings() [][]Point { return o.rings }

// Bounds are the south-western and the north-eastern corner of the box around it, on the plane.
func (o *Outline) Bounds() (low, high Point) { return o.low, o.high }
