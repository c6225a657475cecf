package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/sieve"
	"underfoot/unit"
)

// Grains is what the sieve tables of a course say together: its root zone, the sands put on, and the ash by layer and round.
type Grains struct {
	Rows   []SieveRow
	Root   sieve.Bed // its curve is nil where no root zone was sieved
	Layers []GrainLayer
	Area   float64 // of the greens [m²], 0 when not known
	Course *underfoot.Course

	rs    *underfoot.Records
	bench []BenchRow
}

// GrainLayer is the ash of one layer over the rounds.
type GrainLayer struct {
	TopMM, BottomMM float64
	Rounds          []GrainRound
	Drift           *sieve.Drift // from the root zone; nil where that is not known
	Why             string       // why there is no drift
	Uneven          bool         // not the same greens in every round
	Blends          []GrainBlend // of layers that begin at the surface, a green and an interval each
	Water           []string
}

// Name names the layer by its depths.
func (l *GrainLayer) Name() string { return underfoot.LayerName(l.TopMM, l.BottomMM) }

// Last is the newest round.
func (l *GrainLayer) Last() *GrainRound { return &l.Rounds[len(l.Rounds)-1] }

// GrainRound is the mean curve of the greens that were sieved on one date.
type GrainRound struct {
	Date   underfoot.Date
	Label  string
	Greens []string
	Curve  *sieve.Curve
}

// GrainsOf puts the sieve tables of a course together.
func GrainsOf(rs *underfoot.Records) *Grains { return grainsOf(rs, Bench(rs)) }

func grainsOf(rs *underfoot.Records, bench []BenchRow) *Grains {
	_, greens, _ := surfaceOf(rs)
	g := &Grains{Rows: Sieve(rs), Course: &rs.Course, rs: rs, bench: bench}
	for _, x := range greens {
		g.Area += x.AreaM2.Or(0)
	}
	g.Root = g.rootZone(greens)
	g.layers(greens)
	return g
}

// Grains puts the sieve tables of the course together.
func (s *Standing) Grains() *Grains { return grainsOf(s.Records, s.Bench) }

// SandCurve gives the curve of a sand, nil where it was not sieved.
func (g *Grains) SandCurve(id string) *sieve.Curve {
	for _, r := range g.Rows {
		if r.Sand != nil && r.Sand.ID == id {
			return r.Curve
		}
	}
	return nil
}

// rootZone is the root-zone sand of the greens; where they have several, their mean.
func (g *Grains) rootZone(greens []underfoot.Green) sieve.Bed {
	var ids []string
	for _, x := range greens {
		if x.RootzoneSand != "" && !slices.Contains(ids, x.RootzoneSand) {
			ids = append(ids, x.RootzoneSand)
		}
	}
	if len(ids) == 0 {
		for _, s := range g.rs.Sands {
			if s.Role == "rootzone" {
				ids = append(ids, s.ID)
			}
		}
	}
	var curves []*sieve.Curve
	for _, id := range ids {
		if c := g.SandCurve(id); c != nil {
			curves = append(curves, c)
		}
	}
	bed := sieve.Bed{Name: "the root zone"}
	switch len(curves) {
	case 0:
	case 1:
		bed.Curve = curves[0]
	default:
		if c, err := sieve.Mean(curves...); err == nil {
			bed.Curve, bed.Name = c, fmt.Sprintf("the mean of %d root zones", len(curves))
		}
	}
	return bed
}

