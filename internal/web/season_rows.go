package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// seasonRows is the work of a plan as it is typed: parallel lists of days, operations and amounts in the address.
type seasonRows struct {
	date, op, mm []string
	nitrogen     string // moved to, kg/ha a season; empty: as planned in the log
	edited       bool   // typed, not as it was found
	errors       map[string]string
	plan         season.Plan
	at           []int // row of each entry of plan
}

const mostRows = 80

// readRows takes the rows from an address; without any they are those of a plan.
func readRows(q url.Values, p *app.SeasonPlan) *seasonRows {
	r := &seasonRows{errors: map[string]string{}, nitrogen: nitrogenText(p.Nitrogen)}
	if q.Has("nitrogen") {
		r.nitrogen = strings.TrimSpace(q.Get("nitrogen"))
	}
	if found := p.Proposed(); q.Get("edited") == "" {
		if found != nil {
			r.set(found.Plan)
		}
		return r
	}
	r.edited = true
	dates, ops, mms := slices.Clone(q["date"]), q["op"], q["mm"]
	n := min(len(dates), len(ops), len(mms), mostRows)
	remove := -1
	if i, err := strconv.Atoi(q.Get("remove")); err == nil {
		remove = i
	}
	var moved, days int
	if _, err := fmt.Sscanf(q.Get("move"), "%d %d", &moved, &days); err != nil || max(days, -days) > 366 {
		moved = -1
	}
	for i := range n {
		if d, err := underfoot.ParseDate(dates[i]); i == moved && err == nil {
			dates[i] = d.Add(days).String()
		}
		if i == remove || dates[i] == "" && ops[i] == "" && mms[i] == "" {
			continue
		}
		r.date, r.op, r.mm = append(r.date, strings.TrimSpace(dates[i])), append(r.op, ops[i]), append(r.mm, strings.TrimSpace(mms[i]))
	}
	return r
}

// set takes the rows from a plan.
func (r *seasonRows) set(plan season.Plan) {
	for _, e := range plan.Entries {
		r.date, r.op = append(r.date, underfoot.Date(e.Day).String()), append(r.op, e.Operation.ID)
		r.mm = append(r.mm, underfoot.FormatNumber(roundTo(e.SandMM, 3)))
	}
}

func nitrogenText(total float64) string {
	if total == 0 {
		return ""
	}
	return underfoot.FormatNumber(roundTo(total, 3))
}

// fed is the plan with the nitrogen as typed.
func (r *seasonRows) fed(p *app.SeasonPlan) *app.SeasonPlan {
	if r.nitrogen == nitrogenText(p.Nitrogen) {
		return p
	}
	total := 0.0
	if r.nitrogen != "" {
		var err error
		if total, err = underfoot.ParseNumber(r.nitrogen); err != nil {
			r.errors["nitrogen"] = err.Error()
			return p
		}
		if !(total >= 1 && total <= 1000) {
			r.errors["nitrogen"] = "1 to 1000 kg/ha a season can be given; leave it empty for nitrogen as it is planned"
			return p
		}
	}
	fed, err := p.Feeding(total)
	if err != nil {
		r.errors["nitrogen"] = strings.TrimPrefix(err.Error(), "plan: ")
		return p
	}
	return fed
}

// read turns the rows into a plan; errors are by row and field.
func (r *seasonRows) read(p *app.SeasonPlan) {
	for i := range r.date {
		fail := func(field, format string, args ...any) {
			r.errors[fmt.Sprintf("%s-%d", field, i)] = fmt.Sprintf(format, args...)
		}
		d, err := underfoot.ParseDate(r.date[i])
		switch {
		case r.date[i] == "":
			fail("date", "a day is needed")
		case err != nil:
			fail("date", "%v", err)
		case d < p.From() || d > p.Until():
			fail("date", "the plan runs from %s to %s", page.PlainDay(p.From().Time()), page.PlainDay(p.Until().Time()))
		}
		o := p.Operation(r.op[i])
		if o == nil {
			fail("op", "choose what is done")
		}
		mm, err := 0.0, error(nil)
		if r.mm[i] != "" {
			mm, err = underfoot.ParseNumber(r.mm[i])
		}
		switch {
		case err != nil:
			fail("mm", "%v", err)
		case !(mm >= 0 && mm <= 20):
			fail("mm", "0 to 20 mm can be given")
		case o != nil && mm == 0 && (o.Kind == season.Topdress || o.Kind == season.InjectSand):
			fail("mm", "how much sand?")
		}
		if o != nil {
			r.plan.Entries = append(r.plan.Entries, season.Entry{Day: int(d), Operation: o, SandMM: mm})
			r.at = append(r.at, i)
		}
	}
}

// query is the rows as an address holds them.
func (r *seasonRows) query(q url.Values) {
	q.Set("edited", "1")
	q["date"], q["op"], q["mm"] = r.date, r.op, r.mm
	q.Set("nitrogen", r.nitrogen)
}
