package exchange

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"underfoot"
)

// Shape is what a file says of one surface: polygons of rings of [longitude, latitude], the outer ring first.
type Shape struct {
	Course, Green string // where the file names them
	Name          string // what the file calls it, or where it stands in it
	Polygons      [][][][2]float64
}

// maxShape is the largest file with one course's outlines that is read (common practice, no source).
const maxShape = 16 << 20

// ReadShapes reads outlines from GeoJSON (RFC 7946: a FeatureCollection, Feature, Polygon, MultiPolygon or closed
// LineString) or from GPX 1.1, where each track and route is a walk around an edge.
func ReadShapes(text []byte) ([]Shape, error) {
	if len(text) > maxShape {
		return nil, underfoot.Errorf(underfoot.Invalid, "the file is larger than %d MB: no outline is", maxShape>>20)
	}
	start, problem := sniffText(text[:min(len(text), sniffBytes)])
	if problem == "" {
		problem = notUTF8(text)
	}
	if problem != "" {
		return nil, underfoot.Errorf(underfoot.Invalid, "the file %s", problem)
	}
	text = bytes.TrimSpace(text[start:])
	var shapes []Shape
	var err error
	if bytes.HasPrefix(text, []byte("<")) {
		shapes, err = gpxShapes(text)
	} else {
		shapes, err = geoShapes(text)
	}
	if err == nil && len(shapes) == 0 {
		err = errors.New("it holds no outline: a Polygon (GeoJSON) or a track around the edge (GPX) is expected")
	}
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "outlines: %w", err)
	}
	return shapes, nil
}

// anyGeo is any GeoJSON object, as far as outlines go.
type anyGeo struct {
	Type        string            `json:"type"`
	Features    []json.RawMessage `json:"features"`
	Properties  map[string]any    `json:"properties"`
	Geometry    json.RawMessage   `json:"geometry"`
	Coordinates json.RawMessage   `json:"coordinates"`
}

func geoShapes(text []byte) ([]Shape, error) {
	var g anyGeo
	if err := json.Unmarshal(text, &g); err != nil {
		return nil, fmt.Errorf("it is neither GeoJSON nor GPX: %s", plainJSON(err))
	}
	if g.Type != "FeatureCollection" {
		s, err := geoShape(g, "the shape")
		if err != nil || s == nil {
			return nil, err
		}
		return []Shape{*s}, nil
	}
	var out []Shape
	for i, raw := range g.Features {
		name := fmt.Sprintf("feature %d", i+1)
		var f anyGeo
		if err := json.Unmarshal(raw, &f); err != nil || f.Type != "Feature" {
			return nil, fmt.Errorf("%s is not a Feature", name)
		}
		s, err := geoShape(f, name)
		if err != nil {
			return nil, err
		}
		if s != nil {
			out = append(out, *s)
		}
	}
	return out, nil
}

// geoShape reads a Feature or a geometry; nil for points and lines, which are no outlines.
func geoShape(g anyGeo, name string) (*Shape, error) {
	s := &Shape{Name: name}
	if g.Type == "Feature" {
		s.Course, s.Green = property(g.Properties, "course"), property(g.Properties, "green")
		for _, key := range []string{"name", "Name", "title"} {
			if v := property(g.Properties, key); v != "" {
				s.Name = v
				break
			}
		}
		raw := g.Geometry
		g = anyGeo{}
		if err := json.Unmarshal(raw, &g); err != nil {
			return nil, fmt.Errorf("%s has no geometry: a Polygon or MultiPolygon is expected", name)
		}
	}
	raw := g.Coordinates
	switch g.Type {
	case "Polygon":
	case "LineString":
		raw = slices.Concat([]byte("["), raw, []byte("]"))
		g.Type = "Polygon"
	case "MultiPolygon":
	case "Point", "MultiPoint", "MultiLineString":
		return nil, nil
	default:
		return nil, fmt.Errorf("%s is a %q: a Polygon or MultiPolygon is expected", name, shorten(g.Type))
	}
	shape, err := json.Marshal(geometry{g.Type, raw})
	if err != nil {
		return nil, fmt.Errorf("%s: coordinates are not lists of numbers", name)
	}
	if problem := shapeProblem(shape); problem != "" {
		return nil, fmt.Errorf("%s: %s", name, problem)
	}
	s.Polygons = polygonsOf(g.Type, raw)
	return s, nil
}

