package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/growth"
	"underfoot/profile"
	"underfoot/season"
)

// SeasonAsk is what a season plan is asked for.
type SeasonAsk struct {
	From, Until underfoot.Date
	Bands       []SeasonBand        // empty: they follow from Direction
	Direction   string              // lower, hold or raise; empty: that of the findings
	Probability float64             // 0 for 0.8
	Sand        string              // id; empty for the topdressing sand of the course
	Operations  []season.Operation  // nil for the course's own catalogue
	Closed      []season.Closed     // beside those of the course
	Tournaments []season.Tournament // beside those of the course
	Caps        season.Caps
	DayWorth    float64 // 0 for [usualDayWorth]
	Hour        float64 // price of an hour of labour; 0 for [usualHour]

	// The plan may move a season's nitrogen to these [kg/ha]; both 0: it stays as planned, or as it was.
	NitrogenLow, NitrogenHigh float64
	Progress                  func(judged, most int, best *season.Found)
}

// SeasonBand is where a layer is wanted on a day, percent.
type SeasonBand struct {
	TopMM, BottomMM, Low, High float64
	On                         underfoot.Date // 0 for the last day of the plan
}

// Working defaults of a season plan, no source.
const (
	usualDayWorth = 150 // money a disturbed day is reckoned at
	usualHour     = 30  // money an hour of labour
	usualChance   = 0.8
	sandPrice     = 45 // money a tonne, where the sand has none
	sandLosses    = 0.03
)

// SeasonPlan is a season plan and what it was made from.
type SeasonPlan struct {
	Search   *season.Search
	Answer   *season.Answer
	Forecast *calibrate.Forecast // of the best or the nearest plan, at the end; nil without either
	Sand     underfoot.Sand
	// Direction is what the bands follow from: lower, hold or raise; empty where the bands were given.
	Direction string
	Gifts     []underfoot.Work // planned nitrogen the plan counts on
	Nitrogen  float64          // a season, where the plan moves it [kg/ha]; 0 where it stays
	Notes     []string
	verified  []verified // what the search had run on the whole already
	m         *Model
	fed       *feedings
}

// Season looks for the plan.
func (m *Model) Season(ctx context.Context, a SeasonAsk) (*SeasonPlan, error) {
	s := m.s
	if a.From <= underfoot.Date(m.Ensemble.Now) {
		return nil, underfoot.Errorf(underfoot.Invalid, "season: it would begin on %s, but the record runs to %s: begin after that day", a.From, underfoot.Date(m.Ensemble.Now))
	}
	if a.Until <= a.From {
		return nil, underfoot.Errorf(underfoot.Invalid, "season: it would end on %s, not after it begins on %s", a.Until, a.From)
	}
	out := &SeasonPlan{m: m, Sand: s.Sand, fed: newFeedings()}
	if a.Sand != "" {
		i := slices.IndexFunc(s.Records.Sands, func(x underfoot.Sand) bool { return x.ID == a.Sand })
		if i < 0 {
			return nil, underfoot.Errorf(underfoot.Invalid, "season: sand %q is not among the course's sands", a.Sand)
		}
		out.Sand = s.Records.Sands[i]
	}
	goal, err := m.goal(a)
	if err != nil {
		return nil, err
	}
	out.Direction, out.Notes = goal.direction, goal.notes
	if err := a.checkNitrogen(); err != nil {
		return nil, err
	}
	aim := season.Aim{Probability: a.Probability, Caps: a.Caps, DayWorth: a.DayWorth}
	if aim.Probability == 0 {
		aim.Probability = usualChance
	}
	if aim.DayWorth == 0 {
		aim.DayWorth = usualDayWorth
	}
	for _, b := range goal.bands {
		w := season.Wanted{Layer: calibrate.Layer{Top: b.TopMM, Bottom: b.BottomMM}, Low: b.Low / 100, High: b.High / 100, Day: int(cmp.Or(b.On, a.Until))}
		if w.Day <= int(a.From) || w.Day > int(a.Until) {
			return nil, underfoot.Errorf(underfoot.Invalid, "season: %s is wanted on %s: give a day after %s, when the plan begins, up to %s, when it ends", underfoot.LayerName(b.TopMM, b.BottomMM), b.On, a.From, a.Until)
		}
		for _, other := range aim.Wanted {
			if other.Layer == w.Layer && other.Day == w.Day {
				return nil, underfoot.Errorf(underfoot.Invalid, "season: %s has two bands on %s: give one", underfoot.LayerName(b.TopMM, b.BottomMM), underfoot.Date(w.Day))
			}
		}
		aim.Wanted = append(aim.Wanted, w)
		if len(a.Bands) == 0 {
			aim.OnTheWay = append(aim.OnTheWay, m.onTheWay(a, w)...)
		}
	}
	operations := a.Operations
	if operations == nil {
		if operations, err = s.OperationsUsed(); err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "season: %w", err)
		}
	}
	out.Notes = append(out.Notes, a.outside(m.Today)...)
	for _, w := range aim.OnTheWay {
		out.Notes = append(out.Notes, fmt.Sprintf("on the way, on %s, %s is kept between %.1f and %.1f %%: the chance counts that too", underfoot.Date(w.Day), underfoot.LayerName(w.Layer.Top, w.Layer.Bottom), 100*w.Low, 100*w.High))
	}
	prices := out.prices(a)
	for _, n := range m.nitrogens(a) {
		futures, err := m.records.futuresWith(n.gifts, int(a.Until), modelFutures)
		if err != nil {
			return nil, err
		}
		search := &season.Search{
			Ensemble: m.Ensemble, Futures: futures, Fixed: m.fixed(0, int(a.From)), Operations: operations, Calendar: m.calendar(a), Prices: prices, Aim: aim,
			Seed: modelSeed, Progress: a.Progress,
		}
		whole := &SeasonPlan{m: m, Search: search, Sand: out.Sand}
		search.Verify = func(plan season.Plan) (float64, []float64, error) {
			r, err := whole.Rehearse(plan)
			if err != nil {
				return 0, nil, err
			}
			whole.verified = append(whole.verified, verified{search, r})
			return r.Probability, r.Each, nil
		}
		answer, err := search.Find(ctx)
		if err != nil {
			return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
		}
		if out.Answer == nil || better(answer, out.Answer) {
			out.Search, out.Answer, out.Gifts, out.Nitrogen, out.verified = search, answer, n.planned, n.total, whole.verified
		}
	}
	if best := out.Proposed(); best != nil {
		r, err := out.Rehearse(best.Plan)
		if err != nil {
			return nil, err
		}
		out.Forecast = r.Forecast.On([]int{int(a.Until)})
	}
	return out, nil
}

