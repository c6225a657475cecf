package profile

import "fmt"

// Settings is what is not learnt from rounds; [Settings.Rows] says where the usual ones are from.
type Settings struct {
	SandDensity float64 // ρs, dry sand as it lies, kg/m³
	Q10         float64 // factor on decay for 10 °C; not used with LloydTaylor
	LloydTaylor bool    // decay by Lloyd & Taylor (1994) instead of Q10
	OnePool     bool    // no fast pool: everything made is slow
	Humified    float64 // η, share of what leaves the fast pool that becomes slow
	FastStart   float64 // share of the first profile that is fast
	Mix         float64 // depth to which sand is worked in, mm
	DeepReach   float64 // r, how many times λ the deeper roots reach; growth is quickest to work out for 4
	CutShare    float64 // of a tine's depth that it really cuts
	Depth       float64 // of the first column, mm
	Cell        float64 // thickness of its parcels at the surface, mm; below 60 mm they are three times as thick
	Join        float64 // sand is laid into the parcel at the surface until that holds so much of it, mm
	Step        int     // longest time between two looks at where parcels lie, d
}

// Usual gives the settings that are used when nothing else is said.
func Usual() Settings {
	return Settings{
		SandDensity: 1550, Q10: 2, Humified: 0.148, FastStart: 0.15, Mix: 4, DeepReach: 4, CutShare: 0.95,
		Depth: 140, Cell: 2.5, Join: 1.25, Step: 7,
	}
}

// Setting is one number of the settings: for limits, forms and the documents.
type Setting struct {
	Name, Symbol, Unit string
	Value, Low, High   float64
	Source             string // of the usual value
}

// Rows lists the numbers of the settings with what is allowed.
func (s Settings) Rows() []Setting {
	return []Setting{
		{"bulk density of sand", "ρs", "kg/m³", s.SandDensity, 800, 2200, "dry sand as it lies, 1500 to 1600 (common practice, no source)"},
		{"Q10", "Q10", "", s.Q10, 1, 5, "2 is common use; soils 2 to 3 (from memory)"},
		{"humified share", "η", "", s.Humified, 0, 0.9, "1/(x+1) with x = 1.67·(1.85+1.60) in sand without clay (RothC-26.3, Coleman & Jenkinson 1996, from memory)"},
		{"fast share of the first profile", "", "", s.FastStart, 0, 0.9, "working default, no source"},
		{"depth of working in", "", "mm", s.Mix, 0.1, 30, "common practice, no source"},
		{"reach of deep roots", "r", "times", s.DeepReach, 1, 10, "working default, no source"},
		{"share of a tine's depth that cuts", "", "", s.CutShare, 0.3, 1, "working default, no source"},
		{"depth of the column", "", "mm", s.Depth, 40, 600, "deeper than tines reach"},
		{"thickness of a parcel", "", "mm", s.Cell, 0.2, 20, "an eighth of a layer of 20 mm"},
		{"sand of one parcel", "", "mm", s.Join, 0, 20, "half a parcel"},
		{"longest step", "", "d", float64(s.Step), 1, 31, "off by less than 0.02 points of organic matter against a day (tested)"},
	}
}

// Check refuses settings that make no column.
func (s Settings) Check() error {
	for _, l := range s.Rows() {
		if !(l.Value >= l.Low && l.Value <= l.High) {
			return fmt.Errorf("settings of the profile: %s is %s: give %g to %g", l.Name, said(l.Value, l.Unit), l.Low, l.High)
		}
	}
	return nil
}

// said writes a value with its unit, if it has one.
func said(v float64, unit string) string {
	if unit == "" || unit == "1" {
		return fmt.Sprint(v)
	}
	return fmt.Sprintf("%g %s", v, unit)
}
