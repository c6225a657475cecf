package profile_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"underfoot/profile"
)

// plain is the model once more, written from the documented formulas and nothing else: parcels from the surface down,
// one day after the other, every exponential by math.Exp. It shares no line with the package.
type plain struct {
	set     profile.Settings
	p       profile.Params
	parcels []lump // the uppermost first
	laid    float64
	fresh   bool
}

type lump struct{ s, o, q float64 }

func (m *plain) height(l lump) float64 {
	return 1000 * (l.s/m.set.SandDensity + (l.o+l.q)/m.p[profile.OrganicDensity])
}

func (m *plain) start() {
	p, fast := m.p, m.set.FastStart
	if m.set.OnePool {
		fast = 0
	}
	m.fresh = true
	for z := 0.0; z < m.set.Depth-1e-9; {
		h := m.set.Cell
		if z >= 60-1e-9 {
			h = 3 * m.set.Cell
		}
		h = min(h, m.set.Depth-z)
		f := p[profile.Base] + (p[profile.Surface]-p[profile.Base])*math.Exp(-(z+h/2)/p[profile.Fade])
		density := 1 / (f/p[profile.OrganicDensity] + (1-f)/m.set.SandDensity)
		organic := f * density * h / 1000
		m.parcels = append(m.parcels, lump{(1 - f) * density * h / 1000, organic * (1 - fast), organic * fast})
		z += h
	}
}

// stretch goes through days, the parcels' places as on the first.
func (m *plain) stretch(d profile.Daily, from, to int) {
	p := m.p
	share := make([]float64, len(m.parcels))
	var z, above float64
	for i, l := range m.parcels {
		z += m.height(l)
		c := 1.0
		if i < len(m.parcels)-1 {
			lambda, omega := p[profile.RootDepth], p[profile.DeepShare]
			c = (1-omega)*(1-math.Exp(-z/lambda)) + omega*(1-math.Exp(-z/(m.set.DeepReach*lambda)))
		}
		share[i], above = c-above, c
	}
	fastShare, humified := p[profile.FastShare], m.set.Humified
	if m.set.OnePool {
		fastShare, humified = 0, 0
	}
	for day := from; day < to; day++ {
		made := p[profile.Growth] * d.Index[day-d.First] / 365.25
		if d.Nitrogen != nil {
			made *= 1 + p[profile.Nitrogen]*(d.Nitrogen[day-d.First]-1)
		}
		r := m.set.DecayFactor(d.Temp[day-d.First]) / 365.25
		for i := range m.parcels {
			l := &m.parcels[i]
			l.o += made * share[i] * (1 - fastShare)
			l.q += made * share[i] * fastShare
			gone := l.q * (1 - math.Exp(-p[profile.FastRate]*r))
			l.q -= gone
			l.o = l.o*math.Exp(-p[profile.SlowRate]*r) + humified*gone
		}
	}
}

// within gives the share of each parcel's thickness between two depths.
func (m *plain) within(top, bottom float64) []float64 {
	share := make([]float64, len(m.parcels))
	var z float64
	for i, l := range m.parcels {
		h := m.height(l)
		share[i] = max(min(z+h, bottom)-max(z, top), 0) / h
		z += h
	}
	return share
}

func (m *plain) blend() {
	share := m.within(0, m.set.Mix)
	var s, o, q float64
	for i, l := range m.parcels {
		s, o, q = s+share[i]*l.s, o+share[i]*l.o, q+share[i]*l.q
	}
	for i := range m.parcels {
		l, w := &m.parcels[i], share[i]
		l.o += w * (l.s*o/s - l.o)
		l.q += w * (l.s*q/s - l.q)
	}
}

