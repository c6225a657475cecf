package exchange

import (
	"strings"
	"testing"

	"underfoot"

	"github.com/google/go-cmp/cmp"
)

const square = `{"type":"Polygon","coordinates":[[[0.10,53],[0.2,53],[0.2,53.1],[0.10,53]]]}`

func featureOf(green, geometry string) string {
	return `{"type":"Feature","properties":{"green":"` + green + `","course":"a"},"geometry":` + geometry + `}`
}

func collectionOf(features ...string) string {
	return "{\"type\":\"FeatureCollection\",\"features\":[\n" + strings.Join(features, ",\n") + "\n]}\n"
}

func TestReadOutlinesSays(t *testing.T) {
	ring := func(positions string) string { return `{"type":"Polygon","coordinates":[[` + positions + `]]}` }
	tests := []struct {
		name, text string
		want       []string
	}{
		{name: "good", text: collectionOf(featureOf("g1", square), featureOf("g2", `{"type":"MultiPolygon","coordinates":[[[[0,1],[1,1],[1,0,12.5],[0,1]]]]}`))},
		{name: "none", text: collectionOf()},
		{name: "byte order mark", text: "\uFEFF" + collectionOf(featureOf("g1", square))},
		{name: "no object", text: "[]", want: []string{"greens.geojson:1: is not a GeoJSON object: a FeatureCollection is expected"}},
		{name: "a single feature", text: featureOf("g1", square), want: []string{`greens.geojson:1: type is "Feature": a FeatureCollection with features is expected`}},
		{name: "cut off", text: "{\"type\":\"FeatureCollection\",\n\"features\":[\n{\"type\":", want: []string{"greens.geojson:3: is not JSON: it ends too early"}},
		{name: "more", text: collectionOf() + "{}", want: []string{"greens.geojson:4: has more after the end of the collection"}},
		{name: "not UTF-8", text: "{\n\"\xfc\":1}", want: []string{"greens.geojson: is not UTF-8 on line 2: save the file as UTF-8"}},
		{name: "binary", text: "PK\x03\x04", want: []string{"greens.geojson: is a ZIP archive or an XLSX workbook, not a text file: save the table as CSV in UTF-8"}},
		{
			name: "other members", text: `{"type":"FeatureCollection","name":"x","features":[],"crs":{"a":[1]}}`,
			want: []string{"~ greens.geojson: members of the collection that are not kept: name, crs"},
		},
		{
			name: "bad features",
			text: collectionOf(
				featureOf("g1", square), featureOf("g1", square), featureOf("g9", square), featureOf("", square), `{"type":"Feature"}`, `7`,
				featureOf("g2", `{"type":"Point","coordinates":[0,1]}`), featureOf("g2", "null"), featureOf("g2", ring("")), featureOf("g2", ring("[0,0],[1,1],[0,0]")),
				featureOf("g2", ring("[0,0],[1,1],[1,0],[0,1]")), featureOf("g2", ring("[0,0],[181,1],[1,0],[0,0]")), featureOf("g2", ring("[0,0],[1,-91],[1,0],[0,0]")),
				featureOf("g2", ring("[0],[1],[1],[0]")), featureOf("g2", ring(`"x"`)), `{"type":"x"}`,
			),
			want: []string{
				`greens.geojson:3: features[1]: green "g1" of course a has an outline already on line 2: each green has one`,
				`greens.geojson:4: features[2]: green "g9" of course a is not in greens.csv`,
				"greens.geojson:5: features[3]: properties.green is missing or not a text: the properties course and green say whose outline it is",
				"greens.geojson:6: features[4]: properties.course is missing or not a text: the properties course and green say whose outline it is",
				"greens.geojson:7: features[5]: is not a GeoJSON feature: json: cannot unmarshal number into Go value of type exchange.feature",
				`greens.geojson:8: features[6]: geometry is a "Point": a Polygon or MultiPolygon is expected`,
				`greens.geojson:9: features[7]: geometry is a "": a Polygon or MultiPolygon is expected`,
				"greens.geojson:10: features[8]: a ring has 0 positions: four or more are needed, the last the same as the first",
				"greens.geojson:11: features[9]: a ring has 3 positions: four or more are needed, the last the same as the first",
				"greens.geojson:12: features[10]: a ring is not closed: its last position must be the same as its first",
				"greens.geojson:13: features[11]: longitude 181° is out of range: -180 to 180° is allowed",
				"greens.geojson:14: features[12]: latitude -91° is out of range: -90 to 90° is allowed",
				"greens.geojson:15: features[13]: a position has 1 number: longitude, latitude and perhaps a height are expected",
				"greens.geojson:16: features[14]: coordinates are not those of a Polygon: lists of rings of [longitude, latitude] are expected",
				`greens.geojson:17: features[15]: type is "x": Feature is expected`,
			},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := base()
			files[outlineFile] = tt.text
			got, _ := said(t, lay(t, files), Options{})
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// A feature keeps its other properties and its numbers as written.
func TestOutlineOf(t *testing.T) {
	text := `{ "type": "Feature", "id": 7, "properties": {"green": "g1", "course": "a", "by": "<me>"},
		"geometry": ` + square + `}`
	got, problem := outlineOf([]byte(text))
	if problem != "" {
		t.Fatal(problem)
	}
	want := &underfoot.Outline{
		Course: "a", Green: "g1",
		Feature: `{"geometry":{"coordinates":[[[0.10,53],[0.2,53],[0.2,53.1],[0.10,53]]],"type":"Polygon"},"id":7,` +
			`"properties":{"by":"<me>","course":"a","green":"g1"},"type":"Feature"}`,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func FuzzOutlines(f *testing.F) {
	f.Add([]byte(collectionOf(featureOf("g1", square), featureOf("g2", `{"type":"MultiPolygon","coordinates":[[[[0,1],[1,1],[1,0,12.5],[0,1]]]]}`))))
	f.Add([]byte(`{"type":"FeatureCollection","name":"x","features":[],"crs":{"a":[1]}}`))
	f.Add([]byte("{\"features\":[7"))
	f.Fuzz(func(t *testing.T, text []byte) {
		var list []*underfoot.Outline
		_, err := eachFeature(text, func(_, line int, raw []byte) error {
			if line < 1 {
				t.Fatalf("line %d", line)
			}
			if o, problem := outlineOf(raw); problem == "" {
				list = append(list, o)
			}
			return nil
		})
		if err != nil && err.Error() == "" {
			t.Fatal("an error without words")
		}
		out, err := outlinesJSON(list)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		var back []*underfoot.Outline
		_, err = eachFeature(out, func(_, _ int, raw []byte) error {
			o, problem := outlineOf(raw)
			if problem != "" {
				t.Fatal(problem)
			}
			back = append(back, o)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(list, back); diff != "" {
			t.Fatal(diff)
		}
	})
}