func property(all map[string]any, name string) string {
	text, _ := all[name].(string)
	return strings.TrimSpace(text)
}

// polygonsOf reads the coordinates of a geometry that shapeProblem has passed.
func polygonsOf(kind string, raw json.RawMessage) [][][][2]float64 {
	var all [][][][]float64
	if kind == "Polygon" {
		all = make([][][][]float64, 1)
		_ = json.Unmarshal(raw, &all[0])
	} else {
		_ = json.Unmarshal(raw, &all)
	}
	var out [][][][2]float64
	for _, p := range all {
		var polygon [][][2]float64
		for _, r := range p {
			var ring [][2]float64
			for _, c := range r {
				ring = append(ring, [2]float64{c[0], c[1]})
			}
			polygon = append(polygon, ring)
		}
		out = append(out, polygon)
	}
	return out
}

// Polygons reads the polygons of a stored outline.
func Polygons(o *underfoot.Outline) ([][][][2]float64, error) {
	shapes, err := geoShapes([]byte(o.Feature))
	if err == nil && len(shapes) == 0 {
		err = errors.New("it has no polygon")
	}
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "outline of green %q: %w", o.Green, err)
	}
	return shapes[0].Polygons, nil
}

// OutlineRecord makes the record of an outline from polygons of closed rings.
func OutlineRecord(course, green string, polygons [][][][2]float64) (*underfoot.Outline, error) {
	raw, err := json.Marshal(map[string]any{
		"type": "Feature", "properties": map[string]string{"course": course, "green": green},
		"geometry": map[string]any{"type": "MultiPolygon", "coordinates": polygons},
	})
	if err == nil && len(polygons) == 1 {
		raw, err = json.Marshal(map[string]any{
			"type": "Feature", "properties": map[string]string{"course": course, "green": green},
			"geometry": map[string]any{"type": "Polygon", "coordinates": polygons[0]},
		})
	}
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "outline of green %q: %w", green, err)
	}
	o, problem := outlineOf(raw)
	if problem != "" {
		return nil, underfoot.Errorf(underfoot.Invalid, "outline of green %q: %s", green, problem)
	}
	return o, nil
}

// gpxFile is what is read of a GPX file.
type gpxFile struct {
	XMLName xml.Name  `xml:"gpx"`
	Routes  []gpxLine `xml:"rte"`
	Tracks  []gpxLine `xml:"trk"`
}

type gpxLine struct {
	Name     string     `xml:"name"`
	Points   []gpxPoint `xml:"rtept"`
	Segments []struct {
		Points []gpxPoint `xml:"trkpt"`
	} `xml:"trkseg"`
}

type gpxPoint struct {
	Latitude  *float64 `xml:"lat,attr"`
	Longitude *float64 `xml:"lon,attr"`
}

// gpxShapes makes a ring of each track and route with three corners or more, closing it.
func gpxShapes(text []byte) ([]Shape, error) {
	var f gpxFile
	d := xml.NewDecoder(bytes.NewReader(text))
	if err := d.Decode(&f); err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("it ends too early")
		}
		return nil, fmt.Errorf("it is not GPX: %w", err)
	}
	var out []Shape
	for i, line := range append(slices.Clone(f.Tracks), f.Routes...) {
		points := line.Points
		for _, s := range line.Segments {
			points = append(points, s.Points...)
		}
		s := Shape{Name: strings.TrimSpace(line.Name)}
		if s.Name == "" {
			s.Name = fmt.Sprintf("track %d", i+1)
		}
		var ring [][2]float64
		for k, p := range points {
			if p.Latitude == nil || p.Longitude == nil {
				return nil, fmt.Errorf("%s: point %d has no lat or no lon: both are expected, in degrees", s.Name, k+1)
			}
			if at := [2]float64{*p.Longitude, *p.Latitude}; len(ring) == 0 || ring[len(ring)-1] != at {
				ring = append(ring, at)
			}
		}
		if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
			ring = append(ring, ring[0])
		}
		if len(ring) < 4 { // there and back is no outline
			continue
		}
		for _, p := range ring {
			if problem := ringProblem([][]float64{p[:], p[:], p[:], p[:]}); problem != "" {
				return nil, fmt.Errorf("%s: %s", s.Name, problem)
			}
		}
		s.Polygons = [][][][2]float64{{ring}}
		out = append(out, s)
	}
	return out, nil
}
