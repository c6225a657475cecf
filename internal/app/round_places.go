package app

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/internal/exchange"
	"underfoot/outline"
)

// GreenPlaces is where the cores of a round are taken on one green.
type GreenPlaces struct {
	Green  string   `json:"green"`
	Full   bool     `json:"every_layer"`
	AreaM2 *float64 `json:"area_m2"` // of its outline
	Places []Place  `json:"places"`  // in walking order; none without an outline
	WalkM  float64  `json:"walk_m"`
	Walk   []string `json:"walk"` // in words, where there are no places
	Why    string   `json:"why"`  // why there are no places, or no tapes
	Near   string   `json:"near"` // how near places come where that is nearer than usual

	Title   string           `json:"-"`
	Outline *outline.Outline `json:"-"`
	Plane   outline.Plane    `json:"-"`
	Fixed   []outline.Fixed  `json:"-"`
}

// Place is where one core is taken.
type Place struct {
	Core         int     `json:"core"`
	LongitudeDeg float64 `json:"longitude_deg"`
	LatitudeDeg  float64 `json:"latitude_deg"`
	Tape         string  `json:"tape"` // two tape distances in words, or ""

	Point outline.Point `json:"-"`
	Tapes *outline.Tape `json:"-"`
}

// OutlineOf is the shape of a green; nil without an error where there is none.
func OutlineOf(rs *underfoot.Records, green string) (*outline.Outline, error) {
	i := slices.IndexFunc(rs.Outlines, func(o underfoot.Outline) bool { return o.Green == green })
	if i < 0 {
		return nil, nil
	}
	raw, err := exchange.Polygons(&rs.Outlines[i])
	if err != nil {
		return nil, err
	}
	return newOutline(raw)
}

// newOutline makes an outline of polygons of [longitude, latitude].
func newOutline(raw [][][][2]float64) (*outline.Outline, error) {
	var polygons []outline.Polygon
	for _, p := range raw {
		var polygon outline.Polygon
		for _, r := range p {
			var ring outline.Ring
			for _, c := range r {
				if at := (outline.Position{Longitude: c[0], Latitude: c[1]}); len(ring) == 0 || ring[len(ring)-1] != at {
					ring = append(ring, at)
				}
			}
			polygon = append(polygon, ring)
		}
		polygons = append(polygons, polygon)
	}
	return outline.New(polygons)
}