func (g *Grains) layers(greens []underfoot.Green) {
	ours := map[string]bool{}
	for _, x := range greens {
		ours[x.ID] = true
	}
	for i := range g.Rows {
		r := &g.Rows[i]
		if r.Sample == nil || r.Curve == nil || !ours[r.Sample.Green] {
			continue
		}
		k := slices.IndexFunc(g.Layers, func(l GrainLayer) bool { return l.TopMM == r.Sample.TopMM && l.BottomMM == r.Sample.BottomMM })
		if k < 0 {
			g.Layers = append(g.Layers, GrainLayer{TopMM: r.Sample.TopMM, BottomMM: r.Sample.BottomMM})
		}
	}
	slices.SortFunc(g.Layers, func(a, b GrainLayer) int {
		return cmp.Or(cmp.Compare(a.TopMM, b.TopMM), cmp.Compare(a.BottomMM, b.BottomMM))
	})
	for i := range g.Layers {
		l := &g.Layers[i]
		g.rounds(l, ours)
		g.follow(l)
		if l.TopMM == 0 {
			g.blends(l, ours)
		}
		if g.Root.Curve != nil {
			l.Water = sieve.Water(l.Last().Curve, g.Root.Curve, "the ash of "+l.Name(), g.Root.Name)
		}
	}
}

// of lists the sieved ash of a layer, by date.
func (g *Grains) of(l *GrainLayer, ours map[string]bool) []*SieveRow {
	var out []*SieveRow
	for i := range g.Rows {
		r := &g.Rows[i]
		if r.Sample != nil && r.Curve != nil && ours[r.Sample.Green] && r.Sample.TopMM == l.TopMM && r.Sample.BottomMM == l.BottomMM {
			out = append(out, r)
		}
	}
	return out
}

func (g *Grains) rounds(l *GrainLayer, ours map[string]bool) {
	by := map[underfoot.Date][]*SieveRow{}
	var dates []underfoot.Date
	for _, r := range g.of(l, ours) {
		if by[r.Sample.Date] == nil {
			dates = append(dates, r.Sample.Date)
		}
		by[r.Sample.Date] = append(by[r.Sample.Date], r)
	}
	for _, d := range dates {
		round := GrainRound{Date: d, Label: by[d][0].Sample.RoundLabel()}
		var curves []*sieve.Curve
		for _, r := range by[d] {
			round.Greens = append(round.Greens, r.Sample.Green)
			curves = append(curves, r.Curve)
		}
		var err error
		if round.Curve, err = sieve.Mean(curves...); err != nil { // stacks without a common size
			round.Curve, round.Greens = curves[0], round.Greens[:1]
		}
		l.Uneven = l.Uneven || len(l.Rounds) > 0 && !slices.Equal(round.Greens, l.Rounds[0].Greens)
		l.Rounds = append(l.Rounds, round)
	}
}

func (g *Grains) follow(l *GrainLayer) {
	if g.Root.Curve == nil {
		l.Why = "No root zone was sieved: there is nothing to hold the ash of " + l.Name() + " against."
		return
	}
	var list []sieve.Dated
	for _, r := range l.Rounds {
		list = append(list, sieve.Dated{Year: r.Date.Decimal(), Curve: r.Curve})
	}
	var err error
	if l.Drift, err = sieve.Follow(g.Root.Curve, list); err != nil {
		l.Why = strings.ToUpper(err.Error()[:1]) + err.Error()[1:] + "."
	}
}

// gravel is the size half of a material is coarser than for it to be no sand: the edge of the systems of classes.
const gravel unit.Millimetres = 2

// IsGravel says that half of a material or more is coarser than sand.
func IsGravel(c *sieve.Curve) bool {
	if c == nil {
		return false
	}
	p, _, ok := c.Between(0, gravel)
	return ok && p <= 50 || !ok && c.Finest() > gravel
}

// Choices ranks the sands that may be put on.
func (g *Grains) Choices() []sieve.Ranked {
	var list []sieve.Candidate
	for _, s := range g.rs.Sands {
		if s.Role == "rootzone" || IsGravel(g.SandCurve(s.ID)) {
			continue
		}
		c := sieve.Candidate{
			Name: s.ID, Curve: g.SandCurve(s.ID), Bulk: unit.KgPerM3(s.BulkDensity.Or(float64(DefaultSandDensity))), Moisture: unit.Percent(s.MoisturePercent.Or(0)).Fraction(),
			PriceTon: s.PricePerT.Ptr(),
		}
		list = append(list, c)
	}
	return sieve.Choose(list, g.top(), g.Root)
}

