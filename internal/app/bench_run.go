package app

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/unit"
)

// BenchRun is one load of the furnace as a course sees it: its own composites, and the blanks and controls of the package.
type BenchRun struct {
	Name      string
	Date      underfoot.Date       // burnt, or the latest day its composites were cut where nobody wrote it down
	Dated     bool                 // false when neither is known: then it cannot take part in the control chart
	Own       bool                 // holds a composite of this course
	Crucibles []underfoot.Weighing // in the order of the tray
	Judgement bench.Judgement
	Chart     []ControlPoint
	Release   *Release // of a failed run, by a named person
}

// Release says who let the results of a failed run be used, when and why.
type Release struct {
	By     string `json:"by"`
	Date   string `json:"date"`
	Reason string `json:"reason"`
}

// ControlPoint is one burn of a control material on its chart.
type ControlPoint struct {
	bench.Burn
	Date   underfoot.Date
	Limits bench.Limits
	Known  bool // Limits hold
}

// Failed says whether the run's checks failed.
func (r *BenchRun) Failed() bool { return r.Judgement.Verdict == bench.Failed }

// Held says whether its results are held: it failed and nobody released it.
func (r *BenchRun) Held() bool { return r.Failed() && r.Release == nil }

// Quality is what the checks of all runs say together.
type Quality struct {
	Runs       []BenchRun // oldest first; those without a date at the end
	Pairs      []RunPair  // composites burnt twice, in the order of the runs
	Duplicates bench.Duplicates
	Fault      string // why the runs could not be judged; blank when they were
}

// RunPair is a composite burnt twice.
type RunPair struct {
	bench.Pair
	Run  string
	Date underfoot.Date
}

// Run finds a run by its name, or nil.
func (q *Quality) Run(name string) *BenchRun {
	for i := range q.Runs {
		if q.Runs[i].Name == name {
			return &q.Runs[i]
		}
	}
	return nil
}

// quality judges the furnace runs of a course. rows are its composites; pairs are worked out from them.
func quality(rs *underfoot.Records, rows []BenchRow) *Quality {
	q := &Quality{Runs: runsOf(rs)}
	q.pairs(rows)
	materials := make([]bench.Material, 0, len(rs.Controls))
	for _, c := range rs.Controls {
		materials = append(materials, bench.Material{Name: c.ID, Accepted: percent(c.AcceptedPercent), SD: percent(c.SDPercent)})
	}
	runs := make([]bench.Run, 0, len(q.Runs))
	for i := range q.Runs {
		runs = append(runs, q.Runs[i].checked(q.Pairs))
	}
	// A run nobody dated has no place in the order of time: it is judged by itself.
	dated := slices.IndexFunc(q.Runs, func(r BenchRun) bool { return !r.Dated })
	if dated < 0 {
		dated = len(q.Runs)
	}
	judge := func(from, to int) {
		list, err := bench.JudgeRuns(runs[from:to], materials, bench.QualityDefaults())
		if err != nil {
			q.Fault = "the furnace runs could not be judged: " + strings.ReplaceAll(err.Error(), "\n", "; ")
			return
		}
		for i, j := range list {
			if q.Runs[from+i].Name == "" {
				j = unnamed(j)
			}
			q.Runs[from+i].Judgement = j
		}
	}
	judge(0, dated)
	for i := dated; i < len(runs); i++ {
		judge(i, i+1)
	}
	q.chart(runs[:dated], materials)
	return q
}

// unnamed is the judgement of crucibles that name no run: nobody knows which were burnt together, and there is nothing
// that could be released, so they are never failed.
func unnamed(j bench.Judgement) bench.Judgement {
	for i := range j.Checks {
		if j.Checks[i].Verdict == bench.Failed {
			j.Checks[i].Verdict, j.Verdict = bench.Look, bench.Look
		}
	}
	return j
}

// runsOf groups the weighings by run, in order of time.
func runsOf(rs *underfoot.Records) []BenchRun {
	cut := make(map[string]underfoot.Date, len(rs.Samples))
	for i := range rs.Samples {
		cut[rs.Samples[i].ID] = rs.Samples[i].Date
	}
	at := map[string]int{}
	var out []BenchRun
	for i := range rs.Weighings {
		w := &rs.Weighings[i]
		k, ok := at[w.FurnaceRun]
		if !ok {
			k = len(out)
			at[w.FurnaceRun] = k
			out = append(out, BenchRun{Name: w.FurnaceRun})
		}
		r := &out[k]
		r.Crucibles = append(r.Crucibles, *w)
		if day, ours := cut[w.Sample]; ours && w.OfSample() {
			if !r.Own || day > r.Date {
				r.Date = day
			}
			r.Own, r.Dated = true, w.FurnaceRun != ""
		}
	}
	for i := range rs.Runs { // the day it was burnt is better than the day its composites were cut
		x := &rs.Runs[i]
		k, ok := at[x.ID]
		if !ok {
			continue
		}
		if x.Date.Known && x.ID != "" {
			out[k].Date, out[k].Dated = x.Date.Value, true
		}
	}
	for _, x := range rs.Releases {
		if k, ok := at[x.FurnaceRun]; ok {
			out[k].Release = &Release{By: x.By, Date: x.Date.String(), Reason: x.Reason}
		}
	}
	for i := range out {
		slices.SortStableFunc(out[i].Crucibles, func(a, b underfoot.Weighing) int { return naturally(a.Crucible, b.Crucible) })
	}
	slices.SortStableFunc(out, func(a, b BenchRun) int {
		if a.Dated != b.Dated {
			if a.Dated {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.Date, b.Date), naturally(a.Name, b.Name))
	})
	return out
}

