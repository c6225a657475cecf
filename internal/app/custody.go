package app

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underfoot"
)

var custodySteps = []string{"cut", "bagged", "sent", "received", "weighed", "burnt", "reported"}

// CustodySteps returns the steps of a composite from the green to the report, in their order.
func CustodySteps() []string { return slices.Clone(custodySteps) }

// sentStep is the position of "sent" among the steps.
const sentStep = 2

// longestPost is how many days a parcel may be on its way before it is asked after: common practice, no source.
const longestPost = 10

// CustodyState says how one step of one composite stands.
type CustodyState string

// The states.
const (
	CustodyRecorded CustodyState = "recorded" // someone wrote it down
	CustodyImplied  CustodyState = "implied"  // nobody did, and other records show that it happened
	CustodyGap      CustodyState = "gap"      // a later step happened: this one must have, and nobody wrote it down
	CustodyBehind   CustodyState = "behind"   // other composites of the round are past it
	CustodyOpen     CustodyState = "open"     // still to come
)

// CustodyCell is one step of one composite.
type CustodyCell struct {
	Step  string
	State CustodyState
	Date  underfoot.Date // 0 where no day is known
	By    string
	Note  string
	Fault string // what is out of order about it, as a sentence
}

// Happened says whether the step is known to have been taken.
func (c *CustodyCell) Happened() bool {
	return c.State == CustodyRecorded || c.State == CustodyImplied
}

// CustodyRow is the way of one composite.
type CustodyRow struct {
	Sample underfoot.Sample
	Green  string // as people say it
	Cells  []CustodyCell
	Next   string // the first step that is still to come; empty when all are past
}

// CustodyRound is the chain of custody of a round.
type CustodyRound struct {
	Label  string
	Date   underfoot.Date
	Kept   bool // some step of it was written down
	Rows   []CustodyRow
	Behind []string // what stands out: composites that are missing from a step others have passed
	Gaps   []string // steps that happened and nobody wrote down
	Faults []string // dates out of order
}

// Custody is the chain of custody of every round, the latest first. A step without a record is implied by what shows
// it: a dated sample was cut, a dry mass means weighed, an ash mass burnt, a result reported. Gaps and composites left
// behind are told only of a round whose custody was kept at all.
func Custody(rs *underfoot.Records, today underfoot.Date) []CustodyRound {
	w := witnessesOf(rs)
	var out []CustodyRound
	for _, r := range FieldRounds(rs) {
		c := CustodyRound{Label: r.Label, Date: r.Date}
		names := r.greenNames()
		for _, s := range r.Composites {
			row := CustodyRow{Sample: s, Green: names[s.Green]}
			for _, step := range custodySteps {
				row.Cells = append(row.Cells, w.cell(s, step))
			}
			c.Kept = c.Kept || slices.ContainsFunc(row.Cells, func(c CustodyCell) bool { return c.State == CustodyRecorded })
			c.Rows = append(c.Rows, row)
		}
		c.judge(today)
		out = append(out, c)
	}
	return out
}

// witnesses are the records that show a step of a composite.
type witnesses struct {
	recorded map[[2]string]underfoot.Custody
	taken    map[string]bool
	weighed  map[string]underfoot.Date // the day of the furnace run, 0 where it is not known
	burnt    map[string]underfoot.Date
	reported map[string]bool
}

func witnessesOf(rs *underfoot.Records) *witnesses {
	w := &witnesses{
		recorded: map[[2]string]underfoot.Custody{}, taken: map[string]bool{}, weighed: map[string]underfoot.Date{}, burnt: map[string]underfoot.Date{},
		reported: map[string]bool{},
	}
	for _, c := range rs.Custodies {
		w.recorded[[2]string{c.Sample, c.Step}] = c
	}
	for _, s := range rs.Samples {
		w.taken[s.ID] = true
	}
	days := map[string]underfoot.Date{}
	for _, r := range rs.Runs {
		days[r.ID] = r.Date.Or(0)
	}
	for i := range rs.Weighings {
		x := &rs.Weighings[i]
		if !x.OfSample() {
			continue
		}
		if x.DryG.Known {
			w.weighed[x.Sample] = max(w.weighed[x.Sample], days[x.FurnaceRun])
		}
		if x.AshG.Known {
			w.burnt[x.Sample] = max(w.burnt[x.Sample], days[x.FurnaceRun])
		}
	}
	for _, r := range rs.Results {
		w.reported[r.Sample] = true
	}
	return w
}