// top is the ash of the layer at the surface in its newest round.
func (g *Grains) top() sieve.Bed {
	for i := range g.Layers {
		if l := &g.Layers[i]; l.TopMM == 0 {
			return sieve.Bed{Name: "the ash of " + l.Name(), Curve: l.Last().Curve}
		}
	}
	return sieve.Bed{Name: "the ash of the layer at the surface"}
}

// Suits says how a sand lies to what it is put on: the ash of the layer at the surface, and the root zone.
func (g *Grains) Suits(sand string) sieve.Match {
	return sieve.Suit(g.SandCurve(sand), g.top(), g.Root)
}

// Says is what the ash shows, in sentences.
func (g *Grains) Says() []string {
	var out []string
	for i := range g.Layers {
		l := &g.Layers[i]
		if l.Drift != nil {
			out = append(out, l.Drift.Words("the ash of "+l.Name())+l.Unevenness())
		} else {
			out = append(out, l.Why)
		}
		for _, b := range l.Newest() {
			out = append(out, b.Says)
		}
		out = append(out, l.Water...)
	}
	return out
}

// Unevenness warns, after a sentence, where rounds are of different greens.
func (l *GrainLayer) Unevenness() string {
	if !l.Uneven {
		return ""
	}
	return " Not the same greens were sieved in every round: part of it may be a difference between greens."
}

// GrainBlend is the ash of a green that was expected from what was put on since an earlier round, beside what was found.
type GrainBlend struct {
	Green       string
	From, Until underfoot.Date
	Expected    *sieve.Curve // nil where it cannot be said
	Mixed       *sieve.Curve // the same if everything had mixed
	Found       *sieve.Curve
	SandKgM2    float64 // put on and filled in between
	LayerKgM2   float64 // mineral of the layer
	NewShare    float64 // of the layer that came between, 0..1
	Apart       *sieve.Distance
	Says        string
}

// Called is what pages call a row: the name of the sand, or green, layer and round of the ash.
func (g *Grains) Called(r *SieveRow) string {
	if r.Sample == nil {
		return r.Name
	}
	return fmt.Sprintf("ash, %s, %s, %s", g.GreenTitle(r.Sample.Green), underfoot.LayerName(r.Sample.TopMM, r.Sample.BottomMM), r.Sample.RoundLabel())
}

// Newest are the blends that end with the newest round.
func (l *GrainLayer) Newest() []GrainBlend {
	var out []GrainBlend
	for _, b := range l.Blends {
		if b.Until == l.Last().Date {
			out = append(out, b)
		}
	}
	return out
}

// blends reckons, for each green and from each sieved round to the next, what the layer at the surface should be made of:
//
//	P = (S·P_sand + (M − S)·P_before)/M
//
// S the sand put on since [kg/m²], M the mineral of the layer [kg/m²]: sand lies on top and what was there sinks in order.
// Where more was put on than the layer holds it is the newest sand alone.
func (g *Grains) blends(l *GrainLayer, ours map[string]bool) {
	mineral := map[string]float64{}
	for _, b := range g.bench {
		if b.MineralKgM2 != nil {
			mineral[b.Sample] = *b.MineralKgM2
		}
	}
	last := map[string]*SieveRow{}
	for _, r := range g.of(l, ours) {
		if before := last[r.Sample.Green]; before != nil && before.Sample.Date < r.Sample.Date {
			l.Blends = append(l.Blends, g.blend(l, before, r, mineral[r.Sample.ID]))
		}
		last[r.Sample.Green] = r
	}
}