// Outlook forecasts a plan on all members and greens.
func (p *SeasonPlan) Outlook(plan season.Plan, days []int) (*calibrate.Forecast, error) {
	m := p.m
	ask := calibrate.Ask{Days: days, Seed: modelSeed, Futures: p.Search.Futures, Workers: modelWorkers}
	events := plan.Events(p.Search.Prices.Density)
	for i, g := range m.records.course.Greens {
		work := slices.Concat(g.Work, m.fixed(i, p.Search.Calendar.From), events)
		slices.SortStableFunc(work, func(a, b profile.Event) int { return cmp.Compare(a.Day, b.Day) })
		ask.Work = append(ask.Work, work)
	}
	f, err := m.Ensemble.Forecast(ask)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "%w", err)
	}
	return f, nil
}

// fixed is a green's planned work between the record's end and the plan's beginning.
func (m *Model) fixed(green, from int) []profile.Event {
	var list []profile.Event
	for _, e := range m.records.planned[green] {
		if e.Day > m.Ensemble.Now && e.Day < from {
			list = append(list, e)
		}
	}
	return list
}

// nitrogen is one way of feeding the greens in the time of a plan.
type nitrogen struct {
	total   float64 // kg/ha a season; 0 for as planned
	gifts   []growth.Gift
	planned []underfoot.Work
}

func (a *SeasonAsk) checkNitrogen() error {
	for _, v := range []float64{a.NitrogenLow, a.NitrogenHigh} {
		if !(v >= 0 && v <= 1000) {
			return underfoot.Errorf(underfoot.Invalid, "season: nitrogen is %g kg/ha a season: give 0 to 1000", v)
		}
	}
	if a.NitrogenHigh > 0 && a.NitrogenLow > a.NitrogenHigh {
		return underfoot.Errorf(underfoot.Invalid, "season: the least nitrogen, %g kg/ha, is above the most, %g kg/ha", a.NitrogenLow, a.NitrogenHigh)
	}
	return nil
}

// nitrogens lists the ways of feeding a plan may choose from: as planned first, so that it stays unless moving it helps.
func (m *Model) nitrogens(a SeasonAsk) []nitrogen {
	list := []nitrogen{{gifts: m.records.gifts, planned: m.plannedGifts(a)}}
	for _, total := range []float64{a.NitrogenLow, a.NitrogenHigh} {
		if total > 0 {
			list = append(list, m.fed(a, total))
		}
	}
	return list
}

