package app

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"underfoot"
	"underfoot/findings"
)

// PeerYears is how old a round may be beside that of the course it is compared with, years (common practice, no source).
const PeerYears = 5

// peerKey is what makes courses peers in a layer.
type peerKey struct {
	surface, species string
	topMM, bottomMM  float64
}

// layerLevel is what one course measured in one layer on its greens of one species, in its newest round.
type layerLevel struct {
	peerKey
	year  int
	level findings.CourseLevel
}

// levelsOf works out the newest levels of a course from its newest records, and counts its sampled greens without a
// species.
func levelsOf(rs *underfoot.Records) (levels []layerLevel, unnamed int) {
	surface, greens, _ := surfaceOf(rs)
	species := map[string]string{}
	for _, g := range greens {
		species[g.ID] = speciesName(g.Species)
	}
	groups := map[peerKey][]findings.Observation{}
	without := map[string]bool{}
	for _, row := range Bench(rs) {
		name, ours := species[row.Green]
		if !ours || !row.Comparable() {
			continue
		}
		if name == "" {
			without[row.Green] = true
			continue
		}
		k := peerKey{surface, name, row.TopMM, row.BottomMM}
		groups[k] = append(groups[k], observation(row))
	}
	for k, obs := range groups {
		m, err := findings.Level(newestRound(obs))
		if err != nil {
			continue // a course that cannot be worked out is no peer; its own page says why
		}
		levels = append(levels, layerLevel{k, m.Date.Year(), findings.CourseLevel{Course: rs.Course.ID, OM: m.Mean, SE: m.SE, Greens: m.N, DF: m.DF}})
	}
	slices.SortFunc(levels, func(a, b layerLevel) int {
		return cmp.Or(cmp.Compare(a.topMM, b.topMM), cmp.Compare(a.bottomMM, b.bottomMM), strings.Compare(a.species, b.species))
	})
	return levels, len(without)
}

// newestRound picks the observations of the round that was sampled last.
func newestRound(obs []findings.Observation) []findings.Observation {
	last := slices.MaxFunc(obs, func(a, b findings.Observation) int {
		return cmp.Or(a.Date.Compare(b.Date), strings.Compare(a.Round, b.Round))
	})
	return slices.DeleteFunc(obs, func(o findings.Observation) bool { return o.Round != last.Round })
}

// speciesName is a species as it is compared: small letters, single spaces.
func speciesName(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), " ") }

// leveled is what a course measured as its records were after a change.
type leveled struct {
	latest  int64
	levels  []layerLevel
	unnamed int
}

// levels gives the levels of a course, worked out anew only when its records have changed.
func (a *App) levels(ctx context.Context, course string) (leveled, error) {
	latest, err := a.Store.Latest(ctx, course)
	if err != nil {
		return leveled{}, err
	}
	a.mu.Lock()
	have, ok := a.leveled[course]
	a.mu.Unlock()
	if ok && have.latest == latest {
		return have, nil
	}
	rs, err := a.Store.Newest(ctx, course)
	if err != nil {
		return leveled{}, err
	}
	if mayHold(rs) { // the verdict on a run needs what came before it, and its release
		if rs, err = a.Store.Records(ctx, course); err != nil {
			return leveled{}, err
		}
	}
	have = leveled{latest: latest}
	have.levels, have.unnamed = levelsOf(rs)
	a.mu.Lock()
	if a.leveled == nil {
		a.leveled = map[string]leveled{}
	}
	a.leveled[course] = have
	a.mu.Unlock()
	return have, nil
}

// allLevels gives the levels of every course of the store, several at a time, in the order of the list.
func (a *App) allLevels(ctx context.Context, list []underfoot.Course) ([]leveled, error) {
	out := make([]leveled, len(list))
	errs := make([]error, len(list))
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(len(list), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := range next {
				out[i], errs[i] = a.levels(ctx, list[i].ID)
			}
		})
	}
	for i := range list {
		next <- i
	}
	close(next)
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return nil, fmt.Errorf("peers: course %s: %w", list[i].ID, err)
		}
	}
	return out, nil
}

// Peers sets a course among the other courses of the store, and those behind reference tables, of the same species and
// layer.
func (a *App) Peers(ctx context.Context, course string, tables []PeerRow) (*PeersFound, error) {
	list, err := a.Store.Courses(ctx)
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(list, func(c underfoot.Course) bool { return c.ID == course })
	if at < 0 {
		return nil, underfoot.Errorf(underfoot.NotFound, "course %q is not there", course)
	}
	all, err := a.allLevels(ctx, list)
	if err != nil {
		return nil, err
	}
	out := &PeersFound{Course: course, Caution: findings.PeerCaution, Layers: []PeerLayer{}, Notes: []string{}}
	own := all[at]
	if own.unnamed > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%s without a species on record left out: peers are greens of the same species, so write down which grasses they are", counted(own.unnamed, "sampled green", "sampled greens")))
	}
	if len(own.levels) == 0 {
		out.Why = "Nothing is shown: no result that may stand in a trend is on record for this course."
		if own.unnamed > 0 {
			out.Why = "Nothing is shown: the greens of this course have no species on record, and peers are courses of the same species."
		}
		return out, nil
	}
	old := map[string]bool{}
	for _, l := range own.levels {
		asked := findings.PeersAsked{Own: l.level}
		for i, other := range all {
			if i == at {
				continue
			}
			for _, o := range other.levels {
				switch {
				case o.peerKey != l.peerKey:
				case o.year < l.year-PeerYears:
					old[list[i].ID] = true
				default:
					asked.Others = append(asked.Others, o.level)
				}
			}
		}
		asked.Tables = tablesFor(l, tables)
		p, err := findings.ComparePeers(asked)
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%s, %s: %w", underfoot.LayerName(l.topMM, l.bottomMM), l.species, err)
		}
		out.Layers = append(out.Layers, peerLayer(l, p))
	}
	if len(old) > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%s last sampled more than %d years before this one left out", counted(len(old), "course", "courses"), PeerYears))
	}
	return out, nil
}

// tablesFor picks the newest row of every source for a layer, not older than peers may be.
func tablesFor(l layerLevel, rows []PeerRow) []findings.PeerTable {
	if l.surface != "green" {
		return nil // tables are of greens
	}
	newest := map[string]PeerRow{}
	var order []string
	for _, r := range rows {
		if r.Species != l.species || r.TopMM != l.topMM || r.BottomMM != l.bottomMM || r.Year < l.year-PeerYears {
			continue
		}
		have, ok := newest[r.Table.Source]
		if !ok {
			order = append(order, r.Table.Source)
		}
		if !ok || r.Year > have.Year {
			newest[r.Table.Source] = r
		}
	}
	var out []findings.PeerTable
	for _, source := range order {
		out = append(out, newest[source].Table)
	}
	return out
}