func (g *Grains) blend(l *GrainLayer, before, after *SieveRow, mineral float64) GrainBlend {
	green := after.Sample.Green
	b := GrainBlend{Green: green, From: before.Sample.Date, Until: after.Sample.Date, Found: after.Curve, LayerKgM2: mineral}
	title := g.GreenTitle(green)
	put, unknown := g.putOn(green, b.From, b.Until, l.BottomMM)
	for _, p := range put {
		b.SandKgM2 += p.kg
	}
	switch {
	case mineral <= 0:
		b.Says = fmt.Sprintf("%s: how much sand %s holds is not known, so no blend can be expected.", title, l.Name())
		return b
	case len(unknown) > 0:
		b.Says = fmt.Sprintf("%s: %s put on since %s %s no sieve table, so no blend can be expected.", title, strings.Join(unknown, ", "), b.From.Time().Format("2 January 2006"), plural(len(unknown), "has", "have"))
		return b
	}
	b.NewShare = min(1, b.SandKgM2/mineral)
	parts := []sieve.Part{{Curve: before.Curve, Mass: max(0, mineral-b.SandKgM2)}}
	mixed := []sieve.Part{{Curve: before.Curve, Mass: mineral * math.Exp(-b.SandKgM2/mineral)}}
	room := mineral
	for i := len(put) - 1; i >= 0; i-- { // the newest lies on top
		kg := min(room, put[i].kg)
		room -= kg
		parts = append(parts, sieve.Part{Curve: put[i].curve, Mass: kg})
		if b.SandKgM2 > 0 {
			mixed = append(mixed, sieve.Part{Curve: put[i].curve, Mass: mineral * -math.Expm1(-b.SandKgM2/mineral) * put[i].kg / b.SandKgM2})
		}
	}
	var err error
	if b.Expected, err = sieve.Blend(parts...); err != nil {
		b.Says = title + ": " + err.Error() + "."
		return b
	}
	b.Mixed, _ = sieve.Blend(mixed...)
	d, err := sieve.Apart(b.Found, b.Expected)
	if err != nil {
		b.Says = title + ": " + err.Error() + "."
		return b
	}
	b.Apart = &d
	b.Says = fmt.Sprintf("%s: %.1f kg/m² of sand since %s make up %.0f %% of %s if it lies in order. %s", title, b.SandKgM2, b.From.Time().Format("2 January 2006"), 100*b.NewShare, l.Name(),
		d.Words("the ash", "the blend expected from it"))
	return b
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// GreenTitle is the name people say of a green; one that is not on record is called by its short name.
func (g *Grains) GreenTitle(id string) string {
	for i := range g.rs.Greens {
		if g.rs.Greens[i].ID == id {
			return g.rs.Greens[i].Title()
		}
	}
	return id
}

// layOn is sand that was put on a green.
type layOn struct {
	date  underfoot.Date
	curve *sieve.Curve
	kg    float64 // kg/m² of it in the layer
}

// putOn lists the sand put on a green after one day and until another that lies above a depth, by date, and what of it has no
// sieve table.
func (g *Grains) putOn(green string, after, until underfoot.Date, bottom float64) (list []layOn, unknown []string) {
	densities := map[string]unit.KgPerM3{}
	for _, s := range g.rs.Sands {
		if s.BulkDensity.Known {
			densities[s.ID] = unit.KgPerM3(s.BulkDensity.Value)
		}
	}
	for _, w := range g.rs.Work {
		if w.Planned() || w.Green != "" && w.Green != green || w.Date <= after || w.Date > until {
			continue
		}
		d, err := reckonOne(w, 1, densities)
		if err != nil {
			continue
		}
		deep := d.DeepMM
		if w.DepthMM.Known && w.DepthMM.Value > bottom {
			deep *= bottom / w.DepthMM.Value
		}
		kg := (d.SurfaceMM + deep) * float64(d.Density) / 1000
		if kg <= 0 {
			continue
		}
		c := g.SandCurve(w.Sand)
		if c == nil {
			name := w.Sand
			if name == "" {
				name = "sand without a name"
			}
			if !slices.Contains(unknown, name) {
				unknown = append(unknown, name)
			}
			continue
		}
		list = append(list, layOn{w.Date, c, kg})
	}
	slices.SortStableFunc(list, func(a, b layOn) int { return cmp.Compare(a.date, b.date) })
	return list, unknown
}

// Sands lists the sands of the course's package.
func (g *Grains) Sands() []underfoot.Sand { return g.rs.Sands }