// fed gives a season's nitrogen as six equal monthly gifts in each year of the plan, from the fourth month of the season
// on, instead of what is planned.
func (m *Model) fed(a SeasonAsk, total float64) nitrogen {
	n := nitrogen{total: total}
	for _, g := range m.records.gifts {
		if g.Day < int(a.From) {
			n.gifts = append(n.gifts, g)
		}
	}
	first := time.April
	if m.records.input.South {
		first = time.October
	}
	for y := a.From.Year() - 1; y <= a.Until.Year(); y++ {
		for k := range giftsAYear {
			d := underfoot.MakeDate(y, first+time.Month(k), 8)
			if d < a.From || d > a.Until {
				continue
			}
			n.gifts = append(n.gifts, growth.Gift{Day: int(d), KgHa: total / giftsAYear})
			n.planned = append(n.planned, underfoot.Work{Course: m.s.Records.Course.ID, Date: d, Status: "planned", Kind: "nitrogen", NitrogenKgHa: underfoot.Some(total / giftsAYear)})
		}
	}
	return n
}

// better says whether an answer is to be preferred to another.
func better(a, b *season.Answer) bool {
	switch {
	case a.Best != nil && b.Best != nil:
		return a.Best.Weight < b.Best.Weight
	case a.Best != nil || b.Best != nil:
		return a.Best != nil
	case a.Nearest != nil && b.Nearest != nil:
		return a.Nearest.Probability > b.Nearest.Probability
	}
	return a.Nearest != nil
}

// plannedGifts is the nitrogen planned in the time of the plan.
func (m *Model) plannedGifts(a SeasonAsk) []underfoot.Work {
	var list []underfoot.Work
	for _, w := range m.s.Records.Work {
		if w.Planned() && w.NitrogenKgHa.Known && w.Date >= a.From && w.Date <= a.Until {
			list = append(list, w)
		}
	}
	return list
}

// calendar gives when work can be done, growth as it usually is.
func (m *Model) calendar(a SeasonAsk) *season.Calendar {
	from := int(a.From)
	usual := m.records.climate.Mean(from, int(a.Until))
	index := make([]float64, len(usual.Mean))
	for i, t := range usual.Mean {
		index[i] = growth.Potential(t, m.records.input.Habit)
	}
	closed, tournaments := m.s.closings(a.From, a.Until)
	return &season.Calendar{
		From: from, Until: int(a.Until), Closed: slices.Concat(a.Closed, closed), Tournaments: slices.Concat(a.Tournaments, tournaments), Weekday: time.Monday, South: m.records.input.South,
		Index: func(day int) float64 { return index[min(max(day-from, 0), len(index)-1)] },
	}
}

func (p *SeasonPlan) prices(a SeasonAsk) *season.Prices {
	s := p.m.s
	prices := &season.Prices{
		SandPerTonne: p.Sand.PricePerT.Or(sandPrice), Moisture: p.Sand.MoisturePercent.Or(0) / 100,
		Density: p.Sand.BulkDensity.Or(float64(DefaultSandDensity)), Losses: sandLosses, Hour: a.Hour, AreaM2: s.AreaM2, Currency: p.Sand.Currency,
	}
	if prices.Hour == 0 {
		prices.Hour = usualHour
	}
	if !p.Sand.PricePerT.Known {
		p.Notes = append(p.Notes, fmt.Sprintf("the sand has no price: %d a tonne is reckoned", sandPrice))
	}
	if prices.AreaM2 == 0 {
		const usual = 500 // m² a green; common practice, no source
		prices.AreaM2 = usual * float64(len(s.Greens))
		p.Notes = append(p.Notes, fmt.Sprintf("no green has an area: %d m² each are reckoned", usual))
	}
	return prices
}

// onTheWay keeps a layer whose band follows from the direction from straying before the end: at the end of each earlier
// season it is no further from its band than a twentieth of what it holds now (working default, no source), so that a
// plan does not let the surface go for a season to put it right in the next.
func (m *Model) onTheWay(a SeasonAsk, end season.Wanted) []season.Wanted {
	layer := m.s.Layer(end.Layer.Top, end.Layer.Bottom)
	if layer == nil {
		return nil
	}
	const slack = 0.05
	now := float64(layer.Last().Mean) / 100
	end.Low, end.High = min(end.Low, now*(1-slack)), max(end.High, now*(1+slack))
	var list []season.Wanted
	for n := 1; ; n++ {
		day := yearsOn(a.Until, -n)
		if day <= a.From.Add(90) {
			return list
		}
		end.Day = int(day)
		list = append(list, end)
	}
}
