package app

import (
	"sync"
	"time"

	"underfoot"
	"underfoot/calibrate"
)

// kept is something of a model that is worked out once.
type kept[T any] struct {
	once  sync.Once
	value T
	err   error
}

func (k *kept[T]) get(work func() (T, error)) (T, error) {
	k.once.Do(func() { k.value, k.err = work() })
	return k.value, k.err
}

// flowMembers is how many of the ensemble's members an account is kept of: its medians and 5 % points are then off by about
// a tenth of a standard deviation.
const flowMembers = 200

// shortLeaf is the shortest part of a season that gets an account of its own, d; a shorter one goes to its neighbour.
// Working default, no source.
const shortLeaf = 60

// SeasonFlows keeps the account of every layer that follows on from the surface, by season from the start of the model to
// its last day, once. A season begins on 1 January, in the south on 1 July; the first and the last are what there is of
// them.
func (m *Model) SeasonFlows() ([]calibrate.Flows, error) {
	return m.flows.get(func() ([]calibrate.Flows, error) {
		list, err := onShelf(m.shelf, shelfFlows, m.rests, func() ([]calibrate.Flows, error) {
			return m.Ensemble.Flows(calibrate.AskFlows{Edges: m.seasonEdges(), Members: flowMembers})
		})
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		return list, nil
	})
}

// seasonEdges gives the days between seasons.
func (m *Model) seasonEdges() []int {
	start, last := m.records.course.Start, m.Ensemble.Now
	edges := []int{start}
	month := time.January
	if m.records.input.South {
		month = time.July
	}
	for y := underfoot.Date(start).Year(); y <= underfoot.Date(last).Year(); y++ {
		if d := int(underfoot.MakeDate(y, month, 1)); d-edges[len(edges)-1] >= shortLeaf && last-d >= shortLeaf {
			edges = append(edges, d)
		}
	}
	return append(edges, last)
}
