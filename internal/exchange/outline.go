package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"underfoot"
)

// maxOutlines is the largest file of outlines that is read. Common practice, no source: 18 greens take some 100 kB.
const maxOutlines = 64 << 20

// feature is a GeoJSON Feature (RFC 7946, section 3.2), as far as it is judged.
type feature struct {
	Type       string          `json:"type"`
	Properties map[string]any  `json:"properties"`
	Geometry   json.RawMessage `json:"geometry"`
}

type geometry struct {
	Type        string          `json:"type"`
	Coordinates json.RawMessage `json:"coordinates"`
}

// readOutlines reads greens.geojson. A row of this file is a feature; its line is the one it starts on.
func (r *reader) readOutlines() error {
	t := underfoot.Outlines
	r.seen[t] = &index[where]{}
	say := func(line int, column, text string) {
		r.problem(Problem{File: outlineFile, Line: line, Column: column, Text: text})
	}
	text, problem := readSmall(filepath.Join(r.dir, outlineFile), maxOutlines)
	if problem != "" {
		r.failed[t] = true
		say(0, "", problem)
		return nil
	}
	defer r.progress(int64(len(text)))
	others, err := eachFeature(text, func(n, line int, raw []byte) error {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		return r.outline(raw, line, fmt.Sprintf("features[%d]", n))
	})
	var bad *badJSON
	if errors.As(err, &bad) {
		say(bad.line, "", bad.text)
		return nil
	}
	if len(others) > 0 {
		r.notice(Notice{File: outlineFile, Text: "members of the collection that are not kept: " + strings.Join(others, ", ")})
	}
	return err
}

