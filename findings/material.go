package findings

import (
	"fmt"
	"math"
	"time"

	"underfoot/unit"
)

// Profile is what one round found from the surface down: the mean of a course, or one green.
type Profile struct {
	Round  string
	Date   time.Time
	Layers []ProfileLayer // in any order
}

// ProfileLayer is one layer of a [Profile].
type ProfileLayer struct {
	TopMM, BottomMM unit.Millimetres
	OM              unit.Percent // of oven-dry mass
	OMSE            unit.Percent // its standard error, points
	Density         unit.KgPerM3 // dry bulk density, measured or estimated
	DensitySE       unit.KgPerM3
}

// SandLaid is sand put on or into the greens on one day, dry mass, mean of the area.
type SandLaid struct {
	Date            time.Time
	Amount          unit.KgPerM2
	TopMM, BottomMM unit.Millimetres // the depths it was spread evenly between; both 0 for the surface
}

// Opened is one day on which tines or blades opened the surface.
type Opened struct {
	Date     time.Time
	Touched  unit.Fraction // share of the surface opened at least once
	DepthMM  unit.Millimetres
	Removed  bool         // what was cut was taken away
	Backfill unit.KgPerM2 // sand brushed into the holes, dry mass
}

// Following is what is needed to follow the material of a profile through later rounds.
type Following struct {
	Rounds      []Profile
	Sand        []SandLaid
	Opened      []Opened
	Reference   string       // the round whose layers are followed; empty for the first
	SandDensity unit.KgPerM3 // to say sand in mm and to know what the holes can take; 0 means 1550 kg/m³
	Doubt       MaterialDoubt
	RoundSD     unit.Percent  // round-to-round scatter assumed with two rounds [points]; 0 means DefaultRoundSD
	Fixed       []FixedChange // the trends at fixed depth, where they are known; others are worked out here
}

// MaterialDoubt is how far the record of work may be wrong: relative standard uncertainties, each one factor for all
// work of a kind in a calendar year.
type MaterialDoubt struct {
	Sand     unit.Fraction // spread on the surface
	Backfill unit.Fraction // in holes, or injected
	Area     unit.Fraction // share of the surface opened
	Density  unit.Fraction // of all densities together, as where they are estimated and not measured
}

// DefaultMaterialDoubt gives the working defaults of the log: 10, 20 and 15 % (common practice, no source).
func DefaultMaterialDoubt() MaterialDoubt {
	return MaterialDoubt{Sand: 0.10, Backfill: 0.20, Area: 0.15}
}

// usualSandDensity is the bulk density of dry topdressing sand where none is given [kg/m³] (common practice, no source).
const usualSandDensity = 1550

// Material is how the material of each layer of one round fared afterwards.
type Material struct {
	Known     bool
	Why       string // a plain sentence where nothing can be followed
	Reference string // the round whose layers are followed
	Date      time.Time
	Bands     []MaterialBand // from the surface down
	Method    string
	Notes     []string // plain sentences
}

// MaterialBand is the material that lay between two depths in the reference round.
type MaterialBand struct {
	TopMM, BottomMM unit.Millimetres // where it lay
	Rounds          []MaterialRound  // in which it lay within the sampled depth, the reference round first
	Change          MaterialChange   // of its OM, points a year, over the rounds in which that is known
	Stock           MaterialChange   // of its organic mass, kg/m² a year
	Fixed           MaterialChange   // of the OM between the two depths, whatever lay there, points a year
	Left            string           // the first round in which part of it lay below the sampled depth
	DeeperMM        unit.Millimetres // how much deeper that round would have had to go
	Says            string           // one sentence on why the two views differ, or why they cannot be compared
}

// MaterialRound is where that material lay in one round and what it held.
type MaterialRound struct {
	Round             string
	Date              time.Time
	TopMM, BottomMM   unit.Millimetres // where it lay below the surface
	OM, SE            unit.Percent     // of the material, sand since filled into it left out; standard error in points
	OMKnown           bool             // false: it lies in one layer with the sand laid on it, and cannot be told from what grew there
	Organic           unit.KgPerM2     // in it; in the uppermost band with what grew in the sand laid on it
	OrganicSE         unit.KgPerM2
	Removed           unit.KgPerM2     // organic matter taken out of it with cores since the reference round
	SandMM            unit.Millimetres // laid on the surface since the reference round
	Fixed, FixedSE    unit.Percent     // what the same depths as in the reference round held; see FixedKnown
	FixedKnown        bool
	opened, removedIn bool
}