func (w *witnesses) cell(s underfoot.Sample, step string) CustodyCell {
	c := CustodyCell{Step: step, State: CustodyOpen}
	if r, ok := w.recorded[[2]string{s.ID, step}]; ok {
		c.State, c.Date, c.By, c.Note = CustodyRecorded, r.Date, r.By, r.Note
		return c
	}
	shown := false
	switch step {
	case "cut":
		if shown = w.taken[s.ID]; shown {
			c.Date = s.Date
		}
	case "weighed":
		c.Date, shown = w.weighed[s.ID]
	case "burnt":
		c.Date, shown = w.burnt[s.ID]
	case "reported":
		_, burnt := w.burnt[s.ID]
		shown = burnt || w.reported[s.ID] // the result is in the records
	}
	if shown {
		c.State = CustodyImplied
	}
	return c
}

// judge finds what is missing or out of order.
func (r *CustodyRound) judge(today underfoot.Date) {
	passed := make([]int, len(custodySteps)) // composites that took the step, or a later one
	for i := range r.Rows {
		for k := range custodySteps {
			if r.Rows[i].last() >= k {
				passed[k]++
			}
		}
	}
	behind := make([][]string, len(custodySteps))
	gaps := make([][]string, len(custodySteps))
	for i := range r.Rows {
		row := &r.Rows[i]
		last := row.last()
		for k := range row.Cells {
			c := &row.Cells[k]
			if c.Happened() {
				continue
			}
			switch {
			case k < last && r.Kept:
				c.State = CustodyGap
				gaps[k] = append(gaps[k], row.Sample.ID)
			case k > last && passed[k] > 0 && r.Kept:
				c.State = CustodyBehind
				if k == last+1 {
					behind[k] = append(behind[k], row.Sample.ID)
				}
			}
		}
		if last+1 < len(custodySteps) {
			row.Next = custodySteps[last+1]
		}
		r.order(row, today)
	}
	var late []string
	for i := range r.Rows {
		if sent := r.Rows[i].Cells[sentStep]; r.Rows[i].last() == sentStep && sent.Date != 0 && today-sent.Date > longestPost {
			late = append(late, r.Rows[i].Sample.ID)
		}
	}
	if len(late) > 0 {
		r.Behind = append(r.Behind, fmt.Sprintf("Sent more than %d days ago and not received: %s", longestPost, someOf(late)))
	}
	for k, step := range custodySteps {
		if n := len(behind[k]); n > 0 {
			r.Behind = append(r.Behind, fmt.Sprintf("Not %s, though %s: %s", step, counted(passed[k], "other is", "others are"), someOf(behind[k])))
		}
		if n := len(gaps[k]); n > 0 {
			r.Gaps = append(r.Gaps, fmt.Sprintf("%s was not written down for %s: %s", strings.ToUpper(step[:1])+step[1:], counted(n, "composite", "composites"), someOf(gaps[k])))
		}
	}
}

// last is the position of the last step that happened, −1 for none.
func (r *CustodyRow) last() int {
	for k := len(r.Cells) - 1; k >= 0; k-- {
		if r.Cells[k].Happened() {
			return k
		}
	}
	return -1
}

// order marks dates that run backwards or lie ahead.
func (r *CustodyRound) order(row *CustodyRow, today underfoot.Date) {
	before := -1
	for k := range row.Cells {
		c := &row.Cells[k]
		if !c.Happened() || c.Date == 0 {
			continue
		}
		switch {
		case c.State == CustodyRecorded && c.Date > today:
			c.Fault = fmt.Sprintf("%s on %s, which is still to come", c.Step, c.Date)
		case before >= 0 && c.Date < row.Cells[before].Date && (c.State == CustodyRecorded || row.Cells[before].State == CustodyRecorded):
			c.Fault = fmt.Sprintf("%s on %s, before it was %s on %s", c.Step, c.Date, custodySteps[before], row.Cells[before].Date)
		}
		if c.Fault != "" {
			r.Faults = append(r.Faults, row.Sample.ID+": "+c.Fault)
		}
		if before < 0 || c.Date >= row.Cells[before].Date {
			before = k
		}
	}
}