func (m *plain) do(e profile.Event) {
	p := m.p
	switch g := e.Opening; {
	case g.Touched > 0:
		phi := min(p[profile.Coring]*g.Touched, 0.95)
		fill := min(p[profile.Filling]*g.Fill, 1)
		var out lump
		for i, v := range m.within(0, m.set.CutShare*g.Depth) {
			l := &m.parcels[i]
			w, in := phi*v, fill*phi*v*m.height(*l)*m.set.SandDensity/1000
			out.s, out.o, out.q = out.s+w*l.s, out.o+w*l.o, out.q+w*l.q
			l.s, l.o, l.q = l.s*(1-w)+in, l.o*(1-w), l.q*(1-w)
		}
		if g.Returned {
			top := &m.parcels[0]
			top.s, top.o, top.q = top.s+out.s, top.o+out.o, top.q+out.q
			m.blend()
		}
	case e.Bottom > 0:
		rest := p[profile.Sanding] * e.Sand
		for i, v := range m.within(e.Top, e.Bottom) {
			in := p[profile.Sanding] * e.Sand * v * m.height(m.parcels[i]) / (e.Bottom - e.Top)
			m.parcels[i].s += in
			rest -= in
		}
		m.parcels[len(m.parcels)-1].s += rest // below the end
	default:
		if m.fresh || m.laid >= m.set.Join {
			m.parcels = append([]lump{{}}, m.parcels...)
			m.laid, m.fresh = 0, false
		}
		m.laid += e.Sand / m.set.SandDensity * 1000
		m.parcels[0].s += p[profile.Sanding] * e.Sand
		m.blend()
	}
}

func (m *plain) between(top, bottom float64) (seen profile.Seen) {
	for i, w := range m.within(top, bottom) {
		seen.Organic += w * (m.parcels[i].o + m.parcels[i].q)
		seen.Mineral += w * m.parcels[i].s
	}
	return seen
}

func (m *plain) run(d profile.Daily, looks []int, work []profile.Event, sights []profile.Sight) []profile.Seen {
	m.start()
	seen := make([]profile.Seen, len(sights))
	for i, day := range looks {
		if i > 0 {
			m.stretch(d, looks[i-1], day)
		}
		var sand float64 // dressings that follow one another are one
		for j, e := range work {
			if e.Day != day {
				continue
			}
			if e.Opening.Touched == 0 && e.Bottom == 0 {
				sand += e.Sand
				if j+1 < len(work) && work[j+1].Day == day && work[j+1].Opening.Touched == 0 && work[j+1].Bottom == 0 {
					continue
				}
				e.Sand, sand = sand, 0
			}
			m.do(e)
		}
		for j, v := range sights {
			if v.Day == day {
				seen[j] = m.between(v.Top, v.Bottom)
			}
		}
	}
	return seen
}

// scene is a course as no one would plan it.
type scene struct {
	set    profile.Settings
	p      profile.Params
	daily  profile.Daily
	looks  []int
	work   []profile.Event
	sights []profile.Sight
}

func drawScene(t *rapid.T) scene {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	c := scene{set: profile.Usual()}
	s := &c.set
	s.Step = rapid.SampledFrom([]int{1, 3, 7, 28}).Draw(t, "step")
	s.OnePool = rapid.Bool().Draw(t, "one pool")
	s.LloydTaylor = rapid.Bool().Draw(t, "Lloyd and Taylor")
	s.DeepReach = rapid.SampledFrom([]float64{4, 1, 2.5, 7}).Draw(t, "deep reach")
	s.Mix = number("mix", 1, 10)
	s.Join = number("join", 0, 4)
	s.Depth = number("depth", 80, 160)
	x := profile.Default().Coordinates()
	for i, e := range profile.Table {
		x[i] += number(e.Name, -2, 2) * e.Spread
	}
	c.p = profile.At(x)

	days := rapid.IntRange(200, 1100).Draw(t, "days")
	mean, swing := number("mean temperature", 2, 22), number("swing", 0, 14)
	c.daily.First = 17000
	for i := range days {
		temp := mean + swing*math.Sin(2*math.Pi*float64(i)/365.25)
		c.daily.Temp = append(c.daily.Temp, temp)
		c.daily.Index = append(c.daily.Index, math.Exp(-0.5*math.Pow((temp-20)/5.5, 2)))
		c.daily.Nitrogen = append(c.daily.Nitrogen, 1+0.4*math.Sin(float64(i)/50))
	}
	var named []int
	for day := c.daily.First; ; {
		day += rapid.IntRange(0, 40).Draw(t, "until the next work")
		if day > c.daily.Until() {
			break
		}
		named = append(named, day)
		e := profile.Event{Day: day}
		switch rapid.SampledFrom([]string{"dressing", "dressing", "dressing", "coring", "injection"}).Draw(t, "work") {
		case "coring":
			e.Opening = profile.Opening{
				Touched: number("touched", 0.01, 0.3), Depth: number("tines", 5, 75),
				Fill: number("fill", 0, 1), Returned: rapid.Bool().Draw(t, "returned"),
			}
		case "injection":
			e.Top = number("from", 0, 50)
			e.Bottom, e.Sand = e.Top+number("over", 5, 30), number("injected", 0.1, 4)
		default:
			e.Sand = number("sand", 0.05, 4)
		}
		c.work = append(c.work, e)
	}
	for range 6 {
		day := rapid.IntRange(c.daily.First, c.daily.Until()).Draw(t, "look")
		named = append(named, day)
		top := rapid.SampledFrom([]float64{0, 0, 20, 7.3}).Draw(t, "top")
		c.sights = append(c.sights, profile.Sight{Day: day, Top: top, Bottom: top + number("thick", 2, 50)})
	}
	c.looks = s.Looks(c.daily.First, c.daily.Until(), named...)
	return c
}

