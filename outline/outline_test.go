package outline

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// onPlane lays a ring of points [m] around a position.
func onPlane(at Position, points ...Point) Ring {
	var r Ring
	p := NewPlane(at)
	for _, q := range points {
		r = append(r, p.Position(q))
	}
	return append(r, r[0])
}

func square(side float64) []Point { return rectangle(-side/2, -side/2, side/2, side/2) }

func rectangle(w, s, e, n float64) []Point {
	return []Point{{w, s}, {e, s}, {e, n}, {w, n}}
}

func fatal(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error, want %q", want)
		return
	}
	if d := cmp.Diff(want, err.Error()); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}

// A zone between two parallels is a ring with edges straight in degrees; its area is closed-form (Snyder 1987, eq. 3-12).
func TestAreaOfAZone(t *testing.T) {
	for _, south := range []float64{-80, -34, 0, 51.5, 88} {
		r := Ring{{10, south}, {11, south}, {11, south + 0.5}, {10, south + 0.5}, {10, south}}
		want := semiMajor * semiMajor * radian / 2 * (authalic((south+0.5)*radian, e2) - authalic(south*radian, e2))
		if got := ringArea(r); math.Abs(got-want) > 1e-9*want {
			t.Errorf("from %g°: %.3f m², want %.3f", south, got, want)
		}
	}
}

// Small shapes anywhere have the area they have on the plane, whichever way round they run, but for what lies between an edge
// that is straight in degrees and one that is straight on the plane: at most L³·|tan φ|/(12·R) for an edge of length L.
func TestAreaIsThatOnThePlane(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := Position{rapid.Float64Range(-179.9, 179.9).Draw(t, "longitude"), rapid.Float64Range(-85, 85).Draw(t, "latitude")}
		o, want := drawn(t, at)
		bound := 1e-8 * want
		for i, p := range o.Rings()[0][1:] {
			bound += math.Pow(p.Distance(o.Rings()[0][i]), 3) * math.Abs(math.Tan((math.Abs(at.Latitude)+0.01)*radian)) / (12 * semiMinor)
		}
		if got := float64(o.Area()); math.Abs(got-want) > bound {
			t.Fatalf("area %.6f m², on the plane %.6f m²", got, want)
		}
	})
}

// drawn is a star-shaped outline with its area on the plane.
func drawn(t *rapid.T, at Position) (*Outline, float64) {
	n := rapid.IntRange(3, 30).Draw(t, "corners")
	var points []Point
	var twice float64
	for i := range n {
		radius := rapid.Float64Range(5, 25).Draw(t, "radius")
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points = append(points, Point{radius * c, radius * s})
	}
	for i, p := range points {
		q := points[(i+1)%n]
		twice += p.East*q.North - q.East*p.North
	}
	if rapid.Bool().Draw(t, "clockwise") {
		slices.Reverse(points)
	}
	o, err := New([]Polygon{{onPlane(at, points...)}})
	if err != nil {
		t.Fatal(err)
	}
	return o, twice / 2
}

func TestPlaneThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := NewPlane(Position{rapid.Float64Range(-180, 180).Draw(t, "longitude"), rapid.Float64Range(-89, 89).Draw(t, "latitude")})
		q := Point{rapid.Float64Range(-2000, 2000).Draw(t, "east"), rapid.Float64Range(-2000, 2000).Draw(t, "north")}
		if back := p.Point(p.Position(q)); back.Distance(q) > 1e-6 {
			t.Fatalf("%v came back %g m off", q, back.Distance(q))
		}
	})
}

func TestOrientationAndHoles(t *testing.T) {
	at := Position{-3.2, 55.9}
	outer, hole := onPlane(at, square(20)...), onPlane(at, square(4)...)
	for _, turn := range []bool{false, true} {
		a, b := slices.Clone(outer), slices.Clone(hole)
		if turn {
			slices.Reverse(a)
			slices.Reverse(b)
		}
		o, err := New([]Polygon{{a, b}})
		fatal(t, err)
		if d := math.Abs(float64(o.Area()) - 384); d > 1e-3 {
			t.Errorf("area %g m², want 400 − 16", o.Area())
		}
		p := o.Polygons()[0]
		if ringArea(p[0]) < 0 || ringArea(p[1]) > 0 {
			t.Error("outer ring not counter-clockwise, or hole not clockwise")
		}
		for _, c := range []struct {
			at     Point
			inside bool
			edge   float64
		}{{Point{0, 0}, false, 2}, {Point{5, 0}, true, 3}, {Point{9, 0}, true, 1}, {Point{11, 0}, false, 1}, {Point{12, 12}, false, math.Sqrt(8)}} {
			if o.Inside(c.at) != c.inside || math.Abs(o.EdgeDistance(c.at)-c.edge) > 1e-4 { // the middle in degrees is 0.01 mm from that in metres
				t.Errorf("%v: inside %v, %g m from the edge; want %v, %g", c.at, o.Inside(c.at), o.EdgeDistance(c.at), c.inside, c.edge)
			}
		}
	}
}

