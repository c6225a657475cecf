package bench

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"underfoot/unit"
)

// TypedMass is a mass as a balance typed it or a person wrote it.
type TypedMass struct {
	Mass    unit.Grams
	Written string // in grams, with the decimals it had, such as "29.1034"
}

// longest text that is looked at: a balance types far less. Common practice, no source.
const longestTyped = 120

// ReadMass reads a mass out of what a balance sends when it stands in for a keyboard, or what somebody types.
//
// There must be exactly one number. Before it may stand a sign and marks of letters (such as "S S", "ST,GS," or
// "N"), after it a unit: g, mg or kg, or none for grams. A decimal comma counts as a point. Marks that say that the
// balance had not settled (D, US, or a question mark) or cannot weigh (I, OL, E, or a sign alone) are refused, because the
// number beside them is not a mass. Masses from −10 000 to 10 000 g.
//
// Common practice, no source: balances of many makers send such lines; no maker's protocol is followed in full.
func ReadMass(text string) (TypedMass, error) {
	text = strings.TrimSpace(strings.ReplaceAll(strings.ReplaceAll(text, "−", "-"), "\u00a0", " "))
	if text == "" {
		return TypedMass{}, errors.New("mass is blank: give grams, such as 29.1034")
	}
	if len(text) > longestTyped {
		return TypedMass{}, fmt.Errorf("mass of %d characters: give one number in grams, such as 29.1034", len(text))
	}
	before, digits, after, ok := splitNumber(text)
	if !ok {
		if !strings.ContainsAny(text, "0123456789") { // a balance that cannot weigh says so without a number
			if err := marks(strings.Trim(text, "+- "), text); err != nil {
				return TypedMass{}, err
			}
		}
		return TypedMass{}, fmt.Errorf("mass %q has no single number: give grams, such as 29.1034", text)
	}
	sign := strings.Trim(before, " ,:;")
	negative := strings.HasSuffix(sign, "-")
	if negative || strings.HasSuffix(sign, "+") {
		sign = sign[:len(sign)-1]
	}
	if err := marks(sign, text); err != nil {
		return TypedMass{}, err
	}
	shift, err := massUnit(after, text)
	if err != nil {
		return TypedMass{}, err
	}
	written := inGrams(digits, shift)
	v, err := strconv.ParseFloat(written, 64)
	if err != nil || v > float64(heaviestCrucible) {
		return TypedMass{}, fmt.Errorf("mass %q: give grams up to %s", text, number(float64(heaviestCrucible)))
	}
	if negative && v != 0 {
		v, written = -v, "-"+written
	}
	return TypedMass{unit.Grams(v), written}, nil
}

// splitNumber finds the one number of a text; false when there is none or more than one.
func splitNumber(text string) (before, digits, after string, ok bool) {
	isDigit := func(b byte) bool { return b >= '0' && b <= '9' }
	start := strings.IndexAny(text, "0123456789")
	if start < 0 {
		return "", "", "", false
	}
	if start > 0 && text[start-1] == '.' { // ".5"
		start--
	}
	end, points := start, 0
	for end < len(text) {
		switch c := text[end]; {
		case isDigit(c):
		case (c == '.' || c == ',') && (end+1 < len(text) && isDigit(text[end+1]) || c == '.'):
			points++
		default:
			goto done
		}
		end++
	}
done:
	digits, after = strings.Replace(text[start:end], ",", ".", 1), text[end:]
	if points > 1 || strings.ContainsAny(after, "0123456789") {
		return "", "", "", false
	}
	return text[:start], digits, after, true
}

// marks looks at the letters before a number.
func marks(text, whole string) error {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ':' || r == ';' || r == '\t' }) {
		switch upper := strings.ToUpper(word); upper {
		case "D", "SD", "US", "?":
			return fmt.Errorf("mass %q: the balance had not settled: wait and weigh again", whole)
		case "I", "OL", "E", "ERR", "H", "L":
			return fmt.Errorf("mass %q: the balance could not weigh: look at its display and weigh again", whole)
		case "S", "ST", "N", "G", "GS", "NT", "GROSS", "NET", "TARE", "T", "A", "M", "WT", "MASS":
		default:
			return fmt.Errorf("mass %q: %q is not understood before a mass: give grams, such as 29.1034", whole, word)
		}
	}
	return nil
}

// massUnit gives by how many decimal places a number has to be moved to be grams.
func massUnit(after, whole string) (int, error) {
	after = strings.TrimSpace(after)
	if strings.Contains(after, "?") {
		return 0, fmt.Errorf("mass %q: the balance had not settled: wait and weigh again", whole)
	}
	unit, rest, _ := strings.Cut(after, " ")
	if rest = strings.TrimSpace(rest); rest != "" && rest != "S" && rest != "N" && rest != "G" {
		return 0, fmt.Errorf("mass %q: %q is not understood after a mass: give grams, such as 29.1034", whole, rest)
	}
	switch unit {
	case "", "g":
		return 0, nil
	case "mg":
		return -3, nil
	case "kg":
		return 3, nil
	}
	return 0, fmt.Errorf("mass %q: unit %q: give grams (g), milligrams (mg) or kilograms (kg)", whole, unit)
}

// inGrams moves the decimal point and tidies leading zeros, losing no digit.
func inGrams(digits string, shift int) string {
	whole, part, _ := strings.Cut(digits, ".")
	for ; shift > 0; shift-- {
		if part == "" {
			part = "0"
		}
		whole, part = whole+part[:1], part[1:]
	}
	for ; shift < 0; shift++ {
		if whole == "" {
			whole = "0"
		}
		part, whole = whole[len(whole)-1:]+part, whole[:len(whole)-1]
	}
	if whole = strings.TrimLeft(whole, "0"); whole == "" {
		whole = "0"
	}
	if part == "" {
		return whole
	}
	return whole + "." + part
}