// placesOf says where the cores of a plan are taken on a green: the stored positions, or those its seed gives.
func (s *Standing) placesOf(p *underfoot.RoundPlan, green string) GreenPlaces {
	out := GreenPlaces{Green: green, Title: s.GreenTitle(green), Places: []Place{}, Walk: []string{}}
	o, err := OutlineOf(s.Records, green)
	if err != nil {
		out.Why = err.Error()
	}
	at := s.storedPositions(p, green)
	switch {
	case o != nil:
		area := float64(o.Area())
		out.Outline, out.Plane, out.AreaM2 = o, o.Plane(), &area
		if len(at) != p.Cores.Or(len(at)) || len(at) == 0 {
			at, err = drawPlaces(o, p, green)
		}
	case len(at) > 0:
		out.Plane = outline.NewPlane(at[0])
	default:
		err = firstError(err, errors.New("no outline of this green is known: draw it, or walk by shares of its length and width"))
	}
	if err != nil {
		out.Why = err.Error()
		out.walkInWords(p)
		return out
	}
	for _, f := range s.Records.FixedPoints {
		if f.Green == green {
			out.Fixed = append(out.Fixed, outline.Fixed{Name: f.Point, At: out.Plane.Point(outline.Position{Longitude: f.Longitude, Latitude: f.Latitude})})
		}
	}
	out.lay(at)
	out.Near = out.tooNear()
	return out
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// lay numbers the positions and finds their tapes.
func (g *GreenPlaces) lay(at []outline.Position) {
	for i, a := range at {
		place := Place{Core: i + 1, LongitudeDeg: a.Longitude, LatitudeDeg: a.Latitude, Point: g.Plane.Point(a)}
		if i > 0 {
			g.WalkM += place.Point.Distance(g.Places[i-1].Point)
		}
		switch t, err := outline.Tapes(place.Point, g.Fixed, longestTape); {
		case len(g.Fixed) < 2:
			g.Why = "tape distances need two fixed points beside the green, such as sprinkler heads"
		case err != nil:
			g.Why = fmt.Sprintf("core %d: %v", i+1, err)
		default:
			place.Tapes, place.Tape = &t, t.String()
		}
		g.Places = append(g.Places, place)
	}
}

// tooNear says how near places come to the edge and to each other where that is nearer than is usual: the green is small
// for so many, or they were put there.
func (g *GreenPlaces) tooNear() string {
	const slack = 0.005 // m; kept positions are rounded
	edge, apart := math.Inf(1), math.Inf(1)
	for i, p := range g.Places {
		if g.Outline != nil {
			edge = min(edge, g.Outline.EdgeDistance(p.Point))
		}
		for _, q := range g.Places[:i] {
			apart = min(apart, p.Point.Distance(q.Point))
		}
	}
	var near []string
	if edge < outline.UsualEdge-slack {
		near = append(near, fmt.Sprintf("%.1f m from the edge, where %g m is usual", edge, outline.UsualEdge))
	}
	if apart < outline.UsualApart-slack {
		near = append(near, fmt.Sprintf("%.1f m from each other, where %g m is usual", apart, outline.UsualApart))
	}
	if len(near) == 0 {
		return ""
	}
	return "the green is small for so many cores: they come as near as " + strings.Join(near, ", and ")
}

// walkInWords gives the places as shares of length and width.
func (g *GreenPlaces) walkInWords(p *underfoot.RoundPlan) {
	shares, err := outline.Stroll(p.Cores.Or(5), strollSeed(*p, g.Green))
	if err != nil {
		g.Why = err.Error()
		return
	}
	for _, w := range shares {
		g.Walk = append(g.Walk, w.String())
	}
}

// storedPositions are those of a round on a green, by core; none where the plan is to give other ones than the kept one.
func (s *Standing) storedPositions(plan *underfoot.RoundPlan, green string) []outline.Position {
	for _, kept := range s.Records.RoundPlans {
		if kept.Round == plan.Round && !samePlaces(kept, *plan) {
			return nil
		}
	}
	round := plan.Round
	var out []outline.Position
	for _, p := range s.Records.Positions { // sorted by key
		if p.Round == round && p.Green == green {
			out = append(out, outline.Position{Longitude: p.Longitude, Latitude: p.Latitude})
		}
	}
	return out
}

// samePlaces says whether two plans give the same places on a green.
func samePlaces(a, b underfoot.RoundPlan) bool { return a.Seed == b.Seed && a.Cores == b.Cores }

// drawPlaces gives the positions that the seed of a plan gives, in walking order. On a small green they are put closer to the
// edge and to each other, down to a tenth of what is usual.
func drawPlaces(o *outline.Outline, p *underfoot.RoundPlan, green string) ([]outline.Position, error) {
	w := outline.Wish{Count: p.Cores.Or(5), Seed: strollSeed(*p, green), Edge: outline.UsualEdge, Apart: outline.UsualApart}
	points, err := o.Spread(w)
	for share := 0.5; err != nil && share > 0.05; share /= 2 {
		w.Edge, w.Apart = share*outline.UsualEdge, share*outline.UsualApart
		points, err = o.Spread(w)
	}
	if err != nil {
		return nil, err
	}
	var out []outline.Position
	for _, i := range outline.Walk(points) {
		out = append(out, o.Plane().Position(points[i]))
	}
	return out, nil
}

// Waypoints are the places of the round for a phone.
func (f *RoundFound) Waypoints() []exchange.Waypoint {
	var out []exchange.Waypoint
	for _, g := range f.Greens {
		for _, p := range g.Places {
			out = append(out, exchange.Waypoint{
				Course: f.Course, Green: g.Green, Round: f.Round, Core: p.Core, Name: g.Green + "-" + underfoot.FormatNumber(float64(p.Core)), About: p.Tape,
				Longitude: p.LongitudeDeg, Latitude: p.LatitudeDeg,
			})
		}
	}
	return out
}

// GeoJSON are the places of the round as GeoJSON.
func (f *RoundFound) GeoJSON() ([]byte, error) { return exchange.WaypointsJSON(f.Waypoints()) }

// GPX are the places of the round as GPX 1.1.
func (f *RoundFound) GPX(course string) ([]byte, error) {
	return exchange.WaypointsGPX(course+", round "+f.Round, f.Waypoints())
}
