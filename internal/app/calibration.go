package app

import (
	"math"
	"slices"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/growth"
	"underfoot/profile"
	"underfoot/unit"
)

// recordSet is a course's record as the profile model takes it.
type recordSet struct {
	course  calibrate.Course
	planned [][]profile.Event // by green: the work done and then the work planned
	notes   []string
	weather []growth.Observation
	climate growth.Climate
	input   growth.Input  // of the past
	gifts   []growth.Gift // with the planned ones
}

// longestLead is how long before the first round a column is started, d: long enough for the work of one season to
// shape the surface, no longer than the log is likely to be whole.
const longestLead = 400

// records for the profile model, of the surface the standing is about.
func (s *Standing) profileRecords() (*recordSet, error) {
	r := &recordSet{}
	set := profile.Usual()
	set.SandDensity = float64(s.SandDensity())
	r.course.Settings = set
	at := map[string]int{}
	for _, g := range s.Greens {
		at[g.ID] = len(r.course.Greens)
		r.course.Greens = append(r.course.Greens, calibrate.Green{Name: g.ID})
	}
	for _, row := range s.Bench {
		if g, ours := at[row.Green]; ours && row.Comparable() {
			r.course.Measured = append(r.course.Measured, measuredFor(row, g))
		}
	}
	if len(r.course.Measured) == 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", calibrate.ErrNothingMeasured)
	}
	first, last := s.span(r)
	if err := s.drive(r, first, last); err != nil {
		return nil, err
	}
	return r, s.events(r, at)
}

func measuredFor(row BenchRow, green int) calibrate.Measured {
	m := calibrate.Measured{
		Green: green, Round: row.Round, Day: int(row.Of.Date), Top: row.TopMM, Bottom: row.BottomMM,
		OM: float64(row.Result.OrganicMatter) / 100, Cores: row.Of.Cores.Or(0),
	}
	if row.Result.Uncertainty != nil && m.OM > 0 {
		m.BenchSD = float64(row.Result.Uncertainty.Standard) / 100 / m.OM
	}
	if row.DryMassG != nil && row.VolumeCm3 != nil && *row.VolumeCm3 > 0 {
		m.Mass = *row.DryMassG / *row.VolumeCm3 * (row.BottomMM - row.TopMM) // g/cm³·mm is kg/m²
	}
	return m
}

// span gives the day the column starts and the last day measured.
func (s *Standing) span(r *recordSet) (first, last int) {
	first, last = math.MaxInt, math.MinInt
	for _, m := range r.course.Measured {
		first, last = min(first, m.Day), max(last, m.Day)
	}
	begun := first
	for _, w := range s.Records.Work {
		begun = min(begun, int(w.Date))
	}
	for _, w := range s.Records.Weather {
		begun = min(begun, int(w.Date))
	}
	return max(begun, first-longestLead), last
}

// drive makes the daily driving of the past.
func (s *Standing) drive(r *recordSet, first, last int) error {
	for _, w := range s.Records.Weather {
		r.weather = append(r.weather, growth.Observation{Day: int(w.Date), Min: w.TMinC.Or(math.NaN()), Max: w.TMaxC.Or(math.NaN()), Rain: w.RainMM.Or(math.NaN())})
	}
	var err error
	if r.input.Weather, err = growth.Fill(r.weather, first, max(last, int(s.AsOf))); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	if r.climate, err = growth.ClimateOf(r.weather); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	species := ""
	for _, g := range s.Greens {
		if g.Species != "" {
			species = g.Species
			break
		}
	}
	var known bool
	if r.input.Habit, known = growth.HabitOf(species); !known {
		r.notes = append(r.notes, "the species of the greens is not known: growth is taken to be that of a cool-season grass")
	}
	r.input.South = s.Records.Course.Latitude.Or(0) < 0
	ours := map[string]bool{"": true}
	for _, g := range s.Greens {
		ours[g.ID] = true
	}
	for _, w := range s.Records.Work {
		if w.Green != "" {
			continue // growth is the course's; a gift to one green tells of that green only
		}
		if w.NitrogenKgHa.Known {
			r.gifts = append(r.gifts, growth.Gift{Day: int(w.Date), KgHa: w.NitrogenKgHa.Value})
			if !w.Planned() {
				r.input.Nitrogen = append(r.input.Nitrogen, growth.Gift{Day: int(w.Date), KgHa: w.NitrogenKgHa.Value})
			}
		}
		if w.ClippingsL100M2.Known && !w.Planned() {
			r.input.Clippings = append(r.input.Clippings, growth.Clipping{Day: int(w.Date), Litres100M2: w.ClippingsL100M2.Value})
		}
	}
	d, err := growth.NewDrive(r.input)
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	r.notes = append(r.notes, d.Notes...)
	r.course.Daily, r.course.Start = daily(d), first
	return nil
}

