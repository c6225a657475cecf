package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/unit"
)

// BenchRow is what the bench says about one composite; nil is not known.
type BenchRow struct {
	Sample                     string   `json:"sample"`
	Course                     string   `json:"course"`
	Green                      string   `json:"green"`
	Round                      string   `json:"round"`
	Date                       string   `json:"date"`
	TopMM                      float64  `json:"top_mm"`
	BottomMM                   float64  `json:"bottom_mm"`
	OrganicMatterPercent       *float64 `json:"organic_matter_percent"`
	StandardUncertaintyPercent *float64 `json:"standard_uncertainty_percent"`
	DryMassG                   *float64 `json:"dry_mass_g"`
	WaterPercent               *float64 `json:"water_percent"`
	VolumeCm3                  *float64 `json:"volume_cm3"`
	BulkDensityKgM3            *float64 `json:"bulk_density_kg_m3"`
	BulkDensityFrom            string   `json:"bulk_density_from"`
	OrganicStockKgM2           *float64 `json:"organic_stock_kg_m2"`
	MineralKgM2                *float64 `json:"mineral_kg_m2"`
	Method                     string   `json:"method"`
	Warnings                   []string `json:"warnings"`
	Notes                      []string `json:"notes"`
	Budget                     []Doubt  `json:"budget"`                       // parts of the uncertainty, largest first
	DegreesOfFreedom           *float64 `json:"effective_degrees_of_freedom"` // nil when unlimited or not known
	ExpandedPercent            *float64 `json:"expanded_uncertainty_percent"` // half width that holds 95 in 100
	FurnaceRuns                []string `json:"furnace_runs"`
	Held                       bool     `json:"held"`       // burnt in a failed run that nobody released
	RunFailed                  []string `json:"run_failed"` // why that run failed, released or not
	Released                   *Release `json:"released"`   // who released that run, and why

	Of     underfoot.Sample     `json:"-"`
	Result bench.Result         `json:"-"` // zero when the row could not be worked out
	Known  bool                 `json:"-"` // Result holds
	Burnt  []underfoot.Weighing `json:"-"` // the crucibles of the composite, duplicates left out
	Repeat []underfoot.Weighing `json:"-"` // its duplicates
}

// Doubt is one part of the uncertainty of a result.
type Doubt struct {
	From             string   `json:"from"`
	StandardPercent  float64  `json:"standard_uncertainty_percent"`
	DegreesOfFreedom *float64 `json:"degrees_of_freedom"` // nil when unlimited
}

// limited gives degrees of freedom, nil when there are no limits to them.
func limited(df float64) *float64 {
	if math.IsInf(df, 1) {
		return nil
	}
	return &df
}

// doubts puts in the budget of the result.
func (r *BenchRow) doubts(b *bench.Budget) {
	r.StandardUncertaintyPercent = number(float64(b.Standard))
	r.ExpandedPercent = number(float64(b.Expanded()))
	r.DegreesOfFreedom = limited(b.DF)
	r.Budget = make([]Doubt, len(b.Components))
	for i, c := range b.Components {
		r.Budget[i] = Doubt{c.Name, float64(c.Standard), limited(c.DF)}
	}
}

// Comparable says whether the row may stand in a trend: worked out, burnt whole, and not held for its furnace run.
func (r *BenchRow) Comparable() bool { return r.Known && !r.Held && r.Result.Method.Comparable() }

// Bench works out every composite of a course that has weighings or a result, by date, green and depth. A composite
// that cannot be worked out keeps its row, with the reason among the warnings; so does one whose furnace run failed,
// which is held until a named person releases the run.
func Bench(rs *underfoot.Records) []BenchRow {
	rows, _ := benchOf(rs)
	return rows
}

// BenchCorrected is [Bench] with what the mineral part loses in the furnace taken off. Such results stand for themselves: trends,
// balance and calibration never take them, since a series must be treated alike.
func BenchCorrected(rs *underfoot.Records, c bench.Corrections) ([]BenchRow, error) {
	loss, err := c.MineralLoss()
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	rows := benchRows(rs, bench.Defaults(), loss)
	quality(rs, rows).hold(rows)
	constantMass(rs, rows)
	if loss != nil {
		for i := range rows {
			rows[i].Notes = append(rows[i].Notes, fmt.Sprintf("corrected for a loss of the mineral part of %.3f ± %.3f %%: for this list only, trends take results as burnt", 100*float64(loss.Loss), 100*float64(loss.LossStandard)))
		}
	}
	return rows, nil
}

// benchOf is [Bench] with the checks of the furnace runs.
func benchOf(rs *underfoot.Records) ([]BenchRow, *Quality) {
	rows := benchRows(rs, bench.Defaults(), nil)
	q := quality(rs, rows)
	q.hold(rows)
	constantMass(rs, rows)
	return rows, q
}

func benchRows(rs *underfoot.Records, settings bench.Settings, loss *bench.MineralLoss) []BenchRow {
	crucibles := map[string][]underfoot.Weighing{}
	for _, w := range rs.Weighings {
		if w.OfSample() {
			crucibles[w.Sample] = append(crucibles[w.Sample], w)
		}
	}
	results := map[string]underfoot.Result{}
	for _, r := range rs.Results {
		results[r.Sample] = r
	}
	rows := make([]BenchRow, 0, len(rs.Samples))
	for _, s := range byDate(rs.Samples) {
		burnt, weighed := crucibles[s.ID]
		result, reported := results[s.ID]
		switch {
		case weighed:
			rows = append(rows, weighedRow(*s, burnt, settings, loss))
		case reported:
			rows = append(rows, reportedRow(*s, result, settings, loss))
		}
	}
	return rows
}

