package numeral

import "strings"

// MarkOM is the mark of the organic matter of a layer on every page and in the report, "om-0-20" for the layer "0–20 mm": by it tests
// hold that it reads the same everywhere.
func MarkOM(layer string) string {
	return "om-" + strings.ReplaceAll(strings.TrimSuffix(layer, " mm"), "–", "-")
}