// readSmall reads a whole file of UTF-8 text without its byte order mark, or says why not.
func readSmall(path string, most int64) (text []byte, problem string) {
	f, err := os.Open(path)
	if err != nil {
		return nil, "cannot be read: " + cause(err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.Size() > most {
		return nil, fmt.Sprintf("is larger than %d MB: no such file is", most>>20)
	}
	text, err = io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, "cannot be read: " + cause(err)
	}
	if int64(len(text)) > most {
		return nil, fmt.Sprintf("is larger than %d MB: no such file is", most>>20)
	}
	start, problem := sniffText(text[:min(len(text), sniffBytes)])
	if problem == "" {
		problem = notUTF8(text)
	}
	return text[start:], problem
}

// outline judges one feature and hands it on.
func (r *reader) outline(raw json.RawMessage, line int, column string) error {
	o, problem := outlineOf(raw)
	if problem == "" {
		problem = r.outlineProblem(o, line)
	}
	if problem != "" {
		r.sum.Refused[outlineFile]++
		r.problem(Problem{File: outlineFile, Line: line, Column: column, Text: problem})
		return nil
	}
	r.sum.Rows[outlineFile]++
	return r.sink(o)
}

func (r *reader) outlineProblem(o *underfoot.Outline, line int) string {
	id := r.hash.of(o.Course, o.Green)
	if first := r.row(underfoot.Outlines, id); first != 0 {
		return fmt.Sprintf("green %q of course %s has an outline already on line %d: each green has one", o.Green, o.Course, first)
	}
	r.seen[underfoot.Outlines].put(id, where(line))
	nor := ""
	if !r.store.empty {
		nor = " nor in the store"
	}
	what := fmt.Sprintf("green %q of course %s", shorten(o.Green), shorten(o.Course))
	switch w := r.row(underfoot.Greens, id); {
	case w > 0, w == 0 && r.store.holds(underfoot.Greens, underfoot.Key{o.Course, o.Green}):
		return ""
	case w < 0:
		return fmt.Sprintf("%s is refused on line %d of greens.csv", what, w.line())
	case r.failed[underfoot.Greens]:
		return what + " is not known, because greens.csv could not be read"
	}
	return what + " is not in greens.csv" + nor
}

// outlineOf reads a feature with a Polygon or MultiPolygon and the properties course and green.
func outlineOf(raw []byte) (*underfoot.Outline, string) {
	var f feature
	if err := json.Unmarshal(raw, &f); err != nil {
		return nil, "is not a GeoJSON feature: " + err.Error()
	}
	if f.Type != "Feature" {
		return nil, fmt.Sprintf("type is %q: Feature is expected", shorten(f.Type))
	}
	o := &underfoot.Outline{}
	for _, p := range []struct {
		name string
		to   *string
	}{{"course", &o.Course}, {"green", &o.Green}} {
		text, ok := f.Properties[p.name].(string)
		if *p.to = strings.TrimSpace(text); !ok || *p.to == "" {
			return nil, "properties." + p.name + " is missing or not a text: the properties course and green say whose outline it is"
		}
		if *p.to != text {
			return nil, fmt.Sprintf("properties.%s %q has spaces around it: take them out", p.name, text)
		}
	}
	if problem := shapeProblem(f.Geometry); problem != "" {
		return nil, problem
	}
	canonical, err := canonicalJSON(raw)
	if err != nil {
		return nil, "is not a GeoJSON feature: " + err.Error()
	}
	o.Feature = string(canonical)
	return o, ""
}

// shapeProblem checks a geometry: RFC 7946, sections 3.1.6 (rings) and 4 (longitude, then latitude, in degrees).
func shapeProblem(raw json.RawMessage) string {
	var g geometry
	if err := json.Unmarshal(raw, &g); err != nil || len(raw) == 0 {
		return "geometry is missing or not an object: a Polygon or MultiPolygon is expected"
	}
	var polygons [][][][]float64
	var err error
	switch g.Type {
	case "Polygon":
		polygons = make([][][][]float64, 1)
		err = json.Unmarshal(g.Coordinates, &polygons[0])
	case "MultiPolygon":
		err = json.Unmarshal(g.Coordinates, &polygons)
	default:
		return fmt.Sprintf("geometry is a %q: a Polygon or MultiPolygon is expected", shorten(g.Type))
	}
	if err != nil {
		return "coordinates are not those of a " + g.Type + ": lists of rings of [longitude, latitude] are expected"
	}
	if len(polygons) == 0 {
		return "coordinates are empty: at least one ring is expected"
	}
	for _, polygon := range polygons {
		if len(polygon) == 0 {
			return "coordinates are empty: at least one ring is expected"
		}
		for _, ring := range polygon {
			if problem := ringProblem(ring); problem != "" {
				return problem
			}
		}
	}
	return ""
}

func ringProblem(ring [][]float64) string {
	if len(ring) < 4 {
		return fmt.Sprintf("a ring has %s: four or more are needed, the last the same as the first", count(len(ring), "position"))
	}
	for _, p := range ring {
		switch {
		case len(p) < 2 || len(p) > 3:
			return fmt.Sprintf("a position has %s: longitude, latitude and perhaps a height are expected", count(len(p), "number"))
		case p[0] < -180 || p[0] > 180:
			return fmt.Sprintf("longitude %s° is out of range: -180 to 180° is allowed", underfoot.FormatNumber(p[0]))
		case p[1] < -90 || p[1] > 90:
			return fmt.Sprintf("latitude %s° is out of range: -90 to 90° is allowed", underfoot.FormatNumber(p[1]))
		}
	}
	if !slices.Equal(ring[0], ring[len(ring)-1]) {
		return "a ring is not closed: its last position must be the same as its first"
	}
	return ""
}

// canonicalJSON writes JSON with sorted members, numbers as written and no spaces.
func canonicalJSON(raw []byte) ([]byte, error) {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSpace(b.Bytes()), nil
}

// outlinesJSON writes outlines as a FeatureCollection, one feature a line.
func outlinesJSON(outlines []*underfoot.Outline) ([]byte, error) {
	var b bytes.Buffer
	b.WriteString("{\"type\":\"FeatureCollection\",\"features\":[\n")
	for i, o := range outlines {
		back, problem := outlineOf([]byte(o.Feature))
		if problem == "" && (back.Course != o.Course || back.Green != o.Green) {
			problem = fmt.Sprintf("its feature is that of green %q of course %q", back.Green, back.Course)
		}
		if problem != "" {
			return nil, fmt.Errorf("outline of green %q of course %q: %s", o.Green, o.Course, problem)
		}
		b.WriteString(back.Feature)
		if i < len(outlines)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString("]}\n")
	return b.Bytes(), nil
}