// naturally orders names as people do: "c2" before "c10".
func naturally(a, b string) int {
	x, y := a, b
	for x != "" && y != "" {
		dx, dy := leadingDigits(x), leadingDigits(y)
		if dx > 0 && dy > 0 {
			m, n := strings.TrimLeft(x[:dx], "0"), strings.TrimLeft(y[:dy], "0")
			if c := cmp.Or(cmp.Compare(len(m), len(n)), strings.Compare(m, n)); c != 0 {
				return c
			}
			x, y = x[dx:], y[dy:]
			continue
		}
		if x[0] != y[0] {
			return cmp.Compare(x[0], y[0])
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(a, b))
}

func leadingDigits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// checked is the run as its checks see it.
func (r *BenchRun) checked(pairs []RunPair) bench.Run {
	out := bench.Run{Name: r.Name}
	for _, w := range r.Crucibles {
		switch {
		case w.Kind == "blank":
			if w.DryG.Known && w.AshG.Known {
				out.Blanks = append(out.Blanks, crucible(w))
			}
		case w.Kind == "control":
			if om, ok := burnOf(w); ok {
				out.Controls = append(out.Controls, bench.Burn{Material: w.Sample, Run: r.Name, Crucible: w.Crucible, Value: om})
			}
		case w.TareG.Known && w.DryG.Known && w.DryG.Value > w.TareG.Value:
			if m := unit.Grams(w.DryG.Value - w.TareG.Value); out.Lightest == 0 || m < out.Lightest {
				out.Lightest = m
			}
		}
	}
	for _, p := range pairs {
		if p.Run == r.Name {
			out.Pairs = append(out.Pairs, p.Pair)
		}
	}
	return out
}

// burnOf is the organic matter of one crucible, false where it cannot be worked out.
func burnOf(w underfoot.Weighing) (unit.Percent, bool) {
	if stillToWeigh(w) != "" {
		return 0, false
	}
	ig, err := bench.OrganicMatter([]bench.Crucible{crucible(w)})
	if err != nil {
		return 0, false
	}
	return ig.OrganicMatter.Percent(), true
}

// pairs finds the composites burnt twice.
func (q *Quality) pairs(rows []BenchRow) {
	for i := range rows {
		row := &rows[i]
		if !row.Known || len(row.Repeat) == 0 {
			continue
		}
		second := make([]bench.Crucible, 0, len(row.Repeat))
		for _, w := range row.Repeat {
			if stillToWeigh(w) == "" {
				second = append(second, crucible(w))
			}
		}
		ig, err := bench.OrganicMatter(second)
		if err != nil {
			continue
		}
		run := row.Repeat[0].FurnaceRun
		p := RunPair{Run: run, Pair: bench.Pair{Name: row.Sample, First: row.Result.OrganicMatter, Second: ig.OrganicMatter.Percent()}}
		if r := q.Run(run); r != nil {
			p.Date = r.Date
		}
		q.Pairs = append(q.Pairs, p)
	}
	slices.SortStableFunc(q.Pairs, func(a, b RunPair) int { return cmp.Or(cmp.Compare(a.Date, b.Date), naturally(a.Run, b.Run)) })
	plain := make([]bench.Pair, len(q.Pairs))
	for i, p := range q.Pairs {
		plain[i] = p.Pair
	}
	if d, err := bench.RangeOf(plain); err == nil {
		q.Duplicates = d
	}
}

// ControlBias is what the burns of the run's control material, in all runs that did not fail, say of a shift common to all
// results; ok is false where there is no accepted value, or fewer than two burns.
func (q *Quality) ControlBias(of *BenchRun) (c bench.Component, ok bool) {
	material := ""
	var accepted unit.Percent
	for _, p := range of.Chart {
		if p.Known && !p.Limits.Own {
			material, accepted = p.Material, p.Limits.Centre
			break
		}
	}
	if material == "" {
		return c, false
	}
	var burns []unit.Percent
	for i := range q.Runs {
		for _, p := range q.Runs[i].Chart {
			if p.Material == material && !q.Runs[i].Failed() {
				burns = append(burns, p.Value)
			}
		}
	}
	c, err := bench.ControlBias(accepted, burns)
	return c, err == nil
}

// chart puts the burns of the controls on their charts.
func (q *Quality) chart(runs []bench.Run, materials []bench.Material) {
	var all []bench.Burn
	for _, r := range runs {
		all = append(all, r.Controls...)
	}
	limits := map[string]ControlPoint{}
	for i, r := range runs {
		for _, b := range r.Controls {
			p, ok := limits[b.Material]
			if !ok {
				m := bench.Material{Name: b.Material}
				if k := slices.IndexFunc(materials, func(x bench.Material) bool { return x.Name == b.Material }); k >= 0 {
					m = materials[k]
				}
				p.Limits, p.Known = m.Limits(all)
				limits[b.Material] = p
			}
			p.Burn, p.Date = b, q.Runs[i].Date
			q.Runs[i].Chart = append(q.Runs[i].Chart, p)
		}
	}
}

func percent(o underfoot.Opt[float64]) *unit.Percent {
	if !o.Known {
		return nil
	}
	p := unit.Percent(o.Value)
	return &p
}

// mayHold says whether any of the newest runs may have failed: a control beyond two standard deviations, without which no rule
// fails a run, or a blank that changed.
func mayHold(rs *underfoot.Records) bool {
	for i := range rs.Weighings {
		w := &rs.Weighings[i]
		switch w.Kind {
		case "blank":
			if w.DryG.Known && w.AshG.Known && math.Abs(w.DryG.Value-w.AshG.Value) > w.AshSlackG() {
				return true
			}
		case "control":
			om, ok := burnOf(*w)
			k := slices.IndexFunc(rs.Controls, func(c underfoot.Control) bool { return c.ID == w.Sample })
			if !ok || k < 0 || !rs.Controls[k].AcceptedPercent.Known || !rs.Controls[k].SDPercent.Known {
				continue
			}
			if math.Abs(float64(om)-rs.Controls[k].AcceptedPercent.Value) > 2*rs.Controls[k].SDPercent.Value {
				return true
			}
		}
	}
	return false
}

// hold marks the rows that were burnt in a failed run, and says so among their warnings.
func (q *Quality) hold(rows []BenchRow) {
	failed := map[string]*BenchRun{}
	for i := range q.Runs {
		if q.Runs[i].Failed() {
			failed[q.Runs[i].Name] = &q.Runs[i]
		}
	}
	for i := range rows {
		row := &rows[i]
		if q.Fault != "" && len(row.Burnt) > 0 {
			row.Warnings = append(row.Warnings, q.Fault)
		}
		for _, name := range row.runs() {
			if name != "" {
				row.FurnaceRuns = append(row.FurnaceRuns, name)
			}
			r := failed[name]
			if r == nil {
				continue
			}
			row.RunFailed = append(row.RunFailed, r.Judgement.Reasons()...)
			if r.Release == nil {
				row.Held = true
				row.Warnings = append(row.Warnings, fmt.Sprintf("held: furnace run %s failed (%s): kept out of trends, balance and calibration until a named person releases the run with a reason",
					runTitle(name), strings.Join(r.Judgement.Reasons(), "; ")))
				continue
			}
			row.Released = r.Release
			row.Warnings = append(row.Warnings, fmt.Sprintf("furnace run %s failed (%s) and was released by %s on %s: %s",
				runTitle(name), strings.Join(r.Judgement.Reasons(), "; "), r.Release.By, r.Release.Date, r.Release.Reason))
		}
	}
}

// notes say of every failed run what became of its composites.
func (q *Quality) notes(rows []BenchRow) []string {
	var out []string
	if q.Fault != "" {
		out = append(out, q.Fault)
	}
	for i := range q.Runs {
		r := &q.Runs[i]
		n := 0
		for k := range rows {
			if slices.Contains(rows[k].runs(), r.Name) {
				n++
			}
		}
		if !r.Failed() || n == 0 {
			continue
		}
		why := strings.Join(r.Judgement.Reasons(), "; ")
		if r.Release == nil {
			out = append(out, fmt.Sprintf("furnace run %s failed (%s): its %s held, kept out of trends, balance and calibration, until a named person releases the run with a reason",
				runTitle(r.Name), why, counted(n, "composite is", "composites are")))
			continue
		}
		out = append(out, fmt.Sprintf("furnace run %s failed (%s) and was released by %s on %s: %s; its %s in all figures",
			runTitle(r.Name), why, r.Release.By, r.Release.Date, r.Release.Reason, counted(n, "composite counts", "composites count")))
	}
	return out
}

// RunsSay lists the furnace runs of a course that failed, and what became of them; nothing when none did.
func RunsSay(rs *underfoot.Records) []string {
	_, q := benchOf(rs)
	var out []string
	for i := range q.Runs {
		r := &q.Runs[i]
		switch {
		case r.Held():
			out = append(out, "furnace run "+r.Name+": failed, held")
		case r.Failed():
			out = append(out, fmt.Sprintf("furnace run %s: failed, released by %s on %s: %s", r.Name, r.Release.By, r.Release.Date, r.Release.Reason))
		}
	}
	return out
}

// runs are the names of the furnace runs in which the composite was burnt, each once.
func (r *BenchRow) runs() []string {
	var out []string
	for _, w := range r.Burnt {
		if !slices.Contains(out, w.FurnaceRun) {
			out = append(out, w.FurnaceRun)
		}
	}
	return out
}

func runTitle(name string) string {
	if name == "" {
		return "without a name"
	}
	return name
}
