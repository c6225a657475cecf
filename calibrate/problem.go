package calibrate

import (
	"fmt"
	"math"
	"slices"

	"underfoot/profile"
)

// problem is a course made ready to be run again and again.
type problem struct {
	course  *Course
	forcing *profile.Forcing
	greens  []run
	rows    []row
	layers  []Layer
	blocks  []block // of rows that share a discrepancy
	wrt     []profile.Unknown
	at      places
}

// run is one green's track and what it was seen to do.
type run struct {
	track  *profile.Track
	column *profile.Column
	out    *profile.Readout
}

// row is one number measured.
type row struct {
	of    int // in Course.Measured
	green int
	sight int
	group int // layer, or the last for masses
	block int // −1 for masses
	mass  bool
	value float64 // ln
	thin  float64 // variance in composites of five: 5/cores
	extra float64 // known variance of the bench, ln²
}

// block is a round and layer.
type block struct {
	round string
	layer int
	day   int
}

// places says where in the vector of unknowns each kind begins.
type places struct {
	corer, growth, surface, block, n int
}

func newProblem(c *Course, derive bool) (*problem, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	p := &problem{course: c, layers: c.Layers()}
	if derive {
		for u := range profile.Unknowns {
			p.wrt = append(p.wrt, u)
		}
	}
	var days []int
	end := c.Last()
	for _, m := range c.Measured {
		days = append(days, m.Day)
	}
	for _, g := range c.Greens {
		for _, e := range g.Work {
			days = append(days, e.Day)
		}
	}
	looks := c.Settings.Looks(c.Start, end, days...)
	var err error
	if p.forcing, err = profile.NewForcing(c.Daily, looks, c.Settings); err != nil {
		return nil, err
	}
	sights := make([][]profile.Sight, len(c.Greens))
	for i, m := range c.Measured {
		p.add(i, m, len(sights[m.Green]))
		sights[m.Green] = append(sights[m.Green], profile.Sight{Day: m.Day, Top: m.Top, Bottom: m.Bottom})
	}
	for i, g := range c.Greens {
		track, err := profile.NewTrack(c.Settings, looks, g.Work, sights[i])
		if err != nil {
			return nil, fmt.Errorf("green %s: %w", g.Name, err)
		}
		p.greens = append(p.greens, run{track, track.NewColumn(c.Settings, p.wrt), profile.NewReadout(len(sights[i]), len(p.wrt))})
	}
	n := int(profile.Unknowns)
	g := len(c.Greens)
	p.at = places{n, n + 1, n + 1 + g, n + 1 + 2*g, n + 1 + 2*g + len(p.blocks)}
	return p, nil
}

// add makes the rows of a composite.
func (p *problem) add(of int, m Measured, sight int) {
	layer := slices.Index(p.layers, Layer{m.Top, m.Bottom})
	b := slices.IndexFunc(p.blocks, func(b block) bool { return b.round == m.Round && b.layer == layer })
	if b < 0 {
		b = len(p.blocks)
		p.blocks = append(p.blocks, block{m.Round, layer, m.Day})
	}
	cores := m.Cores
	if cores == 0 {
		cores = usualCores
	}
	r := row{of: of, green: m.Green, sight: sight, group: layer, block: b, value: math.Log(m.OM), thin: usualCores / float64(cores), extra: m.BenchSD * m.BenchSD}
	p.rows = append(p.rows, r)
	if m.Mass > 0 {
		r.mass, r.block, r.group, r.value, r.extra = true, -1, len(p.layers), math.Log(m.Mass), 0
		p.rows = append(p.rows, r)
	}
}

// params gives the values of a green at a place in the space of unknowns.
func (p *problem) params(theta []float64, green int) profile.Params {
	var x [profile.Unknowns]float64
	copy(x[:], theta[:profile.Unknowns])
	x[profile.Growth] += theta[p.at.growth+green]
	x[profile.Surface] += theta[p.at.surface+green]
	return profile.At(x)
}

// run runs every green.
func (p *problem) run(theta []float64) error {
	for g := range p.greens {
		q := p.params(theta, g)
		if g == 0 {
			p.forcing.Set(q, len(p.wrt) > 0)
		}
		r := &p.greens[g]
		if err := r.track.Read(r.column, p.forcing, q, r.out); err != nil {
			return fmt.Errorf("green %s: %w", p.course.Greens[g].Name, err)
		}
	}
	return nil
}

// sane refuses, after a run, a log by which a layer that was measured holds no organic matter at all.
func (p *problem) sane() error {
	for i := range p.rows {
		r := &p.rows[i]
		if seen := p.greens[r.green].out.Seen[r.sight]; !(seen.OM() > 0) {
			m := p.course.Measured[r.of]
			return fmt.Errorf("calibrating a course: by the log of green %s, %g–%g mm was clean sand on day %d, on which %.3g %% of organic matter was measured there: look for sand that is dated or measured wrongly",
				p.course.Greens[r.green].Name, m.Top, m.Bottom, m.Day, 100*m.OM)
		}
	}
	return nil
}

// residual gives what a row reads less what it should after [problem.run], its discrepancy and the corer included.
func (p *problem) residual(theta []float64, r *row) float64 {
	seen := p.greens[r.green].out.Seen[r.sight]
	if r.mass {
		return r.value - math.Log(seen.Mass()) - theta[p.at.corer]
	}
	return r.value - math.Log(seen.OM()) - theta[p.at.block+r.block]
}

// index adds the unknowns that a row depends on to a list, rising.
func (p *problem) index(r *row, list []int) []int {
	for u := range int(profile.Unknowns) {
		list = append(list, u)
	}
	if r.mass {
		list = append(list, p.at.corer)
	}
	list = append(list, p.at.growth+r.green, p.at.surface+r.green)
	if !r.mass {
		list = append(list, p.at.block+r.block)
	}
	return list
}

// slope fills the derivatives of a row's prediction by the unknowns of [problem.index].
func (p *problem) slope(r *row, d []float64) {
	out := p.greens[r.green].out
	n := int(profile.Unknowns)
	from, shared, own := out.DLogOM, n+2, n
	if r.mass {
		from, shared, own = out.DLogMass, n, n+1
	}
	copy(d[:n], from[r.sight*n:(r.sight+1)*n])
	d[own], d[own+1] = d[profile.Growth], d[profile.Surface]
	d[shared] = 1
}
