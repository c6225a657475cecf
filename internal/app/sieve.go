package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/sieve"
	"underfoot/unit"
)

// SieveRow is what the sieves say about one sand or the ash of one sample; nil is not known, for sizes where they lie
// outside the sieves used.
type SieveRow struct {
	Source        string       `json:"source"`
	Course        string       `json:"course"`
	Name          string       `json:"name"`
	Green         string       `json:"green"`
	Date          string       `json:"date"`
	TopMM         *float64     `json:"top_mm"`
	BottomMM      *float64     `json:"bottom_mm"`
	MassRetainedG *float64     `json:"mass_retained_g"`
	StartMassG    *float64     `json:"start_mass_g"`
	WashedG       *float64     `json:"washed_g"`
	LossPercent   *float64     `json:"loss_percent"`
	Passing       []SievePoint `json:"passing"`
	D10           *float64     `json:"d10_mm"`
	D15           *float64     `json:"d15_mm"`
	D20           *float64     `json:"d20_mm"`
	D30           *float64     `json:"d30_mm"`
	D50           *float64     `json:"d50_mm"`
	D60           *float64     `json:"d60_mm"`
	D85           *float64     `json:"d85_mm"`
	D90           *float64     `json:"d90_mm"`
	D10SD         *float64     `json:"d10_sd_mm"`
	D50SD         *float64     `json:"d50_sd_mm"`
	Uniformity    *float64     `json:"uniformity"`
	Curvature     *float64     `json:"curvature"`
	Gradation     *float64     `json:"gradation_index"`
	Fineness      *float64     `json:"fineness_modulus"`
	FinenessIf    *float64     `json:"fineness_modulus_if_nothing_coarser"` // what stayed on the coarsest sieve taken to pass the next of the series
	Classes       []SieveClass `json:"classes"`
	USDA          []SieveClass `json:"classes_usda"`
	ISO           []SieveClass `json:"classes_iso_14688_1"`
	Limits        []SieveLimit `json:"limits"`
	Warnings      []string     `json:"warnings"`
	Notes         []string     `json:"notes"`

	Curve  *sieve.Curve      `json:"-"` // nil when it could not be worked out; Warnings says why
	Sand   *underfoot.Sand   `json:"-"` // one of the two
	Sample *underfoot.Sample `json:"-"`
}

// SievePoint is percent passing a sieve.
type SievePoint struct {
	SieveMM float64 `json:"sieve_mm"`
	Percent float64 `json:"percent"`
}

// SieveClass is what lies in a class of sizes.
type SieveClass struct {
	Class   string   `json:"class"`
	Percent float64  `json:"percent"`
	SD      float64  `json:"standard_deviation_percent"`
	FromMM  float64  `json:"from_mm"`
	ToMM    *float64 `json:"to_mm"`        // nil for everything coarser
	Between bool     `json:"interpolated"` // an edge was read between two sieves
}

// SieveLimit is a limit of the construction recommendation.
type SieveLimit struct {
	Limit   string   `json:"limit"`
	Allowed string   `json:"allowed"`
	Found   *float64 `json:"found"` // nil where only bounds are known
	Low     float64  `json:"found_at_least"`
	High    float64  `json:"found_at_most"`
	SD      float64  `json:"standard_deviation_percent"`
	Met     *bool    `json:"met"` // nil where neither what was found nor its bounds tell
	Chance  float64  `json:"chance_met"`
	Verdict string   `json:"verdict"`
}

// Sieve works out every sieve table of a course: sands first, then ash by date, green and depth. A table that cannot be
// worked out keeps its row, with the reason among the warnings.
func Sieve(rs *underfoot.Records) []SieveRow {
	tables := map[string][]sieve.Retained{}
	var sources []string
	for _, s := range rs.Sieve {
		if _, there := tables[s.Source]; !there {
			sources = append(sources, s.Source)
		}
		tables[s.Source] = append(tables[s.Source], sieve.Retained{Sieve: unit.Millimetres(s.SieveMM), Mass: unit.Grams(s.RetainedG)})
	}
	burnt := ashes(rs)
	around := map[string]underfoot.Sieving{}
	for _, s := range rs.Sievings {
		around[s.Source] = s
	}
	rows := make([]SieveRow, 0, len(sources))
	for _, source := range sources {
		row := emptySieveRow(rs, source)
		sheet := sieve.Sheet{Retained: tables[source]}
		row.around(&sheet, around[source])
		if row.Sample != nil && sheet.Start == nil {
			if ash, ok := burnt[row.Sample.ID]; ok {
				row.start(&sheet, ash)
			}
		}
		row.fill(sheet)
		rows = append(rows, row)
	}
	slices.SortStableFunc(rows, compareSieveRows)
	return rows
}

func emptySieveRow(rs *underfoot.Records, source string) SieveRow {
	row := SieveRow{
		Source: source, Course: rs.Course.ID, Name: source, Passing: []SievePoint{}, Classes: []SieveClass{}, USDA: []SieveClass{}, ISO: []SieveClass{},
		Limits: []SieveLimit{}, Warnings: []string{}, Notes: []string{},
	}
	of, id := (&underfoot.Sieve{Source: source}).Of()
	switch of {
	case underfoot.Sands:
		if i := slices.IndexFunc(rs.Sands, func(s underfoot.Sand) bool { return s.ID == id }); i >= 0 {
			row.Sand, row.Name = &rs.Sands[i], rs.Sands[i].Title()
		}
	case underfoot.Samples:
		if i := slices.IndexFunc(rs.Samples, func(s underfoot.Sample) bool { return s.ID == id }); i >= 0 {
			s := &rs.Samples[i]
			row.Sample, row.Name = s, "ash of "+id
			row.Green, row.Date, row.TopMM, row.BottomMM = s.Green, s.Date.String(), &s.TopMM, &s.BottomMM
		}
	}
	return row
}