func TestNewRefuses(t *testing.T) {
	at := Position{5, 52}
	around := onPlane(at, square(20)...)
	for _, c := range []struct {
		name string
		of   []Polygon
		want string
	}{
		{"nothing", nil, "outline: no polygon: give at least one ring of corners"},
		{"no ring", []Polygon{{}}, "outline: the outer ring has no ring: give its corners"},
		{"three", []Polygon{{around[:3]}}, "outline: the outer ring: 3 positions: four or more are needed, the last the same as the first"},
		{"open", []Polygon{{around[:4]}}, "outline: the outer ring: it is not closed: its last position must be the same as its first"},
		{"range", []Polygon{{{{200, 0}, {201, 0}, {201, 1}, {200, 0}}}}, "outline: the outer ring: corner 1: longitude 200°: allowed is −180 to 180"},
		{"not a number", []Polygon{{{{0, math.NaN()}, {201, 0}, {201, 1}, {200, 0}}}}, "outline: the outer ring: corner 1: latitude NaN°: allowed is −90 to 90"},
		{"twice", []Polygon{{{{5, 52}, {5, 52}, {5.0001, 52}, {5, 52.0001}, {5, 52}}}}, "outline: the outer ring: corner 2 is the same as the one before it: leave it out"},
		{
			"antimeridian",
			[]Polygon{{{{179.9999, 0}, {-179.9999, 0}, {-179.9999, 0.0001}, {179.9999, 0}}}},
			"outline: the outer ring: longitudes run from -179.9999° to 179.9999°: a green across the antimeridian cannot be told from one around the world; cut it there in two parts",
		},
		{"country", []Polygon{{{{5, 52}, {6, 52}, {6, 52.5}, {5, 52}}}}, "outline: it is 88384 m across: allowed are up to 2000 m; are longitude and latitude the right way round?"},
		{"bow", []Polygon{{onPlane(at, Point{0, 0}, Point{10, 10}, Point{20, 0}, Point{0, 20}, Point{20, 20}, Point{-5, 15})}}, ""},
		{"flat", []Polygon{{onPlane(at, Point{0, 0}, Point{10, 0}, Point{20, 0.01})}}, "outline: the outer ring encloses 0.05 m²: a green has at least 1 m²"},
		{"hole outside", []Polygon{{around, onPlane(at, rectangle(30, 0, 35, 5)...)}}, "outline: hole 1 reaches outside its outer ring: a hole lies within"},
		{"part in part", []Polygon{{around}, {onPlane(at, square(5)...)}}, "outline: the outer ring of part 2 lies within the outer ring of part 1: give each piece once"},
		{"hole in hole", []Polygon{{around, onPlane(at, square(8)...), onPlane(at, square(5)...)}}, "outline: hole 2 lies within hole 1: give each piece once"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := New(c.of)
			if c.want == "" {
				if err == nil {
					t.Error("not refused")
				}
				return
			}
			wantError(t, err, c.want)
		})
	}
}

// Points of the plane are called inside as often as the area says.
func TestInsideAgreesWithArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, area := drawn(t, Position{11, 47})
		low, high := o.Bounds()
		n, in := 4000, 0
		for i := range n {
			x, y := Halton(uint64(i))
			if o.Inside(Point{low.East + x*(high.East-low.East), low.North + y*(high.North-low.North)}) {
				in++
			}
		}
		box := (high.East - low.East) * (high.North - low.North)
		if got := box * float64(in) / float64(n); math.Abs(got-area) > 0.03*box {
			t.Fatalf("%.1f m² by counting, %.1f m² by formula", got, area)
		}
	})
}