// someOf lists names, and counts those beyond the sixth.
func someOf(names []string) string {
	if len(names) > 6 {
		return strings.Join(names[:6], ", ") + fmt.Sprintf(" and %d more", len(names)-6)
	}
	return strings.Join(names, ", ")
}

// Marking is one step that was taken with several composites.
type Marking struct {
	Course  string
	Samples []string
	Step    string
	Date    underfoot.Date
	By      string
	Note    string
}

// MarkCustody writes a step down for several composites in one change, which can be undone as one. A composite of a
// planned round is put on record when it is cut. A step already written down for a composite is replaced.
func (a *App) MarkCustody(ctx context.Context, who string, m Marking) (underfoot.Change, error) {
	rs, err := a.Store.Records(ctx, m.Course)
	if err != nil {
		return underfoot.Change{}, err
	}
	m.By, m.Note = strings.TrimSpace(m.By), strings.TrimSpace(m.Note)
	step := slices.Index(custodySteps, m.Step)
	switch today := rs.Course.Today(a.Now()); {
	case step < 0:
		return underfoot.Change{}, fieldError("step", "%q is no step: %s are", m.Step, strings.Join(custodySteps, ", "))
	case len(m.Samples) == 0:
		return underfoot.Change{}, fieldError("sample", "no composite is ticked: tick those that were %s", m.Step)
	case m.By == "":
		return underfoot.Change{}, fieldError("by", "who had them in hand? A name is needed")
	case m.Date > today:
		return underfoot.Change{}, fieldError("date", "%s is still to come: a day up to today, %s, is allowed", m.Date, today)
	case m.Date.Year() < 1900:
		return underfoot.Change{}, fieldError("date", "%s is too long ago: days from 1900 on are allowed", m.Date)
	}
	known := map[string]underfoot.Sample{}
	for _, s := range rs.Samples {
		known[s.ID] = s
	}
	planned := map[string]underfoot.Sample{}
	for _, p := range rs.RoundPlans {
		for _, s := range PlannedComposites(rs, p) {
			planned[s.ID] = s
		}
	}
	names := slices.Compact(slices.Sorted(slices.Values(m.Samples)))
	var fresh []underfoot.Sample
	for _, name := range names {
		if s, ok := known[name]; ok {
			if m.Date < s.Date {
				return underfoot.Change{}, fieldError("date", "%s is before %s, the day %s was cut: a day from then on is allowed", m.Date, s.Date, name)
			}
			continue
		}
		s, ok := planned[name]
		switch {
		case !ok:
			return underfoot.Change{}, fieldError("sample", "course %q has no composite %q, neither taken nor planned", m.Course, name)
		case m.Step != "cut":
			return underfoot.Change{}, fieldError("sample", "%s is planned and not cut yet: mark it as cut first", name)
		}
		s.Date = m.Date
		fresh = append(fresh, s)
	}
	what := fmt.Sprintf("marked %s as %s on %s", counted(len(names), "composite", "composites"), m.Step, m.Date)
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		for i := range fresh {
			courses, err := tx.CoursesOf(fresh[i].ID)
			if err != nil {
				return err
			}
			if len(courses) > 0 {
				return underfoot.Errorf(underfoot.Conflict, "composite %q is on record for course %q already: give the planned round another label", fresh[i].ID, courses[0])
			}
			if _, err := tx.Put(&fresh[i]); err != nil {
				return err
			}
		}
		for _, name := range names {
			c := underfoot.Custody{Course: m.Course, Sample: name, Step: m.Step, Date: m.Date, By: m.By, Note: m.Note}
			if _, err := tx.Put(&c); err != nil {
				return err
			}
		}
		return nil
	})
}