func compareSieveRows(a, b SieveRow) int {
	ash := func(r SieveRow) int {
		if r.Sample != nil {
			return 1
		}
		return 0
	}
	top := func(r SieveRow) float64 {
		if r.Sample != nil {
			return r.Sample.TopMM
		}
		return 0
	}
	return cmp.Or(cmp.Compare(ash(a), ash(b)), strings.Compare(a.Date, b.Date), strings.Compare(a.Green, b.Green), cmp.Compare(top(a), top(b)), strings.Compare(a.Source, b.Source))
}

// ashes gives the ash of each composite that was weighed [g]: what its sieving started from.
func ashes(rs *underfoot.Records) map[string]float64 {
	out := map[string]float64{}
	for _, w := range rs.Weighings {
		if w.OfSample() && w.Kind != "duplicate" && w.AshG.Known && w.TareG.Known {
			out[w.Sample] += w.AshG.Value - w.TareG.Value
		}
	}
	return out
}

// partSieved is the share of the ash below which it is taken that only a part of it was sieved. A working default, no source.
const partSieved = 0.9

// around gives what was weighed before a sieving and what washing took away, where that is on record.
func (r *SieveRow) around(sheet *sieve.Sheet, s underfoot.Sieving) {
	if s.StartMassG.Known {
		g := unit.Grams(s.StartMassG.Value)
		sheet.Start, r.StartMassG = &g, number(s.StartMassG.Value)
	}
	if s.WashedG.Known {
		g := unit.Grams(s.WashedG.Value)
		sheet.Washed, r.WashedG = &g, number(s.WashedG.Value)
	}
}

// start gives the mass a sieving of ash started from, where all of it was sieved.
func (r *SieveRow) start(sheet *sieve.Sheet, ash float64) {
	sum := 0.0
	for _, m := range sheet.Retained {
		sum += float64(m.Mass)
	}
	if sheet.Washed != nil {
		sum += float64(*sheet.Washed)
	}
	switch {
	case !(ash > 0):
	case sum < partSieved*ash:
		r.Notes = append(r.Notes, fmt.Sprintf("%.2f g of %.2f g of ash are on the sieves: it is taken that a part of it was sieved", sum, ash))
	default:
		g := unit.Grams(ash)
		sheet.Start, r.StartMassG = &g, &ash
	}
}

func (r *SieveRow) fill(sheet sieve.Sheet) {
	c, err := sheet.Curve()
	if err != nil {
		r.Warnings = append(r.Warnings, err.Error())
		return
	}
	r.Curve = c
	r.Warnings, r.Notes = append(r.Warnings, c.Warnings...), append(r.Notes, c.Notes...)
	r.MassRetainedG = number(float64(c.Mass))
	if c.Loss != nil {
		r.LossPercent = number(float64(c.Loss.Percent()))
	}
	for _, p := range c.Points() {
		r.Passing = append(r.Passing, SievePoint{float64(p.Size), float64(p.Passing)})
	}
	d := func(q unit.Percent) *float64 { return known(c.D(q)) }
	r.D10, r.D15, r.D20, r.D30, r.D50, r.D60, r.D85, r.D90 = d(10), d(15), d(20), d(30), d(50), d(60), d(85), d(90)
	r.D10SD, r.D50SD = known(c.DSD(10)), known(c.DSD(50))
	r.Uniformity, r.Curvature, r.Gradation = known(c.Uniformity()), known(c.Curvature()), known(c.Gradation())
	if f, ok := c.FinenessModulus(); ok {
		r.FinenessIf = &f.Value
		if !f.Assumed {
			r.Fineness = &f.Value
		}
	}
	r.Classes, r.USDA, r.ISO = sieveClasses(sieve.Construction(), c), sieveClasses(sieve.USDA(), c), sieveClasses(sieve.ISO(), c)
	for _, j := range sieve.Judge(c, sieve.RootZoneLimits()) {
		r.Limits = append(r.Limits, SieveLimit{
			Limit: j.Name, Allowed: j.Allowed(), Found: float(j.Found), Low: float64(j.Low), High: float64(j.High), SD: float64(j.SD), Met: j.Within,
			Chance: j.Chance, Verdict: string(j.Verdict),
		})
	}
}

// known gives a value where it is known.
func known[T ~float64](v T, ok bool) *float64 {
	if !ok {
		return nil
	}
	return number(float64(v))
}

func sieveClasses(s sieve.System, c *sieve.Curve) []SieveClass {
	list := s.Classes(c)
	out := make([]SieveClass, 0, len(list))
	for _, k := range list {
		to := number(float64(k.To))
		if math.IsInf(float64(k.To), 1) {
			to = nil
		}
		out = append(out, SieveClass{k.Name, float64(k.Percent), float64(k.SD), float64(k.From), to, k.Between})
	}
	return out
}

// SieveCautions are the sentences to show where sand or ash is sieved: those of the bench about dust, and the last, that they
// do not cover every hazard.
func SieveCautions() []string {
	all := bench.Cautions()
	var out []string
	for i, c := range all {
		if strings.Contains(c, "silica") || i == len(all)-1 {
			out = append(out, c)
		}
	}
	return out
}
