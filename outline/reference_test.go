package outline

import (
	"math"
	"testing"

	"underfoot/internal/reference"
)

func TestEllipsoid(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/ellipsoid.json") {
		var in struct {
			Check    string
			E2       float64 `json:"e2"`
			Latitude float64 `json:"latitude_deg"`
		}
		var want float64
		c.Decode(t, &in, &want)
		got := authalic(in.Latitude*radian, in.E2)
		if in.Check == "surface" {
			got = 2 * math.Pi * semiMajor * semiMajor * authalic(math.Pi/2, e2)
		}
		c.Near(t, in.Check, got, want)
	}
}

func TestTopocentric(t *testing.T) {
	type place struct {
		Longitude float64 `json:"longitude_deg"`
		Latitude  float64 `json:"latitude_deg"`
		Height    float64 `json:"height_m"`
	}
	for _, c := range reference.Load(t, "testdata/reference/topocentric.json") {
		var in struct{ From, Of place }
		var want struct{ East, North, Up float64 }
		c.Decode(t, &in, &want)
		p := NewPlane(Position{in.From.Longitude, in.From.Latitude})
		p.x, p.y, p.z = earthCentred(Position{in.From.Longitude, in.From.Latitude}, in.From.Height)
		e, n, u := p.topocentric(earthCentred(Position{in.Of.Longitude, in.Of.Latitude}, in.Of.Height))
		c.Near(t, "east", e, want.East)
		c.Near(t, "north", n, want.North)
		c.Near(t, "up", u, want.Up)
	}
}

func TestHalton(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/halton.json") {
		var in struct{ From uint64 }
		var want [][2]float64
		c.Decode(t, &in, &want)
		for i, w := range want {
			x, y := Halton(in.From + uint64(i))
			c.Near(t, "x", x, w[0])
			c.Near(t, "y", y, w[1])
		}
	}
}
