package app

import (
	"math"
	"slices"
	"strings"
	"sync/atomic"

	"underfoot"
	"underfoot/balance"
	"underfoot/calibrate"
	"underfoot/findings"
	"underfoot/season"
	"underfoot/unit"
)

// Wishes are what the reader of a standing may set.
type Wishes struct {
	Matters float64 // smallest change that matters, points a year; 0 for the default

	listed bool // no more is wanted than a list of courses says: how even the greens are is left out
}

// Standing is where a course stands: everything the pages, the report and the commands say about it.
type Standing struct {
	Records *underfoot.Records
	Today   underfoot.Date
	AsOf    underfoot.Date    // the last day anything was recorded: what is said here held then
	Surface string            // kind of green the findings are about
	Greens  []underfoot.Green // of that surface
	AreaM2  float64           // of those greens together, 0 when no area is known
	Unsized int               // of those greens, how many have no area
	Notes   []string          // what was left out, and why

	Bench     []BenchRow // all composites, of every surface
	Quality   *Quality   // the checks of their furnace runs
	Layers    []Layer    // of the surface, from the top down
	Direction findings.Direction
	Judgement *underfoot.Judgement // the one that stands, if any

	Done    []Done // work done on the surface, by date
	Planned []Done
	Seasons []Season // by year, oldest first
	Sand    underfoot.Sand
	History balance.History // what the balance was asked

	ByRounds  *balance.Sheet // the balance by the rounds alone, nil when there is none; Why then says why
	Why       string
	byRounds  season.Advice // and what follows from it
	responses *kept[[]findings.Response]
	said      said // the balance and the advice, when asked for

	prior      func() (calibrate.Prior, error) // of the profile model; nil for the built-in one
	taught     string                          // what a school teaches it, as a short text
	calibrated calibration                     // the profile model, when asked for
	known      atomic.Pointer[Model]           // the same, once it is worked out
	quiet      atomic.Bool                     // whether the model is to be worked out on one core
	was        *fitted                         // a model of the same course worked out before, to be used again where it may
	outlook    outlookKept                     // and what it says
	shelf      *shelf                          // where what takes long is kept between runs of the program; nil for nowhere
}

// Season is one calendar year of work on the surface.
type Season struct {
	Year         int
	SurfaceMM    float64 // sand spread
	DeepMM       float64 // sand in holes and injected
	TopMM        float64 // of both, what went into the layer at the surface: what holding it is to be set against
	SandKgM2     float64
	Dressings    int     // days on which sand was spread
	Opened       float64 // share of the surface opened, events added up, 0..1
	Cored        float64 // of it, with what was cut taken off
	NitrogenKgHa float64
	Cost         float64
	LabourH      float64
}

// SandMM is all the sand of the season.
func (s *Season) SandMM() float64 { return s.SurfaceMM + s.DeepMM }

// begin takes the course, its greens and its bench in.
func begin(rs *underfoot.Records, today underfoot.Date) *Standing {
	s := &Standing{Records: rs, Today: today, AsOf: lastRecord(rs, today), responses: new(kept[[]findings.Response])}
	s.Surface, s.Greens, s.Notes = surfaceOf(rs)
	for _, g := range s.Greens {
		if g.AreaM2.Known {
			s.AreaM2 += g.AreaM2.Value
		} else {
			s.Unsized++
		}
	}
	if s.Unsized > 0 && s.Unsized < len(s.Greens) { // the rest are like those that are known
		s.AreaM2 *= float64(len(s.Greens)) / float64(len(s.Greens)-s.Unsized)
	}
	s.Bench, s.Quality = benchOf(rs)
	s.Notes = append(s.Notes, s.Quality.notes(s.Bench)...)
	return s
}

// standForModel works out so much of a standing as the profile model takes.
func standForModel(rs *underfoot.Records, today underfoot.Date) *Standing {
	s := begin(rs, today)
	s.workDone(today)
	return s
}

// Stand works out where a course stands on a day.
func Stand(rs *underfoot.Records, today underfoot.Date, wishes Wishes) (*Standing, error) {
	s := begin(rs, today)
	ours := map[string]bool{}
	for _, g := range s.Greens {
		ours[g.ID] = true
	}
	var rows []BenchRow
	for _, row := range s.Bench {
		if ours[row.Green] {
			rows = append(rows, row)
		}
	}
	var err error
	if s.Layers, err = layersOf(rows, wishes); err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "findings of %s: %w", rs.Course.ID, err)
	}
	if s.Direction, err = directionOf(rs, ours, s.AsOf, today); err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	if n := lastGreens(s.Layers); n == 1 {
		s.Notes = append(s.Notes, "only one of the "+SurfaceName(s.Surface)+" was sampled in the last round: what is said of the course rests on that one")
	}
	s.Judgement = standingRecord(rs.Judgements, today)
	s.workDone(today)
	s.balance(rows)
	s.byRounds, err = s.advise(s.ByRounds)
	return s, err
}

// lastRecord is the last day on which something was sampled, read or done, and today where nothing was. Readings are
// judged by it and not by today's date, so that a package says the same whenever it is read.
func lastRecord(rs *underfoot.Records, today underfoot.Date) underfoot.Date {
	last := underfoot.Date(math.MinInt32)
	for _, s := range rs.Samples {
		last = max(last, s.Date)
	}
	for _, r := range rs.Readings {
		last = max(last, r.Date)
	}
	for _, w := range rs.Work {
		if !w.Planned() {
			last = max(last, w.Date)
		}
	}
	if last == math.MinInt32 {
		return today
	}
	return min(last, today+1)
}

// lastGreens is the most greens that any layer's last round holds, 0 without layers.
func lastGreens(layers []Layer) int {
	most := 0
	for i := range layers {
		most = max(most, layers[i].Last().N)
	}
	return most
}