// build makes what a run needs.
func (c scene) build(t fatal, wrt []profile.Unknown) (*profile.Forcing, *profile.Track, *profile.Column, *profile.Readout) {
	f, err := profile.NewForcing(c.daily, c.looks, c.set)
	if err != nil {
		t.Fatal(err)
	}
	track, err := profile.NewTrack(c.set, c.looks, c.work, c.sights)
	if err != nil {
		t.Fatal(err)
	}
	f.Set(c.p, len(wrt) > 0)
	return f, track, track.NewColumn(c.set, wrt), profile.NewReadout(len(c.sights), len(wrt))
}

type fatal interface{ Fatal(...any) }

// see runs a scene and gives what was seen.
func (c scene) see(t fatal) []profile.Seen {
	f, track, column, out := c.build(t, nil)
	if err := track.Run(column, f, c.p, out); err != nil {
		t.Fatal(err)
	}
	return out.Seen
}

// apart gives the largest difference between two lists of sights, relative; of organic matter relative to at least a
// ten-thousandth of the mass, as clean sand holds none.
func apart(a, b []profile.Seen) (d float64) {
	for i := range a {
		d = max(d, math.Abs(a[i].Organic-b[i].Organic)/max(b[i].Organic, 1e-4*b[i].Mass()), math.Abs(a[i].Mineral/b[i].Mineral-1))
	}
	return d
}

func TestAsThePlainWay(t *testing.T) {
	var most float64
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t)
		m := plain{set: c.set, p: c.p}
		want := m.run(c.daily, c.looks, c.work, c.sights)
		f, track, column, out := c.build(t, nil)
		for _, way := range []struct {
			name string
			run  func(*profile.Column, *profile.Forcing, profile.Params, *profile.Readout) error
		}{{"Run", track.Run}, {"Read", track.Read}} {
			if err := way.run(column, f, c.p, out); err != nil {
				t.Fatal(err)
			}
			d := apart(out.Seen, want)
			most = max(most, d)
			if !(d < 1e-10) {
				t.Errorf("%s is %.2g off the plain way", way.name, d)
			}
		}
		f.Set(c.p, true)
		slopes, out := track.NewColumn(c.set, all()), profile.NewReadout(len(c.sights), int(profile.Unknowns))
		if err := track.Read(slopes, f, c.p, out); err != nil {
			t.Fatal(err)
		}
		d := apart(out.Seen, want)
		most = max(most, d)
		if !(d < 1e-10) {
			t.Errorf("with derivatives a run is %.2g off the plain way", d)
		}
	})
	t.Logf("at most %.2g off", most)
}

// A long quiet course lets the series of the share of growth drift for as long as they may.
func TestSeriesHoldOverManyYears(t *testing.T) {
	daily, _ := season(30)
	c := scene{set: profile.Usual(), p: profile.Default(), daily: daily}
	c.set.Step = 1
	for y := 5; y <= 30; y += 5 {
		c.sights = append(c.sights, profile.Sight{Day: daily.First + y*365, Bottom: 20}, profile.Sight{Day: daily.First + y*365, Top: 20, Bottom: 60})
	}
	c.looks = c.set.Looks(daily.First, daily.Until())
	m := plain{set: c.set, p: c.p}
	if d := apart(c.see(t), m.run(c.daily, c.looks, nil, c.sights)); !(d < 1e-11) {
		t.Errorf("after 30 years without work the quick way is %.2g off the plain way", d)
	}
}
