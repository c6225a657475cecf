package labsheet

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Depth is a layer below the surface.
type Depth struct {
	TopMM    float64 `json:"top_mm"`
	BottomMM float64 `json:"bottom_mm"`
}

// lengths are the units of depth, in mm. The inch is 25.4 mm exactly (International yard and pound agreement, 1959).
var lengths = map[string]float64{"mm": 1, "cm": 10, "in": 25.4, "m": 1000}

const deepest = 2000 // mm

const (
	amount = `([0-9]+(?:[.,][0-9]+)?)`
	length = `(mm|cm|inches|inch|in\b|"|″|''|m\b)?`
	joint  = `(?:-|–|—|−|→|>|/|\.\.\.?|…|\bto\b|\bbis\b|\btil\b|\btill\b|\bund\b|\band\b|à|\btot\b)`
)

var (
	rangeDepth = regexp.MustCompile(amount + ` ?` + length + ` ?` + joint + ` ?` + amount + ` ?` + length)
	topDepth   = regexp.MustCompile(`(?:(?:^|[^\p{L}0-9])(?:top|upper|uppermost|surface to|down to|to|first|obere|oberste|oberen|bis|øverste|øvre|översta|övre|ned til|ner till|<)|<|^0 ?bis) ?` + amount + ` ?` + length)
	words      = regexp.MustCompile(`\p{L}+`)
	halves     = strings.NewReplacer("½", ".5", "¼", ".25", "¾", ".75")
	leadPoint  = regexp.MustCompile(`(^|[^0-9])(\.[0-9])`)
)

// fillers may stand beside a depth without changing it.
var fillers = []string{
	"depth", "layer", "depths", "tiefe", "schicht", "dybde", "djup", "lag", "sjikt", "horizon", "profile", "from", "von", "fra", "från", "the", "below", "surface", "deep", "ca",
	"of", "top", "upper", "section", "mm", "cm", "inch", "inches", "in", "probe", "lager", "unter", "oberfläche", "der", "den", "zone",
}

func unitName(s string) string {
	switch s {
	case "inches", "inch", "in", `"`, "″", "''":
		return "in"
	}
	return s
}

// FindDepth finds a depth with its unit within a text, such as "Green 7, 0–20 mm", and returns what is around it. A
// depth without a unit takes the unit given, and is not found when there is none.
func FindDepth(text, unit string) (d Depth, rest string, ok bool) {
	d, rest, _, ok = findDepth(text, unit)
	return d, restored(text, rest), ok
}

func findDepth(text, unit string) (d Depth, rest, problem string, ok bool) {
	s := leadPoint.ReplaceAllString(halves.Replace(strings.ToLower(tidy(signs(text)))), "${1}0$2")
	var top, bottom, topUnit, bottomUnit string
	at := rangeDepth.FindStringSubmatchIndex(s)
	part := func(i int) string {
		if at[2*i] < 0 {
			return ""
		}
		return s[at[2*i]:at[2*i+1]]
	}
	if at != nil {
		top, topUnit, bottom, bottomUnit = part(1), unitName(part(2)), part(3), unitName(part(4))
	} else if at = topDepth.FindStringSubmatchIndex(s); at != nil {
		top, bottom, bottomUnit = "0", part(1), unitName(part(2))
	} else {
		return d, "", fmt.Sprintf("%q is not a layer: give its two depths, such as 0-20 mm", text), false
	}
	if bottomUnit == "" {
		bottomUnit = unit
		if topUnit != "" {
			bottomUnit = topUnit
		}
	}
	if topUnit == "" {
		topUnit = bottomUnit
	}
	if bottomUnit == "" {
		return d, "", fmt.Sprintf("%q is a depth without a unit: say whether mm, cm or inches", text), false
	}
	d.TopMM, d.BottomMM = millimetres(top, topUnit), millimetres(bottom, bottomUnit)
	rest = strings.TrimSpace(s[:at[0]] + " " + s[at[1]:])
	if d.BottomMM <= d.TopMM || d.BottomMM > deepest {
		return d, rest, fmt.Sprintf("%q is not a layer: its lower end must be deeper than its upper end, and at most %d mm deep", text, deepest), false
	}
	return d, rest, "", true
}

func millimetres(number, unit string) float64 {
	v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil {
		return 0
	}
	return figures(v * lengths[unit])
}

// ReadDepth reads a cell that holds a layer and nothing else: "0-2 cm", "0–20mm", "top 1 in". Unit is that of depths
// without one: mm, cm, in, or empty for not known.
func ReadDepth(text, unit string) (Depth, error) {
	d, rest, problem, ok := findDepth(text, unit)
	if !ok {
		return Depth{}, fmt.Errorf("%s", problem)
	}
	for _, w := range words.FindAllString(rest, -1) {
		if !slices.Contains(fillers, w) {
			return Depth{}, fmt.Errorf("%q is not a layer alone: it also says %q", text, w)
		}
	}
	if strings.ContainsAny(rest, "0123456789") {
		return Depth{}, fmt.Errorf("%q is not a layer: it has more than two depths", text)
	}
	return d, nil
}
