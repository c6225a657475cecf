package app

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/season"
	"underfoot/sieve"
)

// CrewDay is the work of one day as the crew needs it.
type CrewDay struct {
	Date  underfoot.Date `json:"-"`
	Day   string         `json:"date"`
	Tasks []CrewTask     `json:"tasks"`
}

// CrewTask is one piece of work on all greens. Machine settings are left to the maker's manual.
type CrewTask struct {
	What      string      `json:"what"`
	Kind      string      `json:"kind"`
	Setup     string      `json:"setup"` // of tines, blades or injection, in words
	SpreadMM  float64     `json:"spread_mm"`
	FillMM    float64     `json:"fill_mm"`  // into holes or slits
	Tonnes    float64     `json:"t"`        // sand to have ready, as delivered, losses included
	Loads     float64     `json:"loads"`    // of a lorry; 0 where a load is not known
	Hours     float64     `json:"labour_h"` // of all greens
	Disturbed float64     `json:"disturbed_days"`
	Greens    []CrewGreen `json:"greens"`
}

// CrewGreen is the sand of one green, as it lies in the hopper.
type CrewGreen struct {
	Green    string  `json:"green"`
	Title    string  `json:"name"`
	AreaM2   float64 `json:"area_m2"`
	SpreadKg float64 `json:"spread_kg"` // moist
	FillKg   float64 `json:"fill_kg"`   // moist
	Litres   float64 `json:"litres"`    // of both
}

// CrewSheet gives the work of a plan day by day with the amounts of each green.
func (p *SeasonPlan) CrewSheet(plan season.Plan) []CrewDay {
	var days []CrewDay
	for _, e := range plan.Entries {
		d := underfoot.Date(e.Day)
		if n := len(days); n == 0 || days[n-1].Date != d {
			days = append(days, CrewDay{Date: d, Day: d.String()})
		}
		last := &days[len(days)-1]
		last.Tasks = append(last.Tasks, p.task(e))
	}
	return days
}

func (p *SeasonPlan) task(e season.Entry) CrewTask {
	o, prices := e.Operation, p.Search.Prices
	one := season.Plan{Entries: []season.Entry{e}}
	cost := one.Cost(prices, p.Search.Calendar)
	t := CrewTask{
		What: o.Name, Kind: string(o.Kind), Setup: setup(o), SpreadMM: e.SandMM, FillMM: o.SandMM(e.SandMM) - e.SandMM, Tonnes: cost.SandTonnes,
		Hours: cost.Hours, Disturbed: cost.Disturbed,
	}
	if p.Sand.LoadT.Known {
		t.Loads = t.Tonnes / p.Sand.LoadT.Value
	}
	moist := prices.Density / 1000 * (1 + prices.Moisture) // kg of moist sand for a litre
	for _, g := range p.greens() {
		t.Greens = append(t.Greens, CrewGreen{
			Green: g.ID, Title: g.Title(), AreaM2: g.AreaM2.Value, SpreadKg: t.SpreadMM * g.AreaM2.Value * moist, FillKg: t.FillMM * g.AreaM2.Value * moist,
			Litres: (t.SpreadMM + t.FillMM) * g.AreaM2.Value,
		})
	}
	return t
}

// greens lists the greens planned for; those without an area share what is left of the area reckoned with.
func (p *SeasonPlan) greens() []underfoot.Green {
	list := slices.Clone(p.m.s.Greens)
	left, unsized := p.Search.Prices.AreaM2, 0
	for _, g := range list {
		left -= g.AreaM2.Or(0)
		if !g.AreaM2.Known {
			unsized++
		}
	}
	for i := range list {
		if !list[i].AreaM2.Known {
			list[i].AreaM2 = underfoot.Some(max(0, left) / float64(unsized))
		}
	}
	return list
}

// setup says how the machine is set up.
func setup(o *season.Operation) string {
	passes := func(n int) string {
		if n > 1 {
			return fmt.Sprintf(", %d passes", n)
		}
		return ""
	}
	switch o.Kind {
	case season.HollowCore, season.SolidTine:
		what, spacing := "hollow tines", fmt.Sprintf("%g × %g mm", float64(o.Tines.Along), float64(max(o.Tines.Across, o.Tines.Along)))
		if o.Kind == season.SolidTine {
			what = "solid tines"
		}
		if o.Tines.Across > 0 {
			spacing = fmt.Sprintf("%g × %g mm", float64(o.Tines.Along), float64(o.Tines.Across))
		}
		return fmt.Sprintf("%s of %g mm at %s, %g mm deep%s", what, float64(o.Tines.Diameter), spacing, o.Depth, passes(o.Tines.Passes))
	case season.Scarify:
		return fmt.Sprintf("blades of %g mm at %g mm, %g mm deep%s", float64(o.Blades.Width), float64(o.Blades.Spacing), o.Depth, passes(o.Blades.Passes))
	case season.InjectSand:
		return fmt.Sprintf("injected to %g mm", o.Depth)
	}
	return ""
}

