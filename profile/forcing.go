package profile

import (
	"fmt"
	"math"
)

// Daily drives a course from its day First on, one value a day.
type Daily struct {
	First    int       // days since 1970-01-01
	Temp     []float64 // mean air temperature, °C
	Index    []float64 // growth by temperature and whatever sets its size, ≥ 0, 1 at full growth
	Nitrogen []float64 // the season's nitrogen over the reference the size of growth is stated at, ≥ 0; nil for 1
}

// Until gives the first day after the series.
func (d Daily) Until() int { return d.First + len(d.Temp) }

// Check refuses series of different lengths and values that are no numbers.
func (d Daily) Check() error {
	if len(d.Temp) == 0 {
		return fmt.Errorf("driving a profile: there is no weather")
	}
	if len(d.Index) != len(d.Temp) || (d.Nitrogen != nil && len(d.Nitrogen) != len(d.Temp)) {
		return fmt.Errorf("driving a profile: %d days of temperature, %d of growth, %d of nitrogen: give as many of each", len(d.Temp), len(d.Index), len(d.Nitrogen))
	}
	for i, t := range d.Temp {
		n := 1.0
		if d.Nitrogen != nil {
			n = d.Nitrogen[i]
		}
		if !(t >= -90 && t <= 60) || !(d.Index[i] >= 0 && d.Index[i] <= 20) || !(n >= 0 && n <= 50) {
			return fmt.Errorf("driving a profile: day %d has %g °C, growth %g, nitrogen %g: allowed are -90 to 60, 0 to 20, 0 to 50", d.First+i, t, d.Index[i], n)
		}
	}
	return nil
}

// Rates are the unknowns of growth and decay that are the same at every depth.
type Rates struct{ Slow, Fast, FastShare, Nitrogen float64 }

// rated lists the unknowns that a piece of time depends on, in the order of its derivatives.
var rated = [4]Unknown{SlowRate, FastRate, FastShare, Nitrogen}

// stretch is what a piece of time does to every parcel alike:
//
//	o ← o·stay + q·turn + κ·slow·w    q ← q·keep + κ·fast·w
//
// with w the share of growth in the parcel. Everything is per unit κ and follows from daily steps: what is made on a
// day enters in the morning and decays that day.
type stretch struct {
	stay, keep, turn float64
	slow, fast       float64 // a
	made             float64 // a; slow+fast is what is left of it

	dStay, dKeep, dTurn, dSlow, dFast [4]float64 // by rated
}

// Forcing is a course's weather, growth and rates between looks.
type Forcing struct {
	pieces  []stretch
	daily   Daily
	set     Settings
	factor  []float64 // r(T) of each day, over a year's days
	looks   []int
	derived bool
}

// NewForcing prepares the pieces between looks, days in rising order within the series.
func NewForcing(d Daily, looks []int, s Settings) (*Forcing, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	for i, at := range looks {
		if at < d.First || at > d.Until() || i > 0 && at < looks[i-1] {
			return nil, fmt.Errorf("driving a profile: look %d on day %d is out of order or outside the weather of days %d to %d", i+1, at, d.First, d.Until())
		}
	}
	f := &Forcing{daily: d, set: s, looks: looks, pieces: make([]stretch, max(len(looks)-1, 0)), factor: make([]float64, len(d.Temp))}
	for i, t := range d.Temp {
		f.factor[i] = s.DecayFactor(t) / daysPerYear
	}
	return f, nil
}

// Set works the pieces out for rates, with derivatives when asked. It allocates nothing.
func (f *Forcing) Set(p Params, derive bool) { f.SetFrom(p, derive, 0) }

// SetFrom is [Forcing.Set] for the pieces from the given one on.
func (f *Forcing) SetFrom(p Params, derive bool, from int) {
	r := Rates{p[SlowRate], p[FastRate], p[FastShare], p[Nitrogen]}
	humified := f.set.Humified
	if f.set.OnePool {
		r.FastShare, humified = 0, 0
	}
	f.derived = derive
	for i := from; i < len(f.pieces); i++ {
		a, b := f.looks[i]-f.daily.First, f.looks[i+1]-f.daily.First
		if derive {
			f.pieces[i] = f.derive(a, b, r, humified)
		} else {
			f.pieces[i] = f.plain(a, b, r, humified)
		}
	}
}

// input is what grows on a day per unit κ [a], and its derivative by the place of the nitrogen share.
func (f *Forcing) input(day int, share float64) (x, dx float64) {
	x = f.daily.Index[day] / daysPerYear
	if f.daily.Nitrogen != nil {
		n := f.daily.Nitrogen[day] - 1
		dx = x * n * share * (1 - share)
		x *= 1 + share*n
	}
	return x, dx
}

// plain follows one unit of each pool and the day's growth through days a to b.
func (f *Forcing) plain(a, b int, r Rates, humified float64) stretch {
	s := stretch{stay: 1, keep: 1}
	var thermal float64
	for day := a; day < b; day++ {
		x, _ := f.input(day, r.Nitrogen)
		factor := f.factor[day]
		thermal += factor
		es, eq := exp(-r.Slow*factor), exp(-r.Fast*factor)
		h := humified * (1 - eq)
		s.turn = s.turn*es + s.keep*h
		s.keep *= eq
		newFast := s.fast + x*r.FastShare
		s.slow = (s.slow+x*(1-r.FastShare))*es + newFast*h
		s.fast = newFast * eq
		s.made += x
	}
	s.stay = math.Exp(-r.Slow * thermal)
	return s
}

// derive is plain with derivatives.
func (f *Forcing) derive(a, b int, r Rates, humified float64) stretch {
	s := stretch{stay: 1, keep: 1}
	const ks, kq, fa, ni = 0, 1, 2, 3
	dFastShare := r.FastShare * (1 - r.FastShare)
	var thermal float64
	for day := a; day < b; day++ {
		x, dx := f.input(day, r.Nitrogen)
		factor := f.factor[day]
		thermal += factor
		es, eq := exp(-r.Slow*factor), exp(-r.Fast*factor)
		des, deq := -r.Slow*factor*es, -r.Fast*factor*eq
		h, dh := humified*(1-eq), -humified*deq

		s.dTurn[ks] = s.dTurn[ks]*es + s.turn*des
		s.dTurn[kq] = s.dTurn[kq]*es + s.dKeep[kq]*h + s.keep*dh
		s.turn = s.turn*es + s.keep*h
		s.dKeep[kq] = s.dKeep[kq]*eq + s.keep*deq
		s.keep *= eq

		newFast := s.fast + x*r.FastShare
		newSlow := s.slow + x*(1-r.FastShare)
		s.dSlow[ks] = s.dSlow[ks]*es + newSlow*des
		s.dSlow[kq] = s.dSlow[kq]*es + s.dFast[kq]*h + newFast*dh
		s.dSlow[fa] = (s.dSlow[fa]-x*dFastShare)*es + (s.dFast[fa]+x*dFastShare)*h
		s.dSlow[ni] = (s.dSlow[ni]+dx*(1-r.FastShare))*es + (s.dFast[ni]+dx*r.FastShare)*h
		s.dFast[kq] = s.dFast[kq]*eq + newFast*deq
		s.dFast[fa] = (s.dFast[fa] + x*dFastShare) * eq
		s.dFast[ni] = (s.dFast[ni] + dx*r.FastShare) * eq
		s.slow = newSlow*es + newFast*h
		s.fast = newFast * eq
		s.made += x
	}
	s.stay = math.Exp(-r.Slow * thermal)
	s.dStay[ks] = -r.Slow * thermal * s.stay
	return s
}
