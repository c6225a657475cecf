package season

import (
	"cmp"
	"container/heap"
	"context"
	"fmt"
	"math"
	"slices"

	"underfoot/calibrate"
	"underfoot/profile"
)

// Search looks for the plan that brings every wanted layer into its band with the wanted probability for the least
// money and disturbance.
//
// What is decided: for the first season and for the later ones (which are alike), how the greens are opened – not at
// all, by one of the catalogue's operations early or late, by the same one twice – and how much sand is spread, in
// steps of StepMM a season, as the dressings of the catalogue that cost least. How it is decided: the layers of the
// members are worked out for a grid of sand, and for each opening by itself; ln OM is nearly quadratic in the sand and
// nearly additive in the openings, so the outcome of every plan can be guessed from those. Plans are then judged by
// real runs, from the cheapest on that might do, each judgement setting its kin right, until one holds. What is
// cheaper than the answer has been judged and found wanting, or its guess lies short of the probability by more than
// Doubt. Where there are no more plans than may be judged, none is ruled out by a guess and the answer is exact.
type Search struct {
	Ensemble   *calibrate.Ensemble
	Futures    []profile.Daily // weathers to draw from
	Fixed      []profile.Event // work that is done whatever the plan, in order
	Operations []Operation
	Calendar   *Calendar
	Prices     *Prices
	Aim        Aim

	StepMM   float64 // of sand a season; 0 for 0.5
	Members  int     // plans are judged on; 0 for 200
	Most     int     // plans judged at most; 0 for 160
	Doubt    float64 // by how much the guess of a probability may be off; 0 for 0.06
	Seed     uint64
	Progress func(judged, most int, best *Found) // may be nil

	// Verify runs a plan on everything there is – every member, every green – and gives the probability of all that is wanted
	// and of each band: plans that hold on Members have to hold there too. Nil: Members are all there is.
	Verify func(Plan) (all float64, each []float64, err error)

	slots       []int
	seasons     []int // in which anything can be done
	trial       *calibrate.Trial
	cells       []int // of Aim.Wanted in the trials: day·layers + layer
	log         [][2]float64
	menus       [2][]opened
	parts       [2][][]part // by season, opening and step of sand
	high        [2]float64
	grid        [3][3][]float64 // ln OM by cell and member at the corners, middles and ends of sand
	effect      [2][]effect     // of each single opening by season
	single      [2]map[single]int
	plans       int // there are of this kind
	evaluations int
}

type single struct {
	day int
	op  *Operation
}

// Found is a plan and what it does.
type Found struct {
	Name        string
	Plan        Plan
	Cost        Cost
	Weight      float64    // money and disturbed days together, at the aim's worth of a day
	Probability float64    // that every wanted layer lies in its band, on the members that judged it
	Each        []float64  // the same for each band aimed at alone
	Middle      []float64  // median of each wanted layer, mass fraction
	SandMM      [2]float64 // spread a year in the first season and in the later ones

	opened, steps [2]int
}

// Answer is what a search found.
type Answer struct {
	Best        *Found  // nil when no plan does it
	Others      []Found // runners-up that differ in kind
	Nothing     Found   // what happens when nothing is done
	Nearest     *Found  // when there is no plan: the one most likely to do it
	Unmet       string  // when there is no plan: which demand cannot be met, in words
	Bound       float64 // no plan of the kind weighs less
	Gap         float64 // how far Best may be from it, relative
	Judged      int
	Evaluations int     // runs of plans, all members of a trial each
	Curve       []Found // the best plan's openings with less and more sand
	Limits      []Limit
}

// Limit is a cap and what doing without it would save, by the quick estimate; 0 when it does not bind.
type Limit struct {
	Name  string
	Saves float64 // of Weight
}

