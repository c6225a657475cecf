package exchange

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"strconv"

	"underfoot"
)

// Waypoint is a place to go to, such as that of a core.
type Waypoint struct {
	Course, Green, Round string
	Core                 int
	Name, About          string // short name, and how to find it
	Longitude, Latitude  float64
}

// degrees prints an angle to 0.01 mm or so, without noise behind.
func degrees(v float64) string { return strconv.FormatFloat(v, 'f', 8, 64) }

// WaypointsJSON writes places as a FeatureCollection of Points (RFC 7946), one a line.
func WaypointsJSON(places []Waypoint) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("{\"type\":\"FeatureCollection\",\"features\":[\n")
	for i, p := range places {
		f, err := json.Marshal(struct {
			Type       string         `json:"type"`
			Properties map[string]any `json:"properties"`
			Geometry   struct {
				Type        string         `json:"type"`
				Coordinates [2]json.Number `json:"coordinates"`
			} `json:"geometry"`
		}{
			Type:       "Feature",
			Properties: map[string]any{"course": p.Course, "green": p.Green, "round": p.Round, "core": p.Core, "name": p.Name, "about": p.About},
			Geometry: struct {
				Type        string         `json:"type"`
				Coordinates [2]json.Number `json:"coordinates"`
			}{"Point", [2]json.Number{json.Number(degrees(p.Longitude)), json.Number(degrees(p.Latitude))}},
		})
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "positions as GeoJSON: %s: %w", p.Name, err)
		}
		b.Write(f)
		if i < len(places)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("]}\n")
	return b.Bytes(), nil
}

// gpxNamespace is that of the GPX 1.1 schema.
const gpxNamespace = "http://www.topografix.com/GPX/1/1"

type gpxOut struct {
	XMLName xml.Name      `xml:"gpx"`
	Space   string        `xml:"xmlns,attr"`
	Version string        `xml:"version,attr"`
	Creator string        `xml:"creator,attr"`
	Title   string        `xml:"metadata>name"`
	Points  []gpxPlace    `xml:"wpt"`
	Routes  []gpxRouteOut `xml:"rte"`
}

type gpxPlace struct {
	Latitude  string `xml:"lat,attr"`
	Longitude string `xml:"lon,attr"`
	Name      string `xml:"name"`
	About     string `xml:"desc,omitempty"`
}

type gpxRouteOut struct {
	Name   string     `xml:"name"`
	Points []gpxPlace `xml:"rtept"`
}

// WaypointsGPX writes places as GPX 1.1: a waypoint each, and a route through those of each green in the order given.
func WaypointsGPX(title string, places []Waypoint) ([]byte, error) {
	out := gpxOut{Space: gpxNamespace, Version: "1.1", Creator: "Underfoot", Title: title}
	at := map[string]int{}
	for _, p := range places {
		w := gpxPlace{degrees(p.Latitude), degrees(p.Longitude), p.Name, p.About}
		out.Points = append(out.Points, w)
		i, met := at[p.Green]
		if !met {
			i = len(out.Routes)
			at[p.Green] = i
			out.Routes = append(out.Routes, gpxRouteOut{Name: "Green " + p.Green})
		}
		w.About = ""
		out.Routes[i].Points = append(out.Routes[i].Points, w)
	}
	text, err := xml.MarshalIndent(out, "", " ")
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "positions as GPX: %w", err)
	}
	return fmt.Appendf(nil, "%s%s\n", xml.Header, text), nil
}