func (s *Standing) workDone(today underfoot.Date) {
	var notes []string
	s.Done, notes = reckon(s.Records, s.Greens, false)
	s.Notes = append(s.Notes, notes...)
	s.Planned, _ = reckon(s.Records, s.Greens, true)
	s.Notes = append(s.Notes, s.doubtsOfTheLog(today)...)
	byDate := func(a, b Done) int { return int(a.Work.Date - b.Work.Date) }
	slices.SortStableFunc(s.Done, byDate)
	slices.SortStableFunc(s.Planned, byDate)
	at := map[int]int{}
	days := map[int]map[underfoot.Date]bool{}
	for _, d := range s.Done {
		y := d.Work.Date.Year()
		i, ok := at[y]
		if !ok {
			i = len(s.Seasons)
			at[y], days[y] = i, map[underfoot.Date]bool{}
			s.Seasons = append(s.Seasons, Season{Year: y})
		}
		e := &s.Seasons[i]
		e.SurfaceMM += d.SurfaceMM
		e.DeepMM += d.DeepMM
		e.SandKgM2 += d.SandKgM2
		e.Opened += d.Opened * d.Share
		if d.Removed {
			e.Cored += d.Opened * d.Share
		}
		e.NitrogenKgHa += d.Work.NitrogenKgHa.Or(0) * d.Share
		e.Cost += d.Work.Cost.Or(0)
		e.LabourH += d.Work.LabourH.Or(0)
		if d.SurfaceMM > 0 && d.Work.Kind == "topdress" {
			days[y][d.Work.Date] = true
		}
	}
	for i := range s.Seasons {
		s.Seasons[i].Dressings = len(days[s.Seasons[i].Year])
	}
	s.Sand = dressingSand(s.Records, s.Done)
}

// dressingSand is the sand last spread, or the only topdressing sand of the course, or one of the default density.
func dressingSand(rs *underfoot.Records, done []Done) underfoot.Sand {
	named := ""
	for _, d := range done {
		if d.Work.Sand != "" && (d.SurfaceMM > 0 || d.DeepMM > 0) {
			named = d.Work.Sand
		}
	}
	for _, s := range rs.Sands {
		if s.ID == named || (named == "" && s.Role == "topdressing") {
			return s
		}
	}
	return underfoot.Sand{Name: "topdressing sand"}
}

// SandDensity is the bulk density of the sand of the advice, kg/m³.
func (s *Standing) SandDensity() unit.KgPerM3 {
	return unit.KgPerM3(s.Sand.BulkDensity.Or(float64(DefaultSandDensity)))
}

// balance keeps the account of the surface over its rounds.
func (s *Standing) balance(rows []BenchRow) {
	rounds, notes := balanceRounds(s.Layers, rows)
	s.Notes = append(s.Notes, notes...)
	s.History = balance.History{Rounds: rounds, Sand: sands(s.Done), Coring: corings(s.Done), SandDensity: s.SandDensity()}
	defer s.sandIntoTop()
	if len(rounds) == 0 {
		s.Why = "The balance compares two rounds; there is none yet."
		return
	}
	sheet, err := balance.Of(s.History)
	if err != nil {
		s.Why = "There is no balance: " + strings.TrimPrefix(err.Error(), "balance: ") + "."
		return
	}
	s.ByRounds = &sheet
}

// TopLayer is the layer at the surface that the rounds measured, 0–20 mm where there is none yet.
func (s *Standing) TopLayer() (topMM, bottomMM float64) {
	if s.ByRounds != nil && len(s.ByRounds.Layers) > 0 {
		return 0, float64(s.ByRounds.Layers[0].Bottom)
	}
	for _, l := range s.Layers {
		if l.TopMM == 0 {
			return 0, l.BottomMM
		}
	}
	return 0, 20
}

// sandIntoTop reckons what of each entry's and each season's sand went into the layer at the surface.
func (s *Standing) sandIntoTop() {
	top, bottom := s.TopLayer()
	into := map[int]float64{}
	for i := range s.Done {
		d := &s.Done[i]
		if d.SandMM() == 0 {
			continue
		}
		one := []Done{*d}
		for _, a := range (balance.History{Sand: sands(one), Coring: corings(one), SandDensity: s.SandDensity()}).
			SandByYear(unit.Millimetres(top), unit.Millimetres(bottom)) {
			d.TopMM += float64(a.Amount) / float64(s.SandDensity()) * 1000
		}
		into[d.Work.Date.Year()] += d.TopMM
	}
	for i := range s.Seasons {
		s.Seasons[i].TopMM = into[s.Seasons[i].Year]
	}
}

// Layer returns the finding of a layer by its depths, or nil.
func (s *Standing) Layer(top, bottom float64) *Layer {
	for i := range s.Layers {
		if s.Layers[i].TopMM == top && s.Layers[i].BottomMM == bottom {
			return &s.Layers[i]
		}
	}
	return nil
}

// Holding returns the balance of a layer by its depths, or nil.
func (s *Standing) Holding(top, bottom float64) *balance.Holding {
	sheet := s.Balance()
	if sheet == nil {
		return nil
	}
	for i := range sheet.Layers {
		if h := &sheet.Layers[i]; float64(h.Top) == top && float64(h.Bottom) == bottom {
			return h
		}
	}
	return nil
}

// GreenTitle returns what people call a green.
func (s *Standing) GreenTitle(id string) string {
	for i := range s.Records.Greens {
		if s.Records.Greens[i].ID == id {
			return s.Records.Greens[i].Title()
		}
	}
	return id
}

// median is the middle of the values, 0 of none.
func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
