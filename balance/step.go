package balance

import (
	"math"
	"sort"

	"underfoot/coring"
	"underfoot/unit"
)

// step is the work between one round and the next.
type step struct {
	years  []yearSand // surface sand by calendar year
	event  int        // factor of the dressings' own errors, taken together
	placed []placedSand
	cores  []coreEvent
}

// yearSand is the surface sand of one calendar year that fell into the step.
type yearSand struct {
	amount float64
	factor int // the year's common factor
}

// placedSand is sand put into holes or injected.
type placedSand struct {
	amount float64
	within []float64 // share of it in each cut
	factor int
}

// coreEvent took a share of each cut away.
type coreEvent struct {
	share  []float64 // of each cut: touched × overlap with the depth reached
	factor int
}

func (m *model) addWork(h History) {
	yearFactor := map[int]int{}
	ofYear := func(y int) int {
		if _, ok := yearFactor[y]; !ok {
			yearFactor[y] = m.factor(float64(h.Uncertainty.SandYear), FromSand)
		}
		return yearFactor[y]
	}
	for j := 0; j+1 < len(m.rounds); j++ {
		from, to := m.rounds[j].at, m.rounds[j+1].at
		var s step
		byYear := map[int]float64{}
		var total, squares float64
		for _, sand := range h.Sand {
			if !sand.At.After(from) || sand.At.After(to) {
				continue
			}
			if !sand.surface() {
				s.placed = append(s.placed, placedSand{float64(sand.Amount), m.shares(sand.Top, sand.Bottom, 0), m.factor(float64(h.Uncertainty.Backfill), FromBackfill)})
				continue
			}
			byYear[sand.At.Year()] += float64(sand.Amount)
			total += float64(sand.Amount)
			squares += float64(sand.Amount * sand.Amount)
		}
		s.years = inOrder(byYear, ofYear)
		var own float64 // independent errors of the dressings add in squares
		if total > 0 {
			own = float64(h.Uncertainty.SandEvent) * math.Sqrt(squares) / total
		}
		s.event = m.factor(own, FromSand)
		for _, c := range h.Coring {
			if c.At.After(from) && !c.At.After(to) {
				m.addCoring(&s, c, h)
			}
		}
		m.steps = append(m.steps, s)
	}
}

// over gives the share of the backfill that the holes cannot take and that stays on the surface.
func (c Coring) over(density unit.KgPerM3) float64 {
	holes := unit.Millimetres(float64(c.Touched) * float64(c.Depth)).Mass(density)
	return max(0, 1-float64(holes/c.Backfill))
}

func inOrder(byYear map[int]float64, factor func(int) int) []yearSand {
	years := make([]int, 0, len(byYear))
	for y := range byYear {
		years = append(years, y)
	}
	sort.Ints(years)
	out := make([]yearSand, 0, len(years))
	for _, y := range years {
		out = append(out, yearSand{byYear[y], factor(y)})
	}
	return out
}

func (m *model) addCoring(s *step, c Coring, h History) {
	if c.Removed && c.Touched > 0 {
		share := make([]float64, len(m.cuts))
		for k, cut := range m.cuts {
			share[k] = float64(c.Touched * coring.Overlap(cut.top, cut.bottom, 0, c.Depth))
		}
		s.cores = append(s.cores, coreEvent{share, m.factor(float64(h.Uncertainty.Area), FromArea)})
	}
	if c.Backfill > 0 {
		s.placed = append(s.placed, placedSand{float64(c.Backfill), m.shares(0, c.Depth, c.over(h.SandDensity)), m.factor(float64(h.Uncertainty.Backfill), FromBackfill)})
	}
}

// shares gives the part of sand spread evenly between two depths that lies in each cut; the part over lies on the
// surface.
func (m *model) shares(top, bottom unit.Millimetres, over float64) []float64 {
	out := make([]float64, len(m.cuts))
	for k, c := range m.cuts {
		out[k] = (1 - over) * float64(coring.Overlap(top, bottom, c.top, c.bottom))
		if k == 0 {
			out[k] += over
		}
	}
	return out
}
