package main

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
)

// green is one putting surface: what the records say of it, and what only the generator knows.
type green struct {
	id, name string
	area     int // m²
	built    int // year
	hole     int

	vigour  float64 // factor on the organic matter made
	rich    float64 // factor on the first profile
	spread  float64 // factor on the sand that really lands
	wetter  float64 // points of water content above the course's
	outline [][2]float64
}

// earthRadius is the mean radius R1 of WGS 84 [m].
const earthRadius = 6371008.8

// makeGreens draws n greens on two loops around a point in the sea.
func makeGreens(r *rand.Rand, n int, latitude, longitude float64, built []int) []green {
	var greens []green
	for i := range n {
		g := green{
			id: fmt.Sprintf("g%02d", i+1), name: fmt.Sprintf("Green %d", i+1), hole: i + 1,
			built:  built[i%len(built)],
			vigour: near(r, 0.06), rich: near(r, 0.05), spread: near(r, 0.03), wetter: 0.5 * r.NormFloat64(),
		}
		target := 380 + 320*r.Float64()
		angle := 2 * math.Pi * (float64(i) + 0.3*r.Float64()) / 9
		distance, side := 330+90*r.Float64(), -420.0
		if i >= 9 {
			side, angle = 420, math.Pi-angle
		}
		x, y := side+distance*math.Cos(angle), distance*math.Sin(angle)
		g.outline = outline(r, x, y, target, latitude, longitude)
		g.area = int(math.Round(ringArea(g.outline)))
		greens = append(greens, g)
	}
	return greens
}

// outline is a closed counter-clockwise ring (RFC 7946 3.1.6), longitude before latitude, around x east and y north
// [m] of the point given, enclosing about the area given [m²].
func outline(r *rand.Rand, x, y, area, latitude, longitude float64) [][2]float64 {
	const corners = 28
	stretch, turn := 1.1+0.35*r.Float64(), math.Pi*r.Float64()
	a2, p2 := 0.10*r.Float64(), 2*math.Pi*r.Float64()
	a3, p3 := 0.08*r.Float64(), 2*math.Pi*r.Float64()
	var xs, ys [corners]float64
	twice := 0.0
	for k := range corners {
		t := 2 * math.Pi * float64(k) / corners
		radius := 1 + a2*math.Cos(2*t+p2) + a3*math.Cos(3*t+p3)
		u, v := radius*math.Cos(t)*stretch, radius*math.Sin(t)
		xs[k], ys[k] = u*math.Cos(turn)-v*math.Sin(turn), u*math.Sin(turn)+v*math.Cos(turn)
	}
	for k := range corners {
		j := (k + 1) % corners
		twice += xs[k]*ys[j] - xs[j]*ys[k]
	}
	scale := math.Sqrt(area / (twice / 2))
	perDegree := earthRadius * math.Pi / 180
	var ring [][2]float64
	for k := range corners {
		lat := latitude + (y+scale*ys[k])/perDegree
		lon := longitude + (x+scale*xs[k])/(perDegree*math.Cos(latitude*math.Pi/180))
		ring = append(ring, [2]float64{round(lon, 7), round(lat, 7)})
	}
	return append(ring, ring[0])
}

// ringArea is the area of a small ring on the sphere [m²], positive when it runs counter-clockwise.
func ringArea(ring [][2]float64) float64 {
	sum, radian := 0.0, math.Pi/180
	origin := ring[0]
	for i := range len(ring) - 1 {
		a, b := ring[i], ring[i+1]
		east := math.Cos(origin[1] * radian)
		sum += (a[0]-origin[0])*east*(b[1]-origin[1]) - (b[0]-origin[0])*east*(a[1]-origin[1])
	}
	return sum / 2 * earthRadius * earthRadius * radian * radian
}

func greensTable(course, species, rootzone string, greens []green) *table {
	t := newTable("greens.csv", "course,green,name,kind,species,area_m2,built_year,rootzone_sand")
	for _, g := range greens {
		t.add(course, g.id, g.name, "green", species, fmt.Sprint(g.area), fmt.Sprint(g.built), rootzone)
	}
	return t
}

// The parts of RFC 7946 that are used.
type (
	collection struct {
		Type     string    `json:"type"`
		Features []feature `json:"features"`
	}
	feature struct {
		Type       string     `json:"type"`
		Properties properties `json:"properties"`
		Geometry   polygon    `json:"geometry"`
	}
	properties struct {
		Course string `json:"course"`
		Green  string `json:"green"`
	}
	polygon struct {
		Type        string         `json:"type"`
		Coordinates [][][2]float64 `json:"coordinates"`
	}
)

func outlinesFile(course string, greens []green) (file, error) {
	c := collection{Type: "FeatureCollection"}
	for _, g := range greens {
		c.Features = append(c.Features, feature{
			"Feature",
			properties{course, g.id},
			polygon{"Polygon", [][][2]float64{g.outline}},
		})
	}
	data, err := json.Marshal(c)
	if err != nil {
		return file{}, fmt.Errorf("greens.geojson: %w", err)
	}
	return file{"greens.geojson", append(data, '\n')}, nil
}
