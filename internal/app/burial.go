package app

import (
	"math"
	"slices"

	"underfoot"
	"underfoot/profile"
)

// Burial is the modelled profile through time, at the mode of the calibration, of a green that got the work most greens
// got.
type Burial struct {
	Dates   []underfoot.Date
	Depths  []float64       // edges of the rows, from the surface down [mm]
	OM      [][]float64     // by date and row [%]
	Seasons []SeasonSurface // oldest first
}

// SeasonSurface is where what lay at the surface when a season began lies at each date [mm]; NaN before it began.
type SeasonSurface struct {
	Year  int
	Depth []float64
}

// Shape of the burial chart.
const (
	burialRow   = 2.5 // mm
	burialDepth = 80  // mm

	burialFutures = 4 // ways the weather may go on that the chart is the mean of
)

// Burial runs the profile from the start of the record to a day, with the work given and the weather the course may have.
func (m *Model) Burial(until underfoot.Date, work [][]profile.Event) (Burial, error) {
	futures, err := m.records.futures(int(until), burialFutures)
	if err != nil {
		return Burial{}, err
	}
	b := m.emptyBurial(until)
	for _, weather := range futures {
		r, err := m.buryOnce(&b, weather, mostCommon(work))
		if err != nil {
			return b, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		n := float64(len(futures))
		for i := range b.Dates {
			for j := range b.OM[i] {
				b.OM[i][j] += 100 * r.om[i][j] / n
			}
			for k := range b.Seasons {
				b.Seasons[k].Depth[i] += r.sunk[k][i] / n
			}
		}
	}
	return b, nil
}

// emptyBurial lays the chart out: the start, each first of a month and the end; a surface for each January since.
func (m *Model) emptyBurial(until underfoot.Date) Burial {
	start := underfoot.Date(m.records.course.Start)
	var b Burial
	for z := 0.0; z <= burialDepth; z += burialRow {
		b.Depths = append(b.Depths, z)
	}
	dates := []underfoot.Date{start}
	for y, month := start.Year(), start.Time().Month()+1; ; month++ {
		d := underfoot.MakeDate(y, month, 1)
		if d >= until {
			break
		}
		dates = append(dates, d)
	}
	b.Dates = append(dates, until)
	for y := start.Year(); y <= until.Year(); y++ {
		if from := max(underfoot.MakeDate(y, 1, 1), start); from < until {
			b.Seasons = append(b.Seasons, SeasonSurface{y, make([]float64, len(b.Dates))})
		}
	}
	for range b.Dates {
		b.OM = append(b.OM, make([]float64, len(b.Depths)-1))
	}
	return b
}

// burialRun is one run through one weather: organic mass fractions by date and row, and the surfaces by season and date.
type burialRun struct{ om, sunk [][]float64 }

// buryOnce runs one column and follows the surfaces of its seasons down by the mineral mass above them.
func (m *Model) buryOnce(b *Burial, weather profile.Daily, work []profile.Event) (burialRun, error) {
	s := m.records.course.Settings
	s.Step = 28
	var named []int
	for _, d := range b.Dates {
		named = append(named, int(d))
	}
	for _, e := range work {
		named = append(named, e.Day)
	}
	end := int(b.Dates[len(b.Dates)-1])
	looks := s.Looks(m.records.course.Start, end, slices.DeleteFunc(named, func(d int) bool { return d < m.records.course.Start || d > end })...)
	forcing, err := profile.NewForcing(weather, looks, s)
	if err != nil {
		return burialRun{}, err
	}
	track, err := profile.NewTrack(s, looks, work, []profile.Sight{{Day: end, Top: 0, Bottom: burialDepth}})
	if err != nil {
		return burialRun{}, err
	}
	params := m.Fit.Params(-1)
	forcing.Set(params, false)
	c, out := track.NewColumn(s, nil), profile.NewReadout(1, 0)
	r := burialRun{sunk: make([][]float64, len(b.Seasons))}
	for k := range r.sunk {
		r.sunk[k] = make([]float64, len(b.Dates))
		for i := range r.sunk[k] {
			r.sunk[k][i] = math.NaN()
		}
	}
	f := follower{column: c, above: make([]float64, 0, len(b.Seasons)), depth: make([]float64, 0, len(b.Seasons))}
	if _, err := track.Ledger(c, forcing, params, out, nil, looks[:1]); err != nil { // fills in the first profile
		return burialRun{}, err
	}
	date := 0
	for l, day := range looks {
		if l > 0 {
			c.Follow(f.depth)
			track.Go(c, forcing, l-1, l, out)
			if len(f.depth) > 0 {
				f.sink(c.Followed())
			}
		}
		for len(f.above) < len(b.Seasons) && (l == 0 && len(f.above) == 0 || int(underfoot.MakeDate(b.Seasons[len(f.above)].Year, 1, 1)) <= day) {
			f.above, f.depth = append(f.above, 0), append(f.depth, 0)
		}
		if date < len(b.Dates) && int(b.Dates[date]) == day {
			r.om = append(r.om, omByRow(c, b.Depths))
			for k := range f.depth {
				r.sunk[k][date] = f.depth[k]
			}
			date++
		}
	}
	return r, nil
}

func omByRow(c *profile.Column, depths []float64) []float64 {
	om := make([]float64, len(depths)-1)
	var up profile.Seen
	for j := range om {
		seen := c.Between(0, depths[j+1])
		row := profile.Seen{Organic: seen.Organic - up.Organic, Mineral: seen.Mineral - up.Mineral}
		om[j], up = row.OM(), seen
	}
	return om
}

// follower keeps, for each surface that sinks, the mineral mass above it [kg/m²] and its depth [mm].
type follower struct {
	column       *profile.Column
	above, depth []float64
}

// sink takes what was put in and taken out above each surface and finds its depth again.
func (f *follower) sink(flows []profile.Flow) {
	for k := range f.above {
		f.above[k] = max(f.above[k]+flows[k].SandIn-flows[k].SandOut, 0)
		f.depth[k] = f.find(f.above[k], f.depth[k])
	}
}

// find gives the depth with so much mineral mass above it, near a guess.
func (f *follower) find(mass, near float64) float64 {
	if mass == 0 {
		return 0
	}
	low, high := 0.0, near+1
	for f.column.Between(0, high).Mineral < mass && high < f.column.Depth() {
		low, high = high, high*1.5
	}
	for range 40 {
		mid := (low + high) / 2
		if f.column.Between(0, mid).Mineral < mass {
			low = mid
		} else {
			high = mid
		}
		if high-low < 0.01 {
			break
		}
	}
	return (low + high) / 2
}

// mostCommon gives the work that most greens got, the first of those in a tie.
func mostCommon(work [][]profile.Event) []profile.Event {
	best, most := 0, 0
	for i := range work {
		n := 0
		for j := range work {
			if slices.Equal(work[i], work[j]) {
				n++
			}
		}
		if n > most {
			best, most = i, n
		}
	}
	if len(work) == 0 {
		return nil
	}
	return work[best]
}
