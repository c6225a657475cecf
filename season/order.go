package season

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Terms are those a sand order is made under.
type Terms struct {
	LoadT    float64 // one load, t as delivered; 0: sand comes to the tonne
	StorageT float64 // most that can lie on the course, t as delivered; 0: not known, and sand comes month by month
	Lead     int     // days between delivery and use; 0 for [usualLead]
	Closed   []Closed
	On       []int // days sand comes on, in order; empty: as Lead and Closed have it. Lead and the most that can be stored give way
}

// usualLead is how many days ahead of its use sand is to lie on the course; common practice, no source.
const usualLead = 7

// Use is the sand of one day of work.
type Use struct {
	Day    int
	SandMM float64 // over the greens, holes included
	Tonnes float64 // as delivered, losses included
}

// Delivery is sand that comes on a day.
type Delivery struct {
	Day    int
	Loads  int     // 0 where sand comes to the tonne
	Tonnes float64 // as delivered
	Money  float64
	Before int     // day of the first work it is for
	Stored float64 // on the course after it, t
	Over   float64 // of it above what can be stored, t
}

// Order is the sand of a plan as it is bought.
type Order struct {
	SandMM     float64 // over the greens
	DryTonnes  float64 // that get onto the greens, dry
	Losses     float64 // bought but not got onto a green, t as delivered
	Tonnes     float64 // needed, as delivered: with moisture and losses
	Ordered    float64 // whole loads of it
	Left       float64 // over at the end
	Loads      int
	Money      float64 // of what is ordered
	Uses       []Use
	Deliveries []Delivery
	Notes      []string
}

// Order works out the sand to buy for a plan: whole loads, each delivery on a weekday at least Lead days ahead of the
// work it is for, and never more on the course than can be stored. Tonnes by [Prices.Tonnes].
func (p *Plan) Order(prices *Prices, terms Terms) (*Order, error) {
	for _, v := range []float64{terms.LoadT, terms.StorageT, float64(terms.Lead)} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("sand order: a term is %g: give load and storage in t and lead in days, 0 or more", v)
		}
	}
	if terms.LoadT > 0 && terms.StorageT > 0 && terms.LoadT > terms.StorageT {
		return nil, fmt.Errorf("sand order: one load is %g t, more than the %g t that can be stored: give a smaller load or more storage", terms.LoadT, terms.StorageT)
	}
	o := &Order{}
	for _, e := range p.Entries {
		mm := e.Operation.SandMM(e.SandMM)
		if mm <= 0 {
			continue
		}
		if n := len(o.Uses); n == 0 || o.Uses[n-1].Day != e.Day {
			o.Uses = append(o.Uses, Use{Day: e.Day})
		}
		u := &o.Uses[len(o.Uses)-1]
		u.SandMM, u.Tonnes = u.SandMM+mm, u.Tonnes+prices.Tonnes(mm)
		o.SandMM += mm
	}
	slices.SortFunc(o.Uses, func(a, b Use) int { return a.Day - b.Day })
	o.Tonnes = prices.Tonnes(o.SandMM)
	o.Losses = o.Tonnes * prices.Losses
	o.DryTonnes = o.SandMM / 1000 * prices.AreaM2 * prices.Density / 1000
	o.deliver(prices, terms)
	return o, nil
}

// deliver schedules the deliveries: when the stock does not reach for a use, sand comes for it and for as many of the
// uses after it as belong to the same batch and can be stored.
func (o *Order) deliver(prices *Prices, terms Terms) {
	stock := 0.0
	for i, u := range o.Uses {
		if stock < u.Tonnes-slight {
			want := o.batch(i, stock, terms)
			d := Delivery{Tonnes: want, Before: u.Day, Day: terms.day(u.Day)}
			on, given := terms.given(u.Day)
			if given {
				d.Day = on
			} else if len(terms.On) > 0 {
				o.Notes = append(o.Notes, fmt.Sprintf("no day of delivery lies before the work of %s: its sand is put down for %s", dateOf(u.Day), dateOf(d.Day)))
			}
			if terms.LoadT > 0 {
				d.Loads = int(math.Ceil(want/terms.LoadT - slight))
				d.Tonnes = float64(d.Loads) * terms.LoadT
			}
			d.Money = d.Tonnes * prices.SandPerTonne
			stock += d.Tonnes
			d.Stored = stock
			if terms.StorageT > 0 && stock > terms.StorageT+slight {
				d.Over = stock - terms.StorageT
			}
			if d.Over > 0 && given {
				o.Notes = append(o.Notes, fmt.Sprintf("the delivery of %s brings the sand on the course to %.1f t, %.1f t more than can be stored: give a day of delivery in between", dateOf(d.Day), stock, d.Over))
			} else if d.Over > 0 {
				o.Notes = append(o.Notes, fmt.Sprintf("the work of %s takes more sand than can be stored: %.1f t of the delivery go straight onto the greens, or come in parts", dateOf(u.Day), d.Over))
			}
			o.Deliveries = append(o.Deliveries, d)
			o.Ordered, o.Loads, o.Money = o.Ordered+d.Tonnes, o.Loads+d.Loads, o.Money+d.Money
		}
		stock -= u.Tonnes
	}
	o.Left = o.Ordered - o.Tonnes
	if math.Abs(o.Left) < slight {
		o.Left = 0
	}
}

// slight is a mass that is not worth a load, t.
const slight = 1e-6

// batch gives the sand wanted for the use i and those after it that are delivered with it.
func (o *Order) batch(i int, stock float64, terms Terms) float64 {
	want := o.Uses[i].Tonnes - stock
	if on, given := terms.given(o.Uses[i].Day); given {
		for _, next := range o.Uses[i+1:] {
			if other, _ := terms.given(next.Day); other != on {
				break
			}
			want += next.Tonnes
		}
		return want
	}
	for _, next := range o.Uses[i+1:] {
		if _, given := terms.given(next.Day); given {
			break
		}
		more := want + next.Tonnes
		whole := more
		if terms.LoadT > 0 {
			whole = math.Ceil(more/terms.LoadT-slight) * terms.LoadT
		}
		if terms.StorageT > 0 && stock+whole > terms.StorageT+slight ||
			terms.StorageT == 0 && monthOf(next.Day) != monthOf(o.Uses[i].Day) ||
			next.Day-o.Uses[i].Day > longestLying {
			break
		}
		want = more
	}
	return want
}

// longestLying is how long ahead of its use sand is ordered at most, d: what lies over a season gathers dust and weeds;
// common practice, no source.
const longestLying = 120

// given is the last day of delivery before work on a day; false where none is given.
func (t *Terms) given(use int) (day int, ok bool) {
	for _, d := range t.On {
		if d < use && (!ok || d > day) {
			day, ok = d, true
		}
	}
	return day, ok
}

// day gives the day sand comes for work on a day: a weekday on which the course is not closed.
func (t *Terms) day(use int) int {
	lead := t.Lead
	if lead == 0 {
		lead = usualLead
	}
	d := use - lead
	for range 60 {
		w := weekday(d)
		closed := slices.ContainsFunc(t.Closed, func(c Closed) bool { return d >= c.From && d <= c.Until })
		if w != time.Saturday && w != time.Sunday && !closed {
			break
		}
		d--
	}
	return d
}

func dateOf(day int) string { return time.Unix(int64(day)*86400, 0).UTC().Format("2 January 2006") }
