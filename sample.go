package underfoot

import "fmt"

// Sample is one composite: the cores of one green and layer, taken in one round and burnt together.
type Sample struct {
	ID             string       `col:"sample" key:"1" about:"Name of the composite, as on its bag."`
	Course         string       `col:"course" need:"1" refers:"courses" about:"Course it was taken on."`
	Green          string       `col:"green" need:"1" refers:"greens" about:"Green it was taken from."`
	Round          string       `col:"round" about:"Label of the sampling occasion." default:"the date"`
	Date           Date         `col:"date" need:"1" about:"Day the cores were taken."`
	TopMM          float64      `col:"top_mm" need:"1" unit:"mm" min:"0" max:"2000" about:"Depth of the upper end of the layer below the surface."`
	BottomMM       float64      `col:"bottom_mm" need:"1" unit:"mm" above:"0" max:"2000" about:"Depth of the lower end of the layer below the surface."`
	Cores          Opt[int]     `col:"cores" min:"1" max:"1000" about:"Number of cores in the composite."`
	CoreDiameterMM Opt[float64] `col:"core_diameter_mm" unit:"mm" above:"0" max:"500" about:"Inner diameter of the corer."`
	Verdure        string       `col:"verdure" oneof:"kept,removed" about:"Whether the green top was left on."`
	Position       string       `col:"position" about:"Where on the green, in words."`
	Extra          Extra
}

// Samples describes the table of composites.
var Samples = newTable[Sample]("samples", "Samples")

// Table returns [Samples].
func (*Sample) Table() *Table { return Samples }

// Check refuses a layer that is upside down or has no thickness.
func (s *Sample) Check() []Fault {
	if s.BottomMM <= s.TopMM {
		return []Fault{{"bottom_mm", fmt.Sprintf("%s mm is not below top_mm %s mm: the bottom of a layer must be deeper than its top",
			FormatNumber(s.BottomMM), FormatNumber(s.TopMM))}}
	}
	return nil
}

// RoundLabel returns the label of the round, or its date where none was given.
func (s *Sample) RoundLabel() string {
	if s.Round != "" {
		return s.Round
	}
	return s.Date.String()
}

// Layer names the layer by its depths, such as "0–20 mm".
func (s *Sample) Layer() string { return LayerName(s.TopMM, s.BottomMM) }

// LayerName names a layer by its depths, such as "0–20 mm".
func LayerName(topMM, bottomMM float64) string {
	return FormatNumber(topMM) + "–" + FormatNumber(bottomMM) + " mm"
}