// byDate puts samples in the order of date, green and depth; rows are too large to be sorted after.
func byDate(samples []underfoot.Sample) []*underfoot.Sample {
	list := make([]*underfoot.Sample, len(samples))
	for i := range samples {
		list[i] = &samples[i]
	}
	slices.SortStableFunc(list, func(a, b *underfoot.Sample) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), strings.Compare(a.Green, b.Green), cmp.Compare(a.TopMM, b.TopMM))
	})
	return list
}

func newRow(s underfoot.Sample) BenchRow {
	return BenchRow{
		Sample: s.ID, Course: s.Course, Green: s.Green, Round: s.RoundLabel(), Date: s.Date.String(), TopMM: s.TopMM, BottomMM: s.BottomMM,
		Warnings: []string{}, Notes: []string{}, Budget: []Doubt{}, FurnaceRuns: []string{}, RunFailed: []string{}, Of: s,
	}
}

func weighedRow(s underfoot.Sample, burnt []underfoot.Weighing, settings bench.Settings, loss *bench.MineralLoss) BenchRow {
	row := newRow(s)
	row.Method = string(bench.Whole)
	c := composite(s)
	c.Mineral = loss
	for _, w := range burnt {
		if w.Kind == "duplicate" {
			row.Repeat = append(row.Repeat, w)
			continue
		}
		row.Burnt = append(row.Burnt, w)
		if missing := stillToWeigh(w); missing != "" {
			row.Warnings = append(row.Warnings, fmt.Sprintf("crucible %s: %s not weighed yet", w.Crucible, missing))
			continue
		}
		c.Crucibles = append(c.Crucibles, crucible(w))
	}
	if len(row.Warnings) > 0 {
		return row // part of a composite is not the composite
	}
	if len(c.Crucibles) == 0 {
		row.Warnings = append(row.Warnings, "only duplicates were weighed: the composite itself is missing")
		return row
	}
	return row.measure(c, settings)
}

func reportedRow(s underfoot.Sample, r underfoot.Result, settings bench.Settings, loss *bench.MineralLoss) BenchRow {
	row := newRow(s)
	row.Method = r.Method
	c := composite(s)
	c.Mineral = loss
	c.Method = bench.Method(r.Method)
	c.Reported = &bench.Reported{OrganicMatter: unit.Percent(r.OMPercent)}
	if r.OMSDPercent.Known {
		sd := unit.Percent(r.OMSDPercent.Value)
		c.Reported.SD = &sd
	}
	if r.DryMassG.Known {
		m := unit.Grams(r.DryMassG.Value)
		c.Reported.DryMass = &m
	}
	return row.measure(c, settings)
}

func composite(s underfoot.Sample) bench.Composite {
	c := bench.Composite{Layer: bench.Layer{Top: unit.Millimetres(s.TopMM), Bottom: unit.Millimetres(s.BottomMM)}}
	if s.Cores.Known && s.CoreDiameterMM.Known {
		c.Cores = &bench.Cores{Count: s.Cores.Value, Diameter: unit.Millimetres(s.CoreDiameterMM.Value)}
	}
	return c
}

func crucible(w underfoot.Weighing) bench.Crucible {
	c := bench.Crucible{
		Name: w.Crucible, Tare: unit.Grams(w.TareG.Value), Dry: unit.Grams(w.DryG.Value), Ash: unit.Grams(w.AshG.Value),
		AshHours: w.AshHours.Ptr(),
	}
	c.Moist = grams(w.MoistG)
	c.Resolution = grams(w.ResolutionG)
	c.DryTemperature, c.AshTemperature = celsius(w.DryC), celsius(w.AshC)
	return c
}

func grams(o underfoot.Opt[float64]) *unit.Grams {
	if !o.Known {
		return nil
	}
	g := unit.Grams(o.Value)
	return &g
}

func celsius(o underfoot.Opt[float64]) *unit.Celsius {
	if !o.Known {
		return nil
	}
	c := unit.Celsius(o.Value)
	return &c
}

func stillToWeigh(w underfoot.Weighing) string {
	var missing []string
	if !w.TareG.Known {
		missing = append(missing, "empty")
	}
	if !w.DryG.Known {
		missing = append(missing, "dry")
	}
	if !w.AshG.Known {
		missing = append(missing, "ash")
	}
	return strings.Join(missing, " and ")
}

func (row BenchRow) measure(c bench.Composite, settings bench.Settings) BenchRow {
	r, err := bench.Measure(c, settings)
	if err != nil {
		row.Warnings = append(row.Warnings, strings.Split(err.Error(), "\n")...)
		return row
	}
	row.Result, row.Known = r, true
	row.OrganicMatterPercent = number(float64(r.OrganicMatter))
	if r.Uncertainty != nil {
		row.doubts(r.Uncertainty)
	}
	row.DryMassG = float(r.DryMass)
	row.WaterPercent = float(r.Water)
	row.VolumeCm3 = float(r.Volume)
	row.BulkDensityKgM3 = number(float64(r.BulkDensity.Value))
	row.BulkDensityFrom = string(r.BulkDensityFrom)
	row.OrganicStockKgM2 = number(float64(r.OrganicStock.Value))
	row.MineralKgM2 = number(float64(r.Mineral.Value))
	for _, w := range r.Warnings {
		row.Warnings = append(row.Warnings, w.String())
	}
	for _, n := range r.Notes {
		row.Notes = append(row.Notes, n.String())
	}
	return row
}

func number(v float64) *float64 { return &v }

func float[T ~float64](p *T) *float64 {
	if p == nil {
		return nil
	}
	v := float64(*p)
	return &v
}