// FollowMaterial reads what the material of each layer of one round held in the rounds after it.
//
//	M_k = Σ (1 − f)·ρ·h    O_k = Σ f·ρ·h    down to the bottom of layer k
//
// f is the organic share, ρ the bulk density [kg/m³] and h the thickness [m] of a layer; M and O [kg/m²] are the
// mineral and organic mass above its bottom. O is a monotone cubic of M through these points and (0, 0), or straight
// lines where a round has two layers only. Mineral is neither made nor lost, so the mineral mass above a piece of
// material is a mark that stays on it, if it is moved by the work between the rounds:
//
//	M → M + S                       S sand on the surface [kg/m²]
//	M → M − φ·min(M, M_z)           cores of share φ taken out to depth z, M_z the mineral above it
//	M → M + B·min(M, M_z)/M_z       B sand filled into the holes [kg/m²]
//
// The organic mass of the material is O at its lower mark less O at its upper mark in the later round, and its OM
// that over the sum with its own mineral: sand filled into it is not it. Of the uppermost band the organic mass is taken
// from the surface, with what grew in the sand laid on it, as equal-mass stocks are: as long as its upper mark lies
// inside the uppermost layer, the two cannot be told apart and its OM is not known. Standard errors come from
// first-order propagation with finite steps of one standard uncertainty (JCGM 100:2008, 5.1.2) of the OM and density of
// every layer, of what is read between the bottoms of layers, and of the log of work. Nothing is read below the sampled
// depth. Ignored: mixing of sand with what lies deeper than the uppermost layer, sand lost with mowing, greens that were
// worked unlike the mean, and that the material may settle unevenly.
// Sources: cumulative mass and spline, Wendt & Hauser 2013, Eur. J. Soil Sci. 64:58–65; mineral mass as the ruler, von
// Haden, Yang & DeLucia 2020, Global Change Biol., doi 10.1111/gcb.15124; moving the mark with the work is derived in
// docs/model/material.md.
func FollowMaterial(f Following) (Material, error) {
	f, err := f.ready()
	if err != nil {
		return Material{}, fmt.Errorf("following the material: %w", err)
	}
	out := Material{}
	usable, notes := usableRounds(f.Rounds)
	out.Notes = notes
	at, why, err := f.reference(usable)
	if err != nil {
		return Material{}, fmt.Errorf("following the material: %w", err)
	}
	if why != "" {
		out.Why = why
		return out, nil
	}
	usable = usable[at:]
	if len(usable) < 2 {
		out.Why = fmt.Sprintf("No round after %s reaches down in layers that touch: there is nothing to follow the material through yet.", usable[0].Round)
		return out, nil
	}
	m := newMover(f, usable)
	out.Known, out.Reference, out.Date = true, usable[0].Round, usable[0].Date
	out.Bands = m.bands(f)
	out.Method = m.method()
	return out, nil
}

// ready fills in defaults and refuses what no arithmetic can use.
func (f Following) ready() (Following, error) {
	if f.SandDensity == 0 {
		f.SandDensity = usualSandDensity
	}
	if f.RoundSD == 0 {
		f.RoundSD = DefaultRoundSD
	}
	if !(f.SandDensity > 0) || math.IsInf(float64(f.SandDensity), 0) {
		return f, fmt.Errorf("bulk density of the sand is %g kg/m³: allowed is a number above 0, about 1500 to 1700", float64(f.SandDensity))
	}
	if !(f.RoundSD >= 0 && f.RoundSD <= 100) {
		return f, fmt.Errorf("round-to-round scatter is %g points: allowed is 0 (the default) to 100", float64(f.RoundSD))
	}
	d := f.Doubt
	for _, u := range []unit.Fraction{d.Sand, d.Backfill, d.Area, d.Density} {
		if !(u >= 0 && u <= 1) {
			return f, fmt.Errorf("relative standard uncertainty of the record of work is %g: allowed is 0 to 1", float64(u))
		}
	}
	for _, s := range f.Sand {
		if err := s.check(); err != nil {
			return f, err
		}
	}
	for _, o := range f.Opened {
		if err := o.check(); err != nil {
			return f, err
		}
	}
	for _, p := range f.Rounds {
		if err := p.check(); err != nil {
			return f, err
		}
	}
	return f, nil
}

func (s SandLaid) check() error {
	switch {
	case s.Date.IsZero():
		return fmt.Errorf("%g kg/m² of sand has no date: give the day it was put on", float64(s.Amount))
	case !(s.Amount >= 0) || math.IsInf(float64(s.Amount), 0):
		return fmt.Errorf("sand on %s is %g kg/m²: allowed is 0 or more", day(s.Date), float64(s.Amount))
	case s.TopMM == 0 && s.BottomMM == 0:
		return nil
	case !(s.TopMM >= 0 && s.BottomMM > s.TopMM) || math.IsInf(float64(s.BottomMM), 0):
		return fmt.Errorf("sand on %s lies between %g and %g mm: allowed is a bottom below the top, and a top at 0 mm or deeper", day(s.Date), float64(s.TopMM), float64(s.BottomMM))
	}
	return nil
}

func (o Opened) check() error {
	switch {
	case o.Date.IsZero():
		return fmt.Errorf("an opening of %g of the surface has no date: give the day of the work", float64(o.Touched))
	case !(o.Touched >= 0 && o.Touched < 1):
		return fmt.Errorf("share of the surface opened on %s is %g: allowed is 0 or more and less than 1", day(o.Date), float64(o.Touched))
	case !(o.DepthMM > 0) || math.IsInf(float64(o.DepthMM), 0):
		return fmt.Errorf("depth of the openings on %s is %g mm: allowed is a depth above 0 mm", day(o.Date), float64(o.DepthMM))
	case !(o.Backfill >= 0) || math.IsInf(float64(o.Backfill), 0):
		return fmt.Errorf("sand filled into the holes on %s is %g kg/m²: allowed is 0 or more", day(o.Date), float64(o.Backfill))
	}
	return nil
}