func (s *Search) prepare() error {
	s.StepMM, s.Doubt = orElse(s.StepMM, 0.5), orElse(s.Doubt, 0.06)
	s.Members, s.Most = orElse(s.Members, 200), orElse(s.Most, 160)
	if err := s.Calendar.Check(); err != nil {
		return err
	}
	if err := s.Aim.Check(s.Calendar.Until); err != nil {
		return err
	}
	if len(s.Operations) == 0 {
		return fmt.Errorf("season: the catalogue of operations is empty")
	}
	for i := range s.Operations {
		if err := s.Operations[i].Check(); err != nil {
			return fmt.Errorf("season: %w", err)
		}
	}
	s.slots = s.Calendar.Slots()
	for _, d := range s.slots {
		y := s.Calendar.Year(d)
		can := slices.ContainsFunc(s.Operations, func(o Operation) bool { return s.Calendar.Allows(&o, d) })
		if can && !slices.Contains(s.seasons, y) {
			s.seasons = append(s.seasons, y)
		}
	}
	if len(s.seasons) == 0 {
		return fmt.Errorf("season: there is no day from the first to the last planned for on which anything can be done: it is closed, or nothing grows")
	}
	var days []int
	var layers []calibrate.Layer
	all := slices.Concat(s.Aim.Wanted, s.Aim.OnTheWay)
	for _, w := range all {
		if !slices.Contains(days, w.Day) {
			days = append(days, w.Day)
		}
		if !slices.Contains(layers, w.Layer) {
			layers = append(layers, w.Layer)
		}
	}
	slices.Sort(days)
	for _, w := range all {
		s.cells = append(s.cells, slices.Index(days, w.Day)*len(layers)+slices.Index(layers, w.Layer))
		s.log = append(s.log, [2]float64{math.Log(math.Max(w.Low, 1e-9)), math.Log(w.High)})
	}
	slots := slices.Clone(s.slots)
	for _, e := range s.Fixed {
		slots = append(slots, e.Day)
	}
	ask := calibrate.AskTrial{Days: days, Layers: layers, Slots: slots, Futures: s.Futures, Members: s.Members, Seed: s.Seed}
	var err error
	s.trial, err = s.Ensemble.Trial(ask)
	return err
}

func orElse[T int | float64](v, usual T) T {
	if v == 0 {
		return usual
	}
	return v
}

// run gives ln OM of the wanted cells by member of a trial.
func (s *Search) run(p *Plan) ([]float64, error) {
	t := s.trial
	n := t.Members()
	draws := make([]float64, len(t.Days)*len(t.Layers)*n)
	s.evaluations++
	work := append(slices.Clone(s.Fixed), p.Events(s.Prices.Density)...)
	slices.SortStableFunc(work, func(a, b profile.Event) int { return cmp.Compare(a.Day, b.Day) })
	if err := t.Run(work, draws); err != nil {
		return nil, err
	}
	out := make([]float64, len(s.cells)*n)
	for i, cell := range s.cells {
		for m := range n {
			out[i*n+m] = math.Log(draws[cell*n+m])
		}
	}
	return out, nil
}

// part is one season's work, or that of all later seasons: an opening with so much sand.
type part struct {
	entries []Entry
	cost    Cost
	weight  float64
	ok      bool   // can be spread and keeps to the caps
	broken  string // the cap it breaks
}

// years of the first season (0) and of the later ones (1).
func (s *Search) years(k int) []int {
	all := s.seasons
	if k == 0 {
		return all[:1]
	}
	return all[1:]
}

// make works a part out.
func (s *Search) make(k int, o opened, sand float64) part {
	var p Plan
	years := s.years(k)
	for i, y := range years {
		entries := o.entries
		if i > 0 { // later seasons do as the second did, on their own days
			entries = s.repeat(entries, years[0], y)
		}
		list, ok := s.dressings(y, sand, entries)
		if !ok {
			return part{}
		}
		p.Entries = append(append(p.Entries, entries...), list...)
	}
	p.sort()
	broken, ok := s.within(&p)
	cost := p.Cost(s.Prices, s.Calendar)
	return part{p.Entries, cost, cost.Money() + s.Aim.DayWorth*cost.Disturbed, ok, broken}
}

// assemble makes a plan of parts.
func assemble(parts ...part) Plan {
	var p Plan
	for _, x := range parts {
		p.Entries = append(p.Entries, x.entries...)
	}
	p.sort()
	return p
}

// repeat moves entries from one season to another, to the nearest slot.
func (s *Search) repeat(entries []Entry, from, to int) []Entry {
	var out []Entry
	for _, e := range entries {
		want := e.Day + int(math.Round(365.25*float64(to-from)))
		best := 0
		for _, d := range s.slots {
			if s.Calendar.Year(d) == to && s.Calendar.Allows(e.Operation, d) && (best == 0 || abs(d-want) < abs(best-want)) {
				best = d
			}
		}
		if best > 0 {
			e.Day = best
			out = append(out, e)
		}
	}
	return out
}

func abs(d int) int { return max(d, -d) }

