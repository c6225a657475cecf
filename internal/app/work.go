package app

import (
	"fmt"

	"underfoot"
	"underfoot/balance"
	"underfoot/coring"
	"underfoot/unit"
)

// DefaultSandDensity is taken for sand whose bulk density nobody wrote down, kg/m³: a common dry topdressing sand
// lies at 1500 to 1600 (100 lb a cubic foot is 1602; Green Section regional update 2018 and common practice).
const DefaultSandDensity unit.KgPerM3 = 1550

// Done is one entry of the log in sand and openings, the mean over the whole of the surface.
type Done struct {
	Work      underfoot.Work
	Share     float64      // of the course's area that was worked, 0..1
	SurfaceMM float64      // sand spread on the surface, mm over the whole course
	DeepMM    float64      // sand placed below it: backfill and injection, mm over the whole course
	TopMM     float64      // of both, what went into the layer at the surface, mm over the whole course
	SandKgM2  float64      // both, dry mass, kg/m² over the whole course
	Opened    float64      // share of the worked surface that was opened, 0..1
	Removed   bool         // what was cut was taken off
	Density   unit.KgPerM3 // bulk density of the sand
	Notes     []string
}

// reckon turns the done work of a surface into sand and openings.
func reckon(rs *underfoot.Records, greens []underfoot.Green, planned bool) ([]Done, []string) {
	area := map[string]float64{}
	var total, known float64
	for _, g := range greens {
		known += g.AreaM2.Or(0)
		if g.AreaM2.Known {
			total++
		}
	}
	mean := 1.0
	if total > 0 {
		mean = known / total
	}
	var sum float64
	for _, g := range greens {
		area[g.ID] = g.AreaM2.Or(mean)
		sum += area[g.ID]
	}
	densities := map[string]unit.KgPerM3{}
	for _, s := range rs.Sands {
		if s.BulkDensity.Known {
			densities[s.ID] = unit.KgPerM3(s.BulkDensity.Value)
		}
	}
	var done []Done
	var notes []string
	for _, w := range rs.Work {
		if w.Planned() != planned {
			continue
		}
		share := 1.0
		if w.Green != "" {
			a, ours := area[w.Green]
			if !ours {
				continue // another surface
			}
			share = a / sum
		}
		d, err := reckonOne(w, share, densities)
		if err != nil {
			notes = append(notes, fmt.Sprintf("work %s of %s is left out of the account: %v", w.ID, w.Date, err))
			continue
		}
		done = append(done, d)
	}
	return done, notes
}

func reckonOne(w underfoot.Work, share float64, densities map[string]unit.KgPerM3) (Done, error) {
	d := Done{Work: w, Share: share, Density: DefaultSandDensity}
	if rho, ok := densities[w.Sand]; ok {
		d.Density = rho
	}
	spread := sandKgM2(w, d.Density)
	opening, ok, err := openingOf(w)
	if err != nil {
		return d, err
	}
	var filled float64
	if ok {
		d.Opened = float64(opening.Touched)
		d.Removed = w.Kind != "solid_tine" && w.CoresRemoved != "no"
		filled = float64(opening.Volume) * w.Backfill.Or(0) // L/m², that is mm
	}
	if w.Kind == "inject_sand" {
		d.DeepMM = share * spread / float64(d.Density) * 1000
	} else {
		d.SurfaceMM = share * spread / float64(d.Density) * 1000
		d.DeepMM = share * filled
	}
	d.SandKgM2 = (d.SurfaceMM + d.DeepMM) * float64(d.Density) / 1000
	return d, nil
}

// sandKgM2 gives the sand of an entry in kg/m²; where both amounts are given they agree within 2 %, and mass is the
// one weighed.
func sandKgM2(w underfoot.Work, density unit.KgPerM3) float64 {
	if w.SandKgM2.Known {
		return w.SandKgM2.Value
	}
	return w.SandMM.Or(0) * float64(density) / 1000
}

// sandMM is the sand spread on or injected by an entry on the greens it names, in mm.
func (d *Done) SandMM() float64 { return d.SurfaceMM + d.DeepMM }

// TonnesOver gives the dry sand of the entry over an area in m².
func (d *Done) TonnesOver(areaM2 float64) float64 { return d.SandKgM2 * areaM2 / 1000 }