// Summary is the task in a line: "Topdressing 0.5 mm, 3.2 t".
func (t *CrewTask) Summary() string {
	what := strings.ToUpper(t.What[:1]) + t.What[1:]
	switch {
	case t.SpreadMM > 0 && t.FillMM > 0:
		return fmt.Sprintf("%s, filled, and %.2g mm of sand, %.1f t", what, t.SpreadMM, t.Tonnes)
	case t.FillMM > 0:
		return fmt.Sprintf("%s, filled, %.1f t", what, t.Tonnes)
	case t.SpreadMM > 0:
		return fmt.Sprintf("%s %.2g mm, %.1f t", what, t.SpreadMM, t.Tonnes)
	}
	return what
}

// Description is what stands below the summary: the set-up, and the sand of each green.
func (t *CrewTask) Description() string {
	var lines []string
	if t.Setup != "" {
		lines = append(lines, "Set-up: "+t.Setup+". Settings by the maker’s manual.")
	}
	if t.Tonnes > 0 {
		lines = append(lines, "Moist sand for each green:")
		for _, g := range t.Greens {
			line := fmt.Sprintf("%s: %.0f kg", g.Title, g.SpreadKg+g.FillKg)
			if g.SpreadKg > 0 && g.FillKg > 0 {
				line += fmt.Sprintf(" (%.0f kg to fill, %.0f kg on top)", g.FillKg, g.SpreadKg)
			}
			lines = append(lines, line+fmt.Sprintf(", %.0f L", g.Litres))
		}
	}
	if t.Hours > 0 {
		lines = append(lines, fmt.Sprintf("About %.0f hours of work.", t.Hours))
	}
	for _, c := range season.Cautions() {
		if c.Step == season.WithSand && t.Tonnes > 0 || c.Step == season.WithMachines && t.Setup != "" {
			lines = append(lines, c.Text)
		}
	}
	return strings.Join(lines, "\n")
}

// Order works out the sand to buy for a plan. storage and lead: [season.Terms].
func (p *SeasonPlan) Order(plan season.Plan, storageT float64, lead int) (*season.Order, error) {
	return p.OrderOn(plan, storageT, lead, nil)
}

// OrderOn is [SeasonPlan.Order] with the days sand comes on given; none for days that follow from storage and lead.
func (p *SeasonPlan) OrderOn(plan season.Plan, storageT float64, lead int, on []underfoot.Date) (*season.Order, error) {
	terms := season.Terms{LoadT: p.Sand.LoadT.Or(0), StorageT: storageT, Lead: lead, Closed: p.Search.Calendar.Closed}
	for _, d := range on {
		terms.On = append(terms.On, int(d))
	}
	o, err := plan.Order(p.Search.Prices, terms)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	if o.Tonnes > 0 && !p.Sand.LoadT.Known {
		o.Notes = append(o.Notes, "the sand has no load: it is ordered to the tonne")
	}
	return o, nil
}

// WriteOrder writes the deliveries of an order as CSV.
func (p *SeasonPlan) WriteOrder(w io.Writer, o *season.Order) error {
	out := csv.NewWriter(w)
	out.Write([]string{"date", "sand", "loads", "delivered_t", "price_per_t", "cost", "currency", "for_work_from", "stored_t"})
	number := func(v, parts float64) string { return underfoot.FormatNumber(rounded(v, parts)) }
	for _, d := range o.Deliveries {
		loads := ""
		if d.Loads > 0 {
			loads = strconv.Itoa(d.Loads)
		}
		out.Write([]string{
			underfoot.Date(d.Day).String(), p.Sand.ID, loads, number(d.Tonnes, 1000), number(p.Search.Prices.SandPerTonne, 100), number(d.Money, 100),
			p.Sand.Currency, underfoot.Date(d.Before).String(), number(d.Stored, 1000),
		})
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("writing the sand order: %w", err)
	}
	return nil
}

// Grains says how the sand lies to what it is put on, as far as sieve tables tell: the ash of the layer at the surface
// and the root zone. The first sentence is the verdict.
func (p *SeasonPlan) Grains() []string {
	m := p.m.s.Grains().Suits(p.Sand.ID)
	if m.Fit == sieve.NotKnown {
		return m.Says
	}
	return append([]string{"Beside what it is put on, by sieving: " + string(m.Fit) + "."}, m.Says...)
}