// daily hands growth to the profile.
func daily(d growth.Drive) profile.Daily {
	out := profile.Daily{First: d.First, Temp: d.Temp, Nitrogen: d.Nitrogen, Index: make([]float64, len(d.Shape))}
	for i := range d.Shape {
		out.Index[i] = d.Shape[i] * d.Size[i]
	}
	return out
}

// futures gives the course's weather so far followed by years of its own, and the nitrogen that is planned.
func (r *recordSet) futures(until, ways int) ([]profile.Daily, error) {
	return r.futuresWith(r.gifts, until, ways)
}

// futuresWith is futures with other gifts of nitrogen.
func (r *recordSet) futuresWith(gifts []growth.Gift, until, ways int) ([]profile.Daily, error) {
	past := r.input.Weather
	from := past.First + len(past.Mean)
	var list []profile.Daily
	years := r.climate.Count()
	for i := range min(ways, max(1, years*years)) {
		input := r.input
		input.Nitrogen = gifts
		if from <= until {
			var next growth.Weather
			if years == 0 {
				next = r.climate.Mean(from, until)
			} else {
				begin := underfoot.Date(from).Year()
				next = r.climate.Draw(from, until, func(year int) int { return (i + (year-begin)*(1+i/years)) % years })
			}
			input.Weather = growth.Weather{
				First: past.First, Mean: slices.Concat(past.Mean, next.Mean), Rain: slices.Concat(past.Rain, next.Rain), Filled: slices.Concat(past.Filled, next.Filled),
			}
		}
		d, err := growth.NewDrive(input)
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		list = append(list, daily(d))
	}
	return list, nil
}

// events puts the log on the greens: what was done, and then what is planned. Work planned for days after the last
// sample that have gone by is taken as done: no round says otherwise.
func (s *Standing) events(r *recordSet, at map[string]int) error {
	densities := map[string]unit.KgPerM3{}
	for _, sand := range s.Records.Sands {
		if sand.BulkDensity.Known {
			densities[sand.ID] = unit.KgPerM3(sand.BulkDensity.Value)
		}
	}
	work := slices.Clone(s.Records.Work)
	slices.SortStableFunc(work, func(a, b underfoot.Work) int { return int(a.Date - b.Date) })
	r.planned = make([][]profile.Event, len(r.course.Greens))
	last := r.course.Last()
	for _, w := range work {
		density, ok := densities[w.Sand]
		if !ok {
			density = s.SandDensity()
		}
		list, err := eventsOf(w, density)
		for i := range list {
			list[i] = list[i].Within(r.course.Settings.Depth)
		}
		if err != nil {
			r.notes = append(r.notes, "work "+w.ID+" of "+w.Date.String()+" is left out of the model: "+err.Error())
			continue
		}
		if w.Planned() && int(w.Date) <= last {
			continue // that was not done is known from the round after it
		}
		for id, g := range at {
			if w.Green != "" && w.Green != id {
				continue
			}
			if !w.Planned() || w.Date <= s.AsOf {
				r.course.Greens[g].Work = append(r.course.Greens[g].Work, list...)
			}
			r.planned[g] = append(r.planned[g], list...)
		}
	}
	r.notes = append(r.notes, s.thin(r)...)
	return nil
}

// eventsOf turns an entry of the log into what it does to a green.
func eventsOf(w underfoot.Work, density unit.KgPerM3) ([]profile.Event, error) {
	day := int(w.Date)
	sand := sandKgM2(w, density)
	if w.Kind == "inject_sand" {
		if sand == 0 {
			return nil, nil
		}
		return []profile.Event{{Day: day, Sand: sand, Bottom: w.DepthMM.Or(DefaultInjectionDepth)}}, nil
	}
	var list []profile.Event
	opening, opens, err := openingOf(w)
	if err != nil {
		return nil, err
	}
	if opens {
		fill := w.Backfill.Or(0)
		if w.Kind == "solid_tine" {
			if amount := float64(opening.Volume) * fill * float64(density) / 1000; amount > 0 {
				list = append(list, profile.Event{Day: day, Sand: amount, Bottom: w.DepthMM.Value})
			}
		} else {
			list = append(list, profile.Event{Day: day, Opening: profile.Opening{
				Touched: float64(opening.Touched), Depth: w.DepthMM.Value, Fill: fill, Returned: w.CoresRemoved == "no",
			}})
		}
	}
	if sand > 0 {
		list = append(list, profile.Event{Day: day, Sand: sand})
	}
	return list, nil
}
