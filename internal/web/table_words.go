package web

import (
	"strings"

	"underfoot"
	"underfoot/internal/web/page"
)

// tableWords says of each typed table what it is for, and what goes with it.
var tableWords = map[string]struct{ because, note string }{
	"greens":    {"Every green, with the surface it is. Areas turn millimetres of sand into tonnes; without one, 500 m² is taken (common practice, no source).", "Outlines are drawn on the page of a green, and give its area."},
	"targets":   {"What is wanted of the surface, in the months it holds. The direction comes from readings against these bands.", ""},
	"readings":  {"What was read on the greens, each with its day. Firmness and soil water decide the direction; speed and infiltration are told.", "Compare readings of one instrument with one another."},
	"sands":     {"Sands of root zones and dressings. Bulk density turns millimetres into mass; price and load go into the order.", "Dry sand is silica dust: keep it damp when you handle it, do not blow it. The supplier’s sheet and local rules come first."},
	"samples":   {"Composites: the cores of one green and layer, taken in one round and burnt together. An empty name is made from round, green and layer.", "A round that was designed here makes its composites when it is cut."},
	"results":   {"Organic matter as a laboratory reports it, for those who weigh nothing themselves. Screened and scooped results are kept and stand in no trend.", "A laboratory’s own sheet comes in whole by “Bring in a package”."},
	"controls":  {"Control materials that are burnt beside the samples: their accepted organic matter, and the standard deviation of single burns.", "Without them a run passes because nothing was checked."},
	"crucibles": {"Crucibles weighed empty, by day. The bench flags a tare that steps or drifts.", "Weigh cold crucibles: a warm one reads light."},
	"sieve":     {"What stayed on each sieve, of a sand (sand:NAME) or of the ash of a composite (sample:NAME); the pan is 0 mm.", "Dry sand and ash are silica dust: sieve under extraction, do not brush or blow them dry. The maker’s manual and local rules come first."},
	"sievings":  {"What was weighed before sieving, and what washing took away.", ""},
	"weather":   {"Daily weather. A station’s own file comes in by “Bring in a package”.", ""},
}

// columnWords are labels where the name of the column does not make one.
var columnWords = map[string]string{
	"green": "Green", "course": "Short name", "om_percent": "Organic matter", "om_sd_percent": "Its standard uncertainty", "top_mm": "From", "bottom_mm": "To",
	"core_diameter_mm": "Corer", "n": "Readings averaged", "accepted_percent": "Accepted OM", "sd_percent": "Standard deviation", "retained_g": "On the sieve",
	"bulk_density_kg_m3": "Dry bulk density", "price_per_t": "Price a tonne", "load_t": "One load", "t_min_c": "Lowest", "t_max_c": "Highest", "tmin_c": "Lowest", "tmax_c": "Highest",
	"kind": "What", "rootzone_sand": "Root zone sand", "area_m2": "Area", "latitude_deg": "Latitude", "longitude_deg": "Longitude",
}

// choiceWords are the values of columns that allow only some.
var choiceWords = map[string]string{
	"firmness_gmax": "Firmness, g (drop hammer)", "firmness_mm": "Firmness, mm (depth)", "moisture_vwc_percent": "Soil water, % by volume",
	"speed_ft": "Green speed, ft", "speed_m": "Green speed, m", "infiltration_mm_h": "Infiltration, mm/h", "rootzone": "root zone",
}

// unitEnds are endings of column names that are their unit.
var unitEnds = []string{"_kg_m3", "_kg_m2", "_percent", "_deg", "_mm_h", "_mm", "_m2", "_g", "_h", "_c", "_t"}

// rowColumn is a column as the form shows it.
func rowColumn(t *underfoot.Table, c *underfoot.Column) page.RowColumn {
	out := page.RowColumn{Name: c.Name, Label: rowLabel(c.Name), Unit: c.Unit, About: c.About, Need: c.Need, Kind: "text"}
	if c.Default != "" {
		out.About += " Empty: " + c.Default + "."
	}
	switch {
	case c.OneOf != nil:
		out.Kind = "select"
		out.Options = []page.Choice{{Text: ""}}
		for _, v := range c.OneOf {
			words := choiceWords[v]
			if words == "" {
				words = strings.ReplaceAll(v, "_", " ")
			}
			out.Options = append(out.Options, page.Choice{Value: v, Text: words})
		}
	case c.Refers != "" || c.Name == "source":
		out.Kind = "list"
	case c.Kind == underfoot.Number, c.Kind == underfoot.Whole:
		out.Kind = "number"
	case c.Kind == underfoot.Day:
		out.Kind = "date"
	}
	switch c.Name {
	case "date", "kind", "round", "cores", "core_diameter_mm", "verdure", "method", "lab", "source", "species", "by", "role", "currency":
		out.Ditto = true
	}
	if t == underfoot.Samples && c.Name == "sample" {
		out.Need = false // made where it is empty
	}
	return out
}

func rowLabel(name string) string {
	if words := columnWords[name]; words != "" {
		return words
	}
	for _, end := range unitEnds {
		if short, ok := strings.CutSuffix(name, end); ok && short != "" {
			name = short
			break
		}
	}
	return capital(strings.ReplaceAll(name, "_", " "))
}
