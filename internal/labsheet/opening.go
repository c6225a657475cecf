package labsheet

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Units of a sieve's opening.
const (
	InMM    = "mm"
	InMicro = "µm"
	InPhi   = "phi"
	InMesh  = "mesh"
	InInch  = "in"
)

// openings of the sieves that are called by a number, in mm: ASTM E11 (its nominal openings, from memory).
var openings = map[int]float64{
	4: 4.75, 5: 4, 6: 3.35, 7: 2.8, 8: 2.36, 10: 2, 12: 1.7, 14: 1.4, 16: 1.18, 18: 1, 20: 0.85, 25: 0.71, 30: 0.6, 35: 0.5, 40: 0.425,
	45: 0.355, 50: 0.3, 60: 0.25, 70: 0.212, 80: 0.18, 100: 0.15, 120: 0.125, 140: 0.106, 170: 0.09, 200: 0.075, 230: 0.063, 270: 0.053,
	325: 0.045, 400: 0.038,
}

const widest = 200 // mm, the widest opening

var (
	pan       = []string{"pan", "boden", "bodenschale", "schale", "bunn", "bunnskål", "botten", "bottenskål", "bund", "fines", "receiver", "rest", "auffang"}
	size      = `([-+]?[0-9]+(?:[.,][0-9]+)?)`
	sizeRange = regexp.MustCompile(size + ` ?(?:mm|µm|um|phi|φ|cm)? ?(?:-|–|to|bis|til|till|/|…|\.\.\.?) ?` + size)
	oneSize   = regexp.MustCompile(size)
	sizeUnit  = regexp.MustCompile(`(?:^|[^\p{L}])(mm|µm|um|micron|microns|micrometre|micrometres|micrometer|mikrometer|phi|φ|ϕ|mesh|in|inch|inches)(?:$|[^\p{L}])|^#|\bno\. ?[0-9]|\bnr\. ?[0-9]`)
	sizeWords = []string{
		"mm", "µm", "um", "micron", "microns", "phi", "φ", "ϕ", "mesh", "no", "nr", "in", "inch", "inches", "to", "bis", "til", "till", "sieve", "sieb", "sikt", "sold",
		"on", "retained", "passing", "auf", "rückstand", "durchgang", "korn", "fraction", "fraktion", "finer", "coarser", "than", "micrometre", "micrometres", "micrometer",
		"mikrometer", "g", "opening", "percent", "sand", "fine", "medium", "coarse", "very", "gravel", "grus", "silt", "clay", "size", "grov", "fin", "cumulative", "larger", "smaller", "and", "und", "og", "och", "total",
	}
)

// openingUnit finds the unit of sieve sizes in a heading or a cell, or returns an empty one.
func openingUnit(text string) string {
	s := strings.ToLower(tidy(signs(text)))
	m := sizeUnit.FindStringSubmatch(s)
	if m == nil {
		return ""
	}
	switch m[1] {
	case "":
		return InMesh
	case "mm":
		return InMM
	case "µm", "um", "micron", "microns", "micrometre", "micrometres", "micrometer", "mikrometer":
		return InMicro
	case "phi", "φ", "ϕ":
		return InPhi
	case "in", "inch", "inches":
		return InInch
	}
	return InMesh
}

// ReadOpening reads the size of a sieve and returns its opening in mm, 0 for the pan. Of a class between two sizes it
// is the finer one, on which the class is kept back. Unit is that of a size without one, or empty for not known. Sizes
// in phi are −log₂ of the opening in mm (Krumbein 1934); sizes by number are those of ASTM E11.
func ReadOpening(text, unit string) (float64, error) {
	s := strings.ToLower(tidy(signs(text)))
	if slices.Contains(pan, s) {
		return 0, nil
	}
	for _, w := range words.FindAllString(s, -1) {
		if slices.Contains(pan, w) && !strings.ContainsAny(s, "0123456789") {
			return 0, nil
		}
		if !slices.Contains(sizeWords, w) {
			return 0, fmt.Errorf("%q is not the size of a sieve: write it such as 0.5 mm, 500 µm, 1 phi, No. 35 or pan", text)
		}
	}
	if u := openingUnit(s); u != "" {
		unit = u
	}
	below := strings.Contains(s, "<") || strings.Contains(s, "smaller than") || strings.Contains(s, "finer than")
	var sizes []string
	if m := sizeRange.FindStringSubmatch(s); m != nil {
		sizes = m[1:3]
	} else if m := oneSize.FindStringSubmatch(s); m != nil {
		sizes = m[1:2]
	} else {
		return 0, fmt.Errorf("%q is not the size of a sieve: write it such as 0.5 mm, 500 µm, 1 phi, No. 35 or pan", text)
	}
	finest := math.Inf(1)
	for _, n := range sizes {
		v, err := opening(n, unit, text)
		if err != nil {
			return 0, err
		}
		finest = min(finest, v)
	}
	if below {
		return 0, nil
	}
	return finest, nil
}

func opening(number, unit, text string) (float64, error) {
	number = strings.TrimPrefix(number, "+")
	if unit == InMicro && isDoubtful(number) { // no sieve has an opening to a thousandth of a micrometre
		number = strings.NewReplacer(",", "", ".", "").Replace(number)
	}
	v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil {
		return 0, fmt.Errorf("%q is not the size of a sieve", text)
	}
	switch unit {
	case InMM:
	case InMicro:
		v = figures(v / 1000)
	case InInch:
		v = figures(v * lengths["in"])
	case InPhi:
		if v < -7.6 || v > 14 {
			return 0, fmt.Errorf("%q phi is no size of a sieve: −7.6 to 14 phi is allowed", text)
		}
		v, _ = strconv.ParseFloat(strconv.FormatFloat(math.Exp2(-v), 'g', 6, 64), 64)
	case InMesh:
		mm, ok := openings[int(v)]
		if !ok || v != math.Trunc(v) {
			return 0, fmt.Errorf("%q is no number of a sieve: 4 to 400 of the usual series are known; write its opening in mm", text)
		}
		v = mm
	default:
		return 0, fmt.Errorf("%q is a size without a unit: say whether mm, µm, phi or sieve numbers", text)
	}
	if v < 0 || v > widest {
		return 0, fmt.Errorf("%q is no opening of a sieve: 0 to %d mm is allowed", text, widest)
	}
	return v, nil
}
