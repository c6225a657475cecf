package underfoot

import "strconv"

// Green is one playing surface that is sampled and worked as a whole.
type Green struct {
	Course       string       `col:"course" key:"1" refers:"courses" about:"Course it belongs to."`
	ID           string       `col:"green" key:"1" about:"Short name of the green on its course."`
	Name         string       `col:"name" about:"Name as people say it."`
	Kind         string       `col:"kind" oneof:"green,tee,approach,bowling" default:"green" about:"What surface it is."`
	Species      string       `col:"species" about:"Grasses, in words."`
	AreaM2       Opt[float64] `col:"area_m2" unit:"m²" above:"0" max:"100000" about:"Area of the surface."`
	BuiltYear    Opt[int]     `col:"built_year" min:"1500" max:"2200" about:"Year it was built or last rebuilt."`
	RootzoneSand string       `col:"rootzone_sand" refers:"sands" about:"Sand of the root zone."`
	Extra        Extra
}

// Greens describes the table of greens.
var Greens = newTable[Green]("greens", "Greens")

// Table returns [Greens].
func (*Green) Table() *Table { return Greens }

// Check finds nothing beyond the limits of the columns.
func (*Green) Check() []Fault { return nil }

// Title returns the name, or the key where there is none.
func (g *Green) Title() string {
	if g.Name != "" {
		return g.Name
	}
	return g.ID
}

// Outline is the shape of a green, from greens.geojson (RFC 7946).
type Outline struct {
	Course  string `col:"course" key:"1" refers:"courses"`
	Green   string `col:"green" key:"1" refers:"greens"`
	Feature string `col:"feature" need:"1" about:"The GeoJSON feature as text."`
	Extra   Extra
}

// Outlines describes the outlines; the exchange format carries them as greens.geojson, not as a table.
var Outlines = newTable[Outline]("outlines", "Outlines of greens")

// Table returns [Outlines].
func (*Outline) Table() *Table { return Outlines }

// Check finds nothing; the reader of GeoJSON checks the geometry.
func (*Outline) Check() []Fault { return nil }

func quote(s string) string { return strconv.Quote(s) }
