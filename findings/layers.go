package findings

import (
	"cmp"
	"fmt"
	"slices"
	"sync"

	"underfoot/unit"
)

// Layer is all that is found about one layer of a course.
type Layer struct {
	TopMM, BottomMM unit.Millimetres
	Rounds          []RoundMean // in order of date
	Trend           Trend
	Consistency     Consistency
}

// Layers sorts observations into layers and gives what each shows, from the surface down.
func Layers(obs []Observation, o Options) ([]Layer, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	type depths struct{ top, bottom unit.Millimetres }
	by := map[depths][]Observation{}
	for _, ob := range obs {
		d := depths{ob.TopMM, ob.BottomMM}
		by[d] = append(by[d], ob)
	}
	out := make([]Layer, 0, len(by))
	for d, part := range by {
		if err := check(part); err != nil {
			return nil, fmt.Errorf("layer %g–%g mm: trend: %w", float64(d.top), float64(d.bottom), err)
		}
		out = append(out, Layer{TopMM: d.top, BottomMM: d.bottom})
	}
	slices.SortFunc(out, func(a, b Layer) int {
		return cmp.Or(cmp.Compare(a.TopMM, b.TopMM), cmp.Compare(a.BottomMM, b.BottomMM))
	})
	var wait sync.WaitGroup // layers know nothing of one another
	for i := range out {
		wait.Go(func() { out[i].work(by[depths{out[i].TopMM, out[i].BottomMM}], o) })
	}
	wait.Wait()
	return out, nil
}

// work fills a layer from its observations.
func (l *Layer) work(obs []Observation, o Options) {
	cs := cells(obs)
	l.Rounds = rounds(cs)
	var c chosen
	l.Trend, c = fitTrend(newPanel(cs), o)
	switch {
	case o.Trends:
	case c.fit != nil && c.green:
		l.Consistency = compareAs(cs, c.model)
	default:
		l.Consistency = compareGreens(cs)
	}
}

// rounds gives the mean of every round among the cells of one layer, each with the scatter of all (see pool).
func rounds(cs []cell) []RoundMean {
	by := map[string][]cell{}
	for _, c := range cs {
		by[c.round] = append(by[c.round], c)
	}
	out := make([]RoundMean, 0, len(by))
	for _, part := range by {
		out = append(out, level(part))
	}
	slices.SortFunc(out, func(a, b RoundMean) int {
		return cmp.Or(a.Date.Compare(b.Date), cmp.Compare(a.Round, b.Round))
	})
	greens := make([][]cell, len(out))
	for i, m := range out {
		greens[i] = by[m.Round]
	}
	pool(out, greens)
	sameGreens(cs, out)
	return out
}
