package profile

import "fmt"

// Settings is what is not learnt from rounds.
type Settings struct {
	SandDensity float64 // ρs, dry sand as it lies, kg/m³
	Q10         float64 // factor on decay for 10 °C; 2 (Jenkinson et al. 1991 and common use). Not used with LloydTaylor
	LloydTaylor bool    // decay by Lloyd & Taylor (1994) instead of Q10
	OnePool     bool    // no fast pool: everything made is slow
	Humified    float64 // share of what leaves the fast pool that becomes slow: 1/(x+1), x = 1.67·(1.85+1.60) without clay, 0.148 (RothC-26.3, Coleman & Jenkinson 1996, from memory)
	FastStart   float64 // share of the first profile that is fast; working default, no source
	Mix         float64 // depth to which sand is worked in, mm; common practice, no source
	DeepReach   float64 // how many times λ the deeper roots reach; working default, no source
	CutShare    float64 // of a tine's depth that it really cuts; working default, no source
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

// Check refuses settings that make no column.
func (s Settings) Check() error {
	limits := []struct {
		what         string
		v, low, high float64
		unit         string
	}{
		{"bulk density of sand", s.SandDensity, 800, 2200, "kg/m³"},
		{"Q10", s.Q10, 1, 5, ""},
		{"humified share", s.Humified, 0, 0.9, ""},
		{"fast share of the first profile", s.FastStart, 0, 0.9, ""},
		{"depth of working in", s.Mix, 0.1, 30, "mm"},
		{"reach of deep roots", s.DeepReach, 1, 10, "times"},
		{"share of a tine's depth that cuts", s.CutShare, 0.3, 1, ""},
		{"depth of the column", s.Depth, 40, 600, "mm"},
		{"thickness of a parcel", s.Cell, 0.2, 20, "mm"},
		{"sand of one parcel", s.Join, 0, 20, "mm"},
		{"longest step", float64(s.Step), 1, 31, "d"},
	}
	for _, l := range limits {
		if !(l.v >= l.low && l.v <= l.high) {
			return fmt.Errorf("settings of the profile: %s is %s: give %g to %g", l.what, said(l.v, l.unit), l.low, l.high)
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
