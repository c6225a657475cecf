package labsheet

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Mark is the decimal sign of a column: ".", ",", or empty when it is not known.
type Mark string

// The decimal signs.
const (
	Point Mark = "."
	Comma Mark = ","
)

func (m Mark) word() string {
	if m == Comma {
		return "comma"
	}
	return "point"
}

// Number is a number as a cell gives it, with the unit that stands behind it, if any.
type Number struct {
	Value float64
	Unit  string
}

// TwoReadings is the refusal of a cell that can be read in two ways.
type TwoReadings struct {
	Found string
	Read  []string // the ways, in words
}

// Error says both readings.
func (e *TwoReadings) Error() string {
	return fmt.Sprintf("%q can be read as %s: say which", e.Found, strings.Join(e.Read, " or as "))
}

var (
	numberForm = regexp.MustCompile(`^([+-]?)([0-9][0-9., ']*|[.,][0-9]+)((?:[eE][+-]?[0-9]{1,3})?) ?([^0-9 ].*)?$`)
	notKnown   = []string{"", "-", "–", "—", "n/a", "na", "n.a.", "nd", "n.d.", "nan", "null", "none", "k.a.", "k. a.", ".", "..", "…", "x", "?", "tom", "n. b.", "n.b."}
	unitBehind = []string{"%", "g", "mg", "kg", "mm", "cm", "g/kg", "mg/g", "µm", "um", "in", "inch", "inches", "h", "°c", "c", "g/g"}
)

// Absent says whether a cell's text means that nothing is known.
func Absent(text string) bool {
	return slices.Contains(notKnown, strings.ToLower(strings.TrimSpace(text)))
}

// printed are the signs of print that signs makes plain.
var printed = strings.NewReplacer("\u2212", "-", "’", "'", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "μ", "µ")

// signs makes dashes, quotes and blanks of print those of a keyboard.
func signs(s string) string {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return printed.Replace(s)
		}
	}
	return s
}

// ReadNumber reads a number that is written with the decimal sign mark, thousands set off or not, perhaps with its unit
// behind. With no mark it reads only what can be read in one way.
func ReadNumber(text string, mark Mark) (Number, error) {
	s := tidy(signs(text))
	if strings.HasPrefix(s, "#") {
		return Number{}, fmt.Errorf("%q is the fault of a formula: set it right in the sheet", text)
	}
	if strings.ContainsAny(s, "<>≤≥~±") {
		return Number{}, fmt.Errorf("%q is a limit or a range, not a value: give the value, or leave the cell empty", text)
	}
	m := numberForm.FindStringSubmatch(s)
	if m == nil {
		return Number{}, fmt.Errorf("%q is not a number", text)
	}
	unit := strings.ToLower(strings.TrimSpace(m[4]))
	if unit != "" && !slices.Contains(unitBehind, unit) {
		return Number{}, fmt.Errorf("%q is not a number: %q stands behind it", text, strings.TrimSpace(m[4]))
	}
	body, err := plainDigits(strings.TrimSpace(m[2]), mark, text)
	if err != nil {
		return Number{}, err
	}
	v, err := strconv.ParseFloat(m[1]+body+m[3], 64)
	if err != nil || math.IsInf(v, 0) {
		return Number{}, fmt.Errorf("%q is not a number", text)
	}
	if v == 0 {
		v = 0 // no minus zero
	}
	return Number{Value: v, Unit: unit}, nil
}

var byThrees = map[string]*regexp.Regexp{
	".": regexp.MustCompile(`^[0-9]{1,3}(\.[0-9]{3})+$`), ",": regexp.MustCompile(`^[0-9]{1,3}(,[0-9]{3})+$`),
	" ": regexp.MustCompile(`^[0-9]{1,3}( [0-9]{3})+$`), "'": regexp.MustCompile(`^[0-9]{1,3}('[0-9]{3})+$`),
}

// plainDigits takes thousands marks out and makes the decimal sign a point.
func plainDigits(s string, mark Mark, text string) (string, error) {
	whole, part, sign := s, "", Mark("")
	i := strings.LastIndexAny(s, ".,")
	if i >= 0 {
		c := string(s[i])
		switch other := strings.ContainsAny(s[:i], "., '"); {
		case strings.Count(s, c) > 1: // a decimal sign comes once
		case !other && isDoubtful(s) && mark == "":
			return "", &TwoReadings{text, []string{strings.Replace(s, c, ".", 1), strings.Replace(s, c, "", 1)}}
		case !other && isDoubtful(s) && string(mark) != c:
		default:
			whole, part, sign = s[:i], s[i+1:], Mark(c)
		}
	}
	if sign != "" && mark != "" && sign != mark {
		return "", fmt.Errorf("%q has a decimal %s, but the column has a decimal %s: write all alike", text, sign.word(), mark.word())
	}
	if strings.ContainsAny(part, "., '") {
		return "", fmt.Errorf("%q is not a number: a blank or mark stands among its decimals", text)
	}
	for group, form := range byThrees {
		if form.MatchString(whole) && Mark(group) != sign {
			whole = strings.ReplaceAll(whole, group, "")
			break
		}
	}
	if strings.ContainsAny(whole, "., '") {
		return "", fmt.Errorf("%q is not a number: its thousands are not set off by threes", text)
	}
	if part != "" {
		return whole + "." + part, nil
	}
	return whole, nil
}

var doubtful = regexp.MustCompile(`^[1-9][0-9]{0,2}[.,][0-9]{3}$`)

// isDoubtful says whether the one sign of a number may be a decimal sign or set off thousands.
func isDoubtful(s string) bool { return doubtful.MatchString(s) }

// marks counts the cells of a column whose number has a decimal point for certain, a comma for certain, and either.
func marks(cells []Cell) (points, commas, open int) {
	for _, c := range cells {
		if c.Numeric || c.Day != "" || Absent(c.Text) {
			continue
		}
		a, errA := ReadNumber(c.Text, Point)
		b, errB := ReadNumber(c.Text, Comma)
		switch {
		case errA == nil && errB != nil:
			points++
		case errB == nil && errA != nil:
			commas++
		case errA == nil && errB == nil && a.Value != b.Value:
			open++
		}
	}
	return points, commas, open
}
