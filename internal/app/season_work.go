package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"

	"underfoot"
	"underfoot/coring"
	"underfoot/internal/exchange"
	"underfoot/internal/ical"
	"underfoot/season"
)

// Work puts a plan down as planned entries of the log, in order of days: the plan's own work, and the nitrogen it counts
// on. The same work on the same day carries the same name however often it is planned.
func (p *SeasonPlan) Work(plan season.Plan) []underfoot.Work {
	seen := map[string]int{}
	name := func(d underfoot.Date, what string) string {
		id := p.course().ID + "-season-" + d.String() + "-" + slug(what)
		if seen[id]++; seen[id] > 1 {
			id = fmt.Sprintf("%s-%d", id, seen[id])
		}
		return id
	}
	var list []underfoot.Work
	for _, e := range plan.Entries {
		w := p.entry(e)
		w.ID = name(w.Date, e.Operation.ID)
		list = append(list, w)
	}
	for _, w := range p.Gifts {
		if w.ID == "" {
			w.ID = name(w.Date, "nitrogen")
		}
		list = append(list, w)
	}
	slices.SortStableFunc(list, func(a, b underfoot.Work) int { return int(a.Date - b.Date) })
	return list
}

func (p *SeasonPlan) course() *underfoot.Course { return &p.m.s.Records.Course }

// CostOf gives what one piece of work takes by itself.
func (p *SeasonPlan) CostOf(e season.Entry) season.Cost {
	one := season.Plan{Entries: []season.Entry{e}}
	return one.Cost(p.Search.Prices, p.Search.Calendar)
}

// entry puts one piece of work down without a name.
func (p *SeasonPlan) entry(e season.Entry) underfoot.Work {
	o := e.Operation
	cost := p.CostOf(e)
	w := underfoot.Work{
		Course: p.course().ID, Date: underfoot.Date(e.Day), Status: "planned", Kind: string(o.Kind), SandMM: underfoot.Some(rounded(e.SandMM, 1000)),
		Cost: underfoot.Some(rounded(cost.Money(), 100)), LabourH: underfoot.Some(rounded(cost.Hours, 10)), Note: o.Name,
	}
	if o.SandMM(e.SandMM) > 0 {
		w.Sand = p.Sand.ID
	}
	switch o.Kind {
	case season.HollowCore, season.SolidTine:
		w.TineDiameterMM, w.SpacingAlongMM = underfoot.Some(float64(o.Tines.Diameter)), underfoot.Some(float64(o.Tines.Along))
		w.Pattern, w.CoresRemoved = "square", "yes"
		if o.Tines.Across > 0 {
			w.SpacingAcrossMM = underfoot.Some(float64(o.Tines.Across))
		}
		if o.Tines.Pattern == coring.Triangular {
			w.Pattern = "triangular"
		}
		if o.Kind == season.SolidTine {
			w.CoresRemoved = "no"
		}
		w.Passes, w.DepthMM, w.Backfill = underfoot.Some(max(1, o.Tines.Passes)), underfoot.Some(o.Depth), underfoot.Some(o.Fill)
	case season.Scarify:
		w.BladeWidthMM, w.BladeSpacingMM = underfoot.Some(float64(o.Blades.Width)), underfoot.Some(float64(o.Blades.Spacing))
		w.Passes, w.DepthMM, w.Backfill, w.CoresRemoved = underfoot.Some(max(1, o.Blades.Passes)), underfoot.Some(o.Depth), underfoot.Some(o.Fill), "yes"
	case season.InjectSand:
		w.DepthMM = underfoot.Some(o.Depth)
	}
	return w
}

// rounded rounds to a part of one, so that entries can be read.
func rounded(v, parts float64) float64 { return float64(int64(v*parts+0.5)) / parts }

// slug makes a text fit for a name.
func slug(s string) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, s), "-")
}

// WriteWork writes a plan as rows of work.csv.
func (p *SeasonPlan) WriteWork(w io.Writer, plan season.Plan) error {
	list := p.Work(plan)
	rows := make([]underfoot.Record, len(list))
	for i := range list {
		rows[i] = &list[i]
	}
	return exchange.WriteTable(w, underfoot.WorkLog, rows)
}

// WorkRow is an entry of the log as JSON: the columns of work.csv under their names, null where not known.
type WorkRow underfoot.Work

// MarshalJSON writes the columns in their order.
func (r WorkRow) MarshalJSON() ([]byte, error) {
	w := underfoot.Work(r)
	var b bytes.Buffer
	b.WriteByte('{')
	for i, c := range underfoot.WorkLog.Columns {
		value := underfoot.WorkLog.Value(&w, i)
		if value == nil && c.Kind == underfoot.Text {
			value = ""
		}
		text, err := json.Marshal(value)
		if err != nil {
			return nil, fmt.Errorf("writing %s of work %s: %w", c.Name, w.ID, err)
		}
		if i > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "%q:%s", c.Name, text)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

func workRows(list []underfoot.Work) []WorkRow {
	rows := make([]WorkRow, len(list))
	for i, w := range list {
		rows[i] = WorkRow(w)
	}
	return rows
}

// WriteCalendar writes a plan as a calendar file, an all-day event for each entry, with the amounts of every green.
func (p *SeasonPlan) WriteCalendar(w io.Writer, plan season.Plan, now time.Time) error {
	c := ical.Calendar{Product: "-//Underfoot//Season plan//EN", Name: "Greens: " + p.course().Title(), Stamp: now}
	list := p.Work(plan)
	for _, day := range p.CrewSheet(plan) {
		for _, task := range day.Tasks {
			e := ical.Event{Day: day.Date.Time(), Summary: task.Summary(), Description: task.Description(), Categories: []string{task.Kind}}
			if i := slices.IndexFunc(list, func(w underfoot.Work) bool {
				return w.Date == day.Date && w.Kind == task.Kind && w.Note == task.What
			}); i >= 0 {
				e.UID = list[i].ID + "@underfoot"
				list = slices.Delete(list, i, i+1)
			}
			c.Events = append(c.Events, e)
		}
	}
	for _, g := range list { // nitrogen
		e := ical.Event{UID: g.ID + "@underfoot", Day: g.Date.Time(), Categories: []string{g.Kind}}
		e.Summary = fmt.Sprintf("Nitrogen %s kg/ha", underfoot.FormatNumber(rounded(g.NitrogenKgHa.Value, 10)))
		e.Description = "Planned in the log; the season plan counts on it. Follow the label, local rules on nutrients and water, and the advice of a licensed person."
		if g.Green != "" {
			e.Summary += ", " + p.m.s.GreenTitle(g.Green)
		}
		c.Events = append(c.Events, e)
	}
	slices.SortStableFunc(c.Events, func(a, b ical.Event) int { return a.Day.Compare(b.Day) })
	return c.Write(w)
}