// openingOf gives what the tines or blades of an entry opened; ok is false for work that opens nothing, and the error
// says what is missing.
func openingOf(w underfoot.Work) (opening coring.Opening, ok bool, err error) {
	depth := unit.Millimetres(w.DepthMM.Value)
	switch w.Kind {
	case "hollow_core", "solid_tine":
		if !w.TineDiameterMM.Known || !w.SpacingAlongMM.Known || !w.DepthMM.Known {
			return opening, false, fmt.Errorf("tine diameter, spacing and depth are needed to know what it opened")
		}
		t := coring.Tines{
			Diameter: unit.Millimetres(w.TineDiameterMM.Value), Along: unit.Millimetres(w.SpacingAlongMM.Value),
			Across: unit.Millimetres(w.SpacingAcrossMM.Or(0)), Passes: w.Passes.Or(1), Depth: depth,
		}
		if w.Pattern == "triangular" {
			t.Pattern, t.Across = coring.Triangular, 0
		}
		opening, err = t.Open()
		return opening, err == nil, err
	case "scarify":
		if !w.BladeWidthMM.Known || !w.BladeSpacingMM.Known || !w.DepthMM.Known {
			return opening, false, fmt.Errorf("blade width, spacing and depth are needed to know what it opened")
		}
		opening, err = coring.Blades{
			Width: unit.Millimetres(w.BladeWidthMM.Value), Spacing: unit.Millimetres(w.BladeSpacingMM.Value),
			Passes: w.Passes.Or(1), Depth: depth,
		}.Open()
		return opening, err == nil, err
	}
	return opening, false, nil
}

// sands turns done work into the sand of the account: what was spread, and what was injected.
func sands(done []Done) []balance.Sand {
	var out []balance.Sand
	for _, d := range done {
		perMM := float64(d.Density) / 1000
		if d.SurfaceMM > 0 {
			out = append(out, balance.Sand{At: d.Work.Date.Time(), Amount: unit.KgPerM2(d.SurfaceMM * perMM)})
		}
		if d.DeepMM > 0 && d.Work.Kind == "inject_sand" {
			out = append(out, balance.Sand{
				At: d.Work.Date.Time(), Amount: unit.KgPerM2(d.DeepMM * perMM),
				Bottom: unit.Millimetres(d.Work.DepthMM.Or(DefaultInjectionDepth)),
			})
		}
	}
	return out
}

// DefaultInjectionDepth is how deep injected sand is taken to lie where nobody wrote it down, mm; common practice, no
// source.
const DefaultInjectionDepth = 60.0

// corings turns done work into the openings of the account.
func corings(done []Done) []balance.Coring {
	var out []balance.Coring
	for _, d := range done {
		if d.Opened == 0 {
			continue
		}
		out = append(out, balance.Coring{
			At: d.Work.Date.Time(), Touched: unit.Fraction(d.Opened * d.Share), Depth: unit.Millimetres(d.Work.DepthMM.Value),
			Removed: d.Removed, Backfill: unit.KgPerM2(d.DeepMM * float64(d.Density) / 1000),
		})
	}
	return out
}

// doubtsOfTheLog says what in the log is likely not meant as it stands: planned work whose day is past, and sand that
// was only ever put on some of the greens.
func (s *Standing) doubtsOfTheLog(today underfoot.Date) []string {
	var out []string
	past := 0
	for _, d := range s.Planned {
		if d.Work.Date < min(s.AsOf, today) {
			past++
		}
	}
	if past > 0 {
		out = append(out, fmt.Sprintf("%s dated before the last record: mark what was done, for planned work counts for nothing", counted(past, "planned entry is", "planned entries are")))
	}
	dressed, all := map[string]bool{}, false
	for _, d := range s.Done {
		if d.SandMM() > 0 {
			all = all || d.Work.Green == ""
			dressed[d.Work.Green] = true
		}
	}
	if n := len(dressed); n > 0 && !all && n < len(s.Greens) {
		out = append(out, fmt.Sprintf("sand is on record for %d of the %d %s only: the account takes the others as undressed", n, len(s.Greens), SurfaceName(s.Surface)))
	}
	return out
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