// survey works out the grid of sand and the effect of every single opening.
func (s *Search) survey() error {
	years := s.seasons
	for k := range 2 {
		y := years[min(k, len(years)-1)]
		if k == 1 && len(years) == 1 {
			s.menus[1], s.high[1] = []opened{{name: "no coring"}}, 0
			s.single[1] = map[single]int{}
			continue
		}
		s.menus[k], s.high[k] = s.openings(y), s.most(y)
		s.single[k] = map[single]int{}
	}
	s.cost()
	s.plans = s.kindly(0) * s.kindly(1)
	for i := range 3 {
		for j := range 3 {
			p := assemble(s.make(0, opened{}, s.node(0, i)), s.make(1, opened{}, s.node(1, j)))
			var err error
			if s.grid[i][j], err = s.run(&p); err != nil {
				return err
			}
		}
	}
	for k := range 2 {
		for _, o := range s.menus[k] {
			for _, e := range o.entries {
				if err := s.effectOf(k, e); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// cost works every part out: each season's openings with each amount of sand.
func (s *Search) cost() {
	for k := range 2 {
		s.parts[k] = nil
		for _, o := range s.menus[k] {
			var parts []part
			for mm := 0.0; mm <= s.high[k]+1e-9; mm += s.StepMM {
				parts = append(parts, s.make(k, o, mm))
			}
			s.parts[k] = append(s.parts[k], parts)
		}
	}
}

// kindly counts the parts of a season that can be done.
func (s *Search) kindly(k int) int {
	n := 0
	for _, parts := range s.parts[k] {
		for _, p := range parts {
			if p.ok {
				n++
			}
		}
	}
	return n
}

// node gives the sand of a season at the grid's ends and middle.
func (s *Search) node(k, i int) float64 { return s.lattice(s.high[k] * float64(i) / 2) }

// effectOf works out what one opening does to ln OM by itself, at little and at much sand.
func (s *Search) effectOf(k int, e Entry) error {
	key := single{e.Day, e.Operation}
	if _, have := s.single[k][key]; have {
		return nil
	}
	s.single[k][key] = len(s.effect[k])
	var x effect
	for end := range 2 {
		var parts [2]part
		nodes := [2]int{2 * end, 2 * end}
		for i := range 2 {
			var o opened
			if i == k {
				o.entries = []Entry{e}
			}
			parts[i] = s.make(i, o, s.node(i, nodes[i]))
			for len(parts[i].entries) == 0 && nodes[i] > 0 { // no dressing fits around it at so much sand
				nodes[i]--
				parts[i] = s.make(i, o, s.node(i, nodes[i]))
			}
		}
		p := assemble(parts[0], parts[1])
		got, err := s.run(&p)
		if err != nil {
			return err
		}
		for j := range got {
			got[j] -= s.grid[nodes[0]][nodes[1]][j]
		}
		x.at[end], x.level[end] = got, s.level([2]float64{s.node(0, nodes[0]), s.node(1, nodes[1])})
	}
	s.effect[k] = append(s.effect[k], x)
	return nil
}

// effect is what one opening does to ln OM by cell and member, at little and at much sand.
type effect struct {
	at    [2][]float64
	level [2]float64
}

// level says how much sand there is, 0..1 of the most in both seasons.
func (s *Search) level(sand [2]float64) float64 {
	var level, of float64
	for k := range 2 {
		if top := s.node(k, 2); top > 0 {
			level, of = level+sand[k]/top, of+1
		}
	}
	if of == 0 {
		return 0
	}
	return level / of
}

// lattice rounds an amount of sand down to a step.
func (s *Search) lattice(mm float64) float64 { return s.StepMM * math.Floor(mm/s.StepMM+1e-9) }

// estimate is the quick outcome of openings with sand: ln OM by wanted cell and member.
func (s *Search) estimate(openings, steps [2]int, into []float64) {
	var w [2][3]float64
	sand := [2]float64{float64(steps[0]) * s.StepMM, float64(steps[1]) * s.StepMM}
	for k := range 2 {
		w[k] = quadratic(sand[k], s.node(k, 1), s.node(k, 2))
	}
	level := s.level(sand)
	clear(into)
	for i := range 3 {
		for j := range 3 {
			if c := w[0][i] * w[1][j]; c != 0 {
				for x, v := range s.grid[i][j] {
					into[x] += c * v
				}
			}
		}
	}
	for k := range 2 {
		for _, e := range s.menus[k][openings[k]].entries {
			x := &s.effect[k][s.single[k][single{e.Day, e.Operation}]]
			share := 0.0
			if x.level[1] > x.level[0] {
				share = (level - x.level[0]) / (x.level[1] - x.level[0])
			}
			for j := range into {
				into[j] += x.at[0][j] + share*(x.at[1][j]-x.at[0][j])
			}
		}
	}
}

// quadratic gives the weights of the values at 0, mid and top for a point between.
func quadratic(x, mid, top float64) [3]float64 {
	if top == 0 {
		return [3]float64{1, 0, 0}
	}
	if mid == 0 {
		return [3]float64{1 - x/top, 0, x / top}
	}
	return [3]float64{(x - mid) * (x - top) / (mid * top), x * (x - top) / (mid * (mid - top)), x * (x - mid) / (top * (top - mid))}
}

// chance gives the share of members with every cell in its band, each cell moved by shift.
func (s *Search) chance(logs, shift []float64) float64 {
	n := len(logs) / len(s.cells)
	in := 0
	for m := range n {
		ok := true
		for i, band := range s.log {
			v := logs[i*n+m]
			if shift != nil {
				v += shift[i]
			}
			if v < band[0] || v > band[1] {
				ok = false
				break
			}
		}
		if ok {
			in++
		}
	}
	return float64(in) / float64(n)
}

// kin is a pair of openings on its way through the search, with every amount of sand they can go with.
type kin struct {
	openings [2]int
	least    float64   // no plan of them weighs less
	lots     []lot     // by rising weight; nil until looked at
	next     int       // the first not yet judged or ruled out
	shift    []float64 // by how much judging moved the quick estimate
}

type lot struct {
	steps  [2]int
	weight float64
}

// key is what the queue goes by.
func (k *kin) key() float64 {
	if k.lots == nil {
		return k.least
	}
	return k.lots[k.next].weight
}

// queue orders kin by the weight of what they would try next.
type queue []*kin

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return q[i].key() < q[j].key() }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)        { *q = append(*q, x.(*kin)) }
func (q *queue) Pop() any {
	old := *q
	last := old[len(old)-1]
	*q = old[:len(old)-1]
	return last
}

// kins lists the pairs of openings that are allowed.
func (s *Search) kins(allowed func(a, b *opened) bool) *queue {
	var q queue
	least := func(k, o int) float64 {
		w := math.Inf(1)
		for _, p := range s.parts[k][o] {
			if p.ok {
				w = math.Min(w, p.weight)
			}
		}
		return w
	}
	for a := range s.menus[0] {
		for b := range s.menus[1] {
			w := least(0, a) + least(1, b)
			if !math.IsInf(w, 1) && allowed(&s.menus[0][a], &s.menus[1][b]) {
				q = append(q, &kin{openings: [2]int{a, b}, least: w})
			}
		}
	}
	heap.Init(&q)
	return &q
}

// fill lists the amounts of sand of a kin by rising weight; only what keeps to the caps.
func (s *Search) fill(k *kin) {
	k.lots = []lot{}
	for i, a := range s.parts[0][k.openings[0]] {
		for j, b := range s.parts[1][k.openings[1]] {
			money := a.cost.Money() + b.cost.Money()
			if a.ok && b.ok && (s.Aim.Caps.Money == 0 || money <= s.Aim.Caps.Money+1e-9) {
				k.lots = append(k.lots, lot{[2]int{i, j}, a.weight + b.weight})
			}
		}
	}
	slices.SortStableFunc(k.lots, func(a, b lot) int { return cmp.Compare(a.weight, b.weight) })
}

// forward moves a kin to its next amount of sand that may do and weighs less than limit; false when there is none.
func (s *Search) forward(k *kin, limit float64, buffer []float64) bool {
	doubt := s.Doubt
	if k.shift != nil {
		doubt /= 3
	}
	if s.plans <= s.Most {
		doubt = 1
	}
	for ; k.next < len(k.lots) && k.lots[k.next].weight < limit; k.next++ {
		s.estimate(k.openings, k.lots[k.next].steps, buffer)
		if s.chance(buffer, k.shift) >= s.Aim.Probability-doubt {
			return true
		}
	}
	return false
}

// judgeAt runs a plan and says by how much that moves the quick estimate.
func (s *Search) judgeAt(openings, steps [2]int, buffer []float64) (*Found, []float64, error) {
	f, logs, err := s.look(assemble(s.parts[0][openings[0]][steps[0]], s.parts[1][openings[1]][steps[1]]))
	if err != nil {
		return nil, nil, err
	}
	f.opened, f.steps, f.Name = openings, steps, s.name(openings)
	for k := range 2 {
		f.SandMM[k] = float64(steps[k]) * s.StepMM
	}
	shift := make([]float64, len(s.cells))
	s.estimate(openings, steps, buffer)
	n := s.trial.Members()
	for i := range shift {
		shift[i] = mean(logs[i*n:(i+1)*n]) - mean(buffer[i*n:(i+1)*n])
	}
	return f, shift, nil
}

// look judges any plan.
func (s *Search) look(p Plan) (*Found, []float64, error) {
	logs, err := s.run(&p)
	if err != nil {
		return nil, nil, err
	}
	f := &Found{Plan: p, Cost: p.Cost(s.Prices, s.Calendar), Probability: s.chance(logs, nil)}
	f.Weight = f.Cost.Money() + s.Aim.DayWorth*f.Cost.Disturbed
	n := s.trial.Members()
	for i, band := range s.log[:len(s.Aim.Wanted)] {
		one := slices.Clone(logs[i*n : (i+1)*n])
		in := 0
		for _, v := range one {
			if v >= band[0] && v <= band[1] {
				in++
			}
		}
		slices.Sort(one)
		f.Each = append(f.Each, float64(in)/float64(n))
		f.Middle = append(f.Middle, math.Exp(one[n/2]))
	}
	return f, logs, nil
}

func mean(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// name says how the greens are opened.
func (s *Search) name(openings [2]int) string {
	a, b := s.menus[0][openings[0]].name, s.menus[1][openings[1]].name
	if len(s.seasons) == 1 || a == b {
		return a
	}
	return a + ", then " + b
}

// Find searches. It ends early, with the best so far, when ctx does.
func (s *Search) Find(ctx context.Context) (*Answer, error) {
	if err := s.prepare(); err != nil {
		return nil, err
	}
	if err := s.survey(); err != nil {
		return nil, err
	}
	nothing, _, err := s.look(Plan{})
	if err != nil {
		return nil, err
	}
	nothing.Name = "nothing is done"
	if err := s.verify(nothing); err != nil {
		return nil, err
	}
	a := &Answer{Nothing: *nothing}
	if err := s.least(ctx, a); err != nil {
		return nil, err
	}
	if a.Best == nil {
		if err := s.nearest(a); err != nil || a.Best == nil {
			return a, err
		}
	}
	if err := s.others(ctx, a); err != nil {
		return nil, err
	}
	if a.Limits, err = s.limits(ctx, a.Best); err != nil {
		return nil, err
	}
	return a, s.curve(a)
}

// least finds the plan of least weight that does it.
func (s *Search) least(ctx context.Context, a *Answer) error {
	found, bound, judged, err := s.hunt(ctx, s.kins(func(_, _ *opened) bool { return true }), s.Most, math.Inf(1))
	a.Best, a.Judged, a.Evaluations = found, judged, s.evaluations
	if found != nil {
		a.Bound = math.Min(bound, found.Weight)
		a.Gap = (found.Weight - a.Bound) / math.Max(found.Weight, 1e-9)
	}
	return err
}

// hunt takes plans from the queue, cheapest first, until one holds that weighs no more than anything left. Only plans
// that weigh less than limit count.
func (s *Search) hunt(ctx context.Context, q *queue, most int, limit float64) (best *Found, bound float64, judged int, err error) {
	buffer := make([]float64, len(s.cells)*s.trial.Members())
	bound = math.Inf(1)
	for q.Len() > 0 {
		k := (*q)[0]
		if bound = k.key(); bound >= limit {
			break
		}
		if judged >= most || ctx.Err() != nil {
			break
		}
		if k.lots == nil {
			s.fill(k)
			s.advance(q, k, limit, buffer)
			continue
		}
		f, shift, err := s.judgeAt(k.openings, k.lots[k.next].steps, buffer)
		if err != nil {
			return best, bound, judged, err
		}
		judged++
		if f.Probability >= s.Aim.Probability && f.Weight < limit {
			if err := s.verify(f); err != nil {
				return best, bound, judged, err
			}
			if f.Probability >= s.Aim.Probability {
				best, limit = f, f.Weight
			}
		}
		if s.Progress != nil {
			s.Progress(judged, most, best)
		}
		k.shift = shift
		k.next++
		s.advance(q, k, limit, buffer)
	}
	return best, bound, judged, nil
}

// verify holds a plan to everything there is.
func (s *Search) verify(f *Found) error {
	if s.Verify == nil {
		return nil
	}
	s.evaluations++
	var err error
	f.Probability, f.Each, err = s.Verify(f.Plan)
	return err
}

// advance moves the first of the queue on, or takes it off.
func (s *Search) advance(q *queue, k *kin, limit float64, buffer []float64) {
	if s.forward(k, limit, buffer) {
		heap.Fix(q, 0)
		return
	}
	heap.Pop(q)
}
