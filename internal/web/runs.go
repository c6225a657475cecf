package web

import (
	"fmt"
	"math"
	"net/url"
	"sort"
	"strings"

	"underfoot"
	"underfoot/bench"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
	"underfoot/unit"
)

// run is one furnace run on a course.
type run struct {
	name     string
	last     underfoot.Date // of its composites
	crucible []underfoot.Weighing
}

// runsOf groups the weighings of a course by furnace run, the latest first.
func runsOf(st *standing) []run {
	dates := map[string]underfoot.Date{}
	for _, s := range st.Records.Samples {
		dates[s.ID] = s.Date
	}
	at := map[string]int{}
	var out []run
	for _, w := range st.Records.Weighings {
		i, ok := at[w.FurnaceRun]
		if !ok {
			i = len(out)
			at[w.FurnaceRun] = i
			out = append(out, run{name: w.FurnaceRun})
		}
		out[i].crucible = append(out[i].crucible, w)
		out[i].last = max(out[i].last, dates[w.Sample])
	}
	// Blanks and controls belong to every course of a package: a run without a composite of this course is not its own.
	own := out[:0]
	for _, r := range out {
		if r.last != 0 {
			own = append(own, r)
		}
	}
	for i := range st.Records.Runs { // a run that was begun and holds no crucible yet
		if x := &st.Records.Runs[i]; !has(at, x.ID) {
			own = append(own, run{name: x.ID, last: max(x.Date.Or(0), 1)})
		}
	}
	for i := range own {
		c := own[i].crucible
		sort.SliceStable(c, func(a, b int) bool { return place(c[a]) < place(c[b]) })
	}
	sort.SliceStable(own, func(i, j int) bool {
		if own[i].last != own[j].last {
			return own[i].last > own[j].last
		}
		return own[i].name < own[j].name
	})
	return own
}

func has(at map[string]int, name string) bool {
	_, ok := at[name]
	return ok
}

// place orders crucibles as the tray does: by name, numbers by size.
func place(w underfoot.Weighing) string {
	digits := strings.TrimLeft(w.Crucible, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ -_")
	return strings.Repeat("0", max(0, 9-len(digits))) + digits + w.Crucible
}

func (r *run) title() string {
	if r.name == "" {
		return "no run named"
	}
	return r.name
}

func runHref(course string, r *run) string {
	return page.CoursePath(course, "bench") + "?run=" + url.QueryEscape(r.name)
}

// lossPercent is what one crucible lost, % of its oven-dry mass; false where it cannot be worked out.
func lossPercent(w underfoot.Weighing) (float64, bool) {
	if !w.TareG.Known || !w.DryG.Known || !w.AshG.Known || w.DryG.Value <= w.TareG.Value {
		return 0, false
	}
	ig, err := bench.OrganicMatter([]bench.Crucible{{
		Name: w.Crucible, Tare: unit.Grams(w.TareG.Value), Dry: unit.Grams(w.DryG.Value), Ash: unit.Grams(w.AshG.Value),
	}})
	if err != nil {
		return 0, false
	}
	return float64(ig.OrganicMatter.Percent()), true
}

// lostMG is the mass a crucible lost in the furnace, mg.
func lostMG(w underfoot.Weighing) (float64, bool) {
	if !w.DryG.Known || !w.AshG.Known {
		return 0, false
	}
	return (w.DryG.Value - w.AshG.Value) * 1000, true
}

// control compares a control with its accepted value, in standard deviations of single burns.
func control(st *standing, w underfoot.Weighing) (om, z float64, accepted underfoot.Opt[float64], ok bool) {
	om, ok = lossPercent(w)
	if !ok {
		return
	}
	for _, c := range st.Records.Controls {
		if c.ID == w.Sample {
			accepted = c.AcceptedPercent
			if c.AcceptedPercent.Known && c.SDPercent.Known {
				return om, (om - c.AcceptedPercent.Value) / c.SDPercent.Value, accepted, true
			}
		}
	}
	return om, math.NaN(), accepted, true
}

// controlSays words a control: "4.93 %, 3.4 SD below 5.20", with how it stands. Beyond 3 SD is for stopping, beyond 2
// for a look (Shewhart; Westgard et al., Clin. Chem. 27:493–501, 1981).
func controlSays(om, z float64, accepted underfoot.Opt[float64]) (string, page.State) {
	s := page.Num(om, 2) + " %"
	if math.IsNaN(z) {
		return s + ", no accepted value to compare with", page.Open
	}
	side := "above"
	if z < 0 {
		side = "below"
	}
	if math.Abs(z) < 0.05 {
		return fmt.Sprintf("%s, at the accepted %s", s, page.Num(accepted.Value, 2)), page.Finished
	}
	s = fmt.Sprintf("%s, %s SD %s the accepted %s", s, page.Num(math.Abs(z), 1), side, page.Num(accepted.Value, 2))
	switch {
	case math.Abs(z) > 3:
		return s, page.Stopped
	case math.Abs(z) > 2:
		return s, page.Look
	}
	return s, page.Finished
}

// temperatures lists the furnace temperatures of a run.
func temperatures(r *run) string {
	seen := map[float64]bool{}
	var list []float64
	unknown := false
	for _, w := range r.crucible {
		if !w.AshC.Known {
			unknown = true
		} else if !seen[w.AshC.Value] {
			seen[w.AshC.Value] = true
			list = append(list, w.AshC.Value)
		}
	}
	sort.Float64s(list)
	var words []string
	for _, c := range list {
		words = append(words, num(c))
	}
	switch {
	case len(words) == 0:
		return "not said"
	case unknown:
		return strings.Join(words, ", ") + " °C, some not said"
	}
	return strings.Join(words, ", ") + " °C"
}

// benchRowOf finds what the bench says of a sample.
func benchRowOf(st *standing, sample string) *app.BenchRow {
	for i := range st.Bench {
		if st.Bench[i].Sample == sample {
			return &st.Bench[i]
		}
	}
	return nil
}
