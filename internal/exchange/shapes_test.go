package exchange

import (
	"encoding/json"
	"encoding/xml"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var triangle = [][][][2]float64{{{{5, 52}, {5.001, 52}, {5.0005, 52.001}, {5, 52}}}}

const ringText = `[[5,52],[5.001,52],[5.0005,52.001],[5,52]]`

func TestReadShapes(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []Shape
		problem    string
	}{
		{"geometry", `{"type":"Polygon","coordinates":[` + ringText + `]}`, []Shape{{Name: "the shape", Polygons: triangle}}, ""},
		{"line", `{"type":"LineString","coordinates":` + ringText + `}`, []Shape{{Name: "the shape", Polygons: triangle}}, ""},
		{
			"collection", "\ufeff" + `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Hole 3","green":"g03"},"geometry":{"type":"MultiPolygon","coordinates":[[` + ringText + `]]}},{"type":"Feature","properties":null,"geometry":{"type":"Point","coordinates":[5,52]}}]}`,
			[]Shape{{Name: "Hole 3", Green: "g03", Polygons: triangle}},
			"",
		},
		{
			"track", `<?xml version="1.0"?><gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>around 3</name><trkseg><trkpt lat="52" lon="5"/><trkpt lat="52" lon="5.001"/><trkpt lat="52.001" lon="5.0005"/></trkseg></trk></gpx>`,
			[]Shape{{Name: "around 3", Polygons: triangle}},
			"",
		},
		{"empty", "", nil, "outlines: it is neither GeoJSON nor GPX: unexpected end of JSON input"},
		{"point", `{"type":"Point","coordinates":[5,52]}`, nil, "outlines: it holds no outline: a Polygon (GeoJSON) or a track around the edge (GPX) is expected"},
		{"topology", `{"type":"Topology"}`, nil, `outlines: the shape is a "Topology": a Polygon or MultiPolygon is expected`},
		{"open", `{"type":"Polygon","coordinates":[[[5,52],[5.001,52],[5.0005,52.001],[5,52.1]]]}`, nil, "outlines: the shape: a ring is not closed: its last position must be the same as its first"},
		{"range", `{"type":"Polygon","coordinates":[[[5,152],[5.001,52],[5.0005,52.001],[5,152]]]}`, nil, "outlines: the shape: latitude 152° is out of range: -90 to 90° is allowed"},
		{"html", `<html><body>no</body></html>`, nil, "outlines: it is not GPX: expected element type <gpx> but have <html>"},
		{"half a point", `<gpx><rte><rtept lat="52"/></rte></gpx>`, nil, "outlines: track 1: point 1 has no lat or no lon: both are expected, in degrees"},
		{"there and back", `<gpx><rte><rtept lat="52" lon="5"/><rtept lat="53" lon="5"/><rtept lat="52" lon="5"/></rte></gpx>`, nil, "outlines: it holds no outline: a Polygon (GeoJSON) or a track around the edge (GPX) is expected"},
		{"far track", `<gpx><rte><rtept lat="52" lon="500"/><rtept lat="52" lon="5"/><rtept lat="53" lon="5"/></rte></gpx>`, nil, "outlines: track 1: longitude 500° is out of range: -180 to 180° is allowed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadShapes([]byte(c.text))
			problem := ""
			if err != nil {
				problem = err.Error()
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
			if d := cmp.Diff(c.problem, problem); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
}

// What is read can be kept as an outline and comes back the same; nothing makes the reader panic.
func FuzzReadShapes(f *testing.F) {
	f.Add([]byte(`{"type":"Polygon","coordinates":[` + ringText + `]}`))
	f.Add([]byte(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"green":"a"},"geometry":{"type":"MultiPolygon","coordinates":[[` + ringText + `]]}}]}`))
	f.Add([]byte(`<gpx><trk><trkseg><trkpt lat="52" lon="5"/><trkpt lat="52" lon="6"/><trkpt lat="53" lon="5"/></trkseg></trk></gpx>`))
	f.Add([]byte(`<gpx><rte><rtept lat="nan" lon="1e400"/></rte></gpx>`))
	f.Fuzz(func(t *testing.T, text []byte) {
		shapes, err := ReadShapes(text)
		if err != nil {
			return
		}
		for _, s := range shapes {
			o, err := OutlineRecord("c", "g", s.Polygons)
			if err != nil {
				t.Fatalf("read but not kept: %v", err)
			}
			back, err := Polygons(o)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(s.Polygons, back); d != "" {
				t.Fatal(d)
			}
		}
	})
}

func TestWaypoints(t *testing.T) {
	places := []Waypoint{
		{"c", "g1", "2026", 1, "g1-1", "3 m from A & 4 m from \"B\"", -3.2, 55.9},
		{"c", "g1", "2026", 2, "g1-2", "", -3.2001, 55.9001},
	}
	text, err := WaypointsGPX("Round <2026>", places)
	if err != nil {
		t.Fatal(err)
	}
	want := xml.Header + `<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="Underfoot">
 <metadata>
  <name>Round &lt;2026&gt;</name>
 </metadata>
 <wpt lat="55.90000000" lon="-3.20000000">
  <name>g1-1</name>
  <desc>3 m from A &amp; 4 m from &#34;B&#34;</desc>
 </wpt>
 <wpt lat="55.90010000" lon="-3.20010000">
  <name>g1-2</name>
 </wpt>
 <rte>
  <name>Green g1</name>
  <rtept lat="55.90000000" lon="-3.20000000">
   <name>g1-1</name>
  </rtept>
  <rtept lat="55.90010000" lon="-3.20010000">
   <name>g1-2</name>
  </rtept>
 </rte>
</gpx>
`
	if d := cmp.Diff(want, string(text)); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
	text, err = WaypointsJSON(places)
	if err != nil {
		t.Fatal(err)
	}
	if !json.Valid(text) || !strings.Contains(string(text), `"geometry":{"type":"Point","coordinates":[-3.20000000,55.90000000]}`) {
		t.Errorf("%s", text)
	}
}
