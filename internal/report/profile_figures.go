package report

import (
	"slices"
	"time"

	"underfoot/calibrate"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/profile"
)

func inPercent(e calibrate.Estimate) figure.Estimate {
	return figure.Estimate{
		Mid: 100 * e.Q50, Outer: figure.Interval{Low: 100 * e.Q05, High: 100 * e.Q95}, Inner: figure.Interval{Low: 100 * e.Q25, High: 100 * e.Q75},
	}
}

// foretold is what a round left out was foretold to read.
func foretold(h calibrate.Hindcast) figure.Estimate {
	e := inPercent(h.Sampled)
	e.Mid = 100 * h.Foretold.Mean
	return e
}

// now is where a figure says today: the last record is taken for it when today lies far beyond what is shown.
func (p Profile) now() time.Time {
	if p.s.Today < p.o.Horizons[0] {
		return p.s.Today.Time()
	}
	return p.o.From.Time()
}

// Burial is the chart of the profile through time.
func (p Profile) Burial() figure.Burial {
	m := p.o.Burial
	f := figure.Burial{Depths: m.Depths, OM: m.OM, Now: p.now()}
	for _, d := range m.Dates {
		f.Dates = append(f.Dates, d.Time())
	}
	for _, z := range m.Seasons {
		f.Seasons = append(f.Seasons, figure.SunkenSurface{Label: time.Date(z.Year, 1, 1, 0, 0, 0, 0, time.UTC).Format("2006"), Depth: z.Depth})
	}
	for _, l := range p.layers() {
		for _, edge := range []float64{l.Top, l.Bottom} {
			if !slices.Contains(f.Layers, edge) {
				f.Layers = append(f.Layers, edge)
			}
		}
		for _, r := range p.rounds(l.Layer) {
			if !slices.ContainsFunc(f.Rounds, r.At.Equal) {
				f.Rounds = append(f.Rounds, r.At)
			}
		}
	}
	slices.Sort(f.Layers)
	slices.SortFunc(f.Rounds, time.Time.Compare)
	for _, d := range p.s.Done {
		f.Cores = append(f.Cores, coringMark(&d)...)
	}
	for i := range p.s.Planned {
		if d := &p.s.Planned[i]; d.Work.Date > p.o.From {
			f.Cores = append(f.Cores, coringMark(d)...)
		}
	}
	return f
}

// coringMark is the mark of an entry that opened the surface of all greens or put sand below it.
func coringMark(d *app.Done) []figure.CoringMark {
	kind := figure.HollowTines
	switch {
	case d.Work.Green != "":
		return nil
	case d.Work.Kind == "inject_sand":
		kind = figure.Injection
	case d.Opened == 0:
		return nil
	case !d.Removed:
		kind = figure.SolidTines
	}
	depth := d.Work.DepthMM.Or(0)
	if kind == figure.Injection {
		depth = d.Work.DepthMM.Or(app.DefaultInjectionDepth)
	}
	return []figure.CoringMark{{At: d.Work.Date.Time(), DepthMM: depth, Opened: d.Opened, Kind: kind}}
}

// rounds gives the rounds of a layer as a figure draws them.
func (p Profile) rounds(l calibrate.Layer) []figure.Round {
	found := p.s.Layer(l.Top, l.Bottom)
	if found == nil {
		return nil
	}
	var out []figure.Round
	for _, m := range found.Rounds {
		out = append(out, figure.Round{At: m.Date, Estimate: roundEstimate(m)})
	}
	return out
}

// Fan is the forecast by layer with the rounds it rests on.
func (p Profile) Fan() figure.Forecast {
	f := figure.Forecast{Now: p.now()}
	for _, d := range p.o.Work {
		f.Work = append(f.Work, d.Time())
	}
	points := func(list []app.OutlookPoint) []figure.FanPoint {
		var out []figure.FanPoint
		for _, q := range list {
			out = append(out, figure.FanPoint{At: q.Day.Time(), Estimate: inPercent(q.Estimate)})
		}
		return out
	}
	for _, l := range p.layers() {
		x := figure.ForecastLayer{Name: nameOf(l.Layer), Rounds: p.rounds(l.Layer), Past: points(l.Past), Future: points(l.Future)}
		for _, h := range p.o.Back {
			if h.Layer == l.Layer {
				x.Hindcast = append(x.Hindcast, figure.FanPoint{At: dayOf(h.Day), Estimate: foretold(h)})
			}
		}
		f.Layers = append(f.Layers, x)
	}
	return f
}

// Skill sets foretold against measured.
func (p Profile) Skill() figure.Skill {
	var f figure.Skill
	for _, h := range p.o.Back {
		measured := figure.Estimate{Mid: 100 * h.Measured}
		if l := p.s.Layer(h.Layer.Top, h.Layer.Bottom); l != nil {
			for _, m := range l.Rounds {
				if m.Round == h.Round {
					measured.Outer = roundEstimate(m).Outer
				}
			}
		}
		f.Layers = append(f.Layers, figure.SkillLayer{Name: nameOf(h.Layer), Points: []figure.SkillPoint{{
			At: dayOf(h.Day), Measured: measured, Predicted: foretold(h),
		}}})
	}
	return f
}

// Priors shows what was taken before any round and what the rounds made of it.
func (p Profile) Priors() figure.PriorPosterior {
	var f figure.PriorPosterior
	for _, l := range p.o.Learnt {
		k, unit, decimals := unknownUnit(l)
		f.Rows = append(f.Rows, figure.ParameterRow{
			Name: unknownName(l), Unit: unit, Decimals: decimals, Log: l.Entry().Scale == profile.Log,
			Prior: rangeEstimate(l, l.Prior, k), Posterior: rangeEstimate(l, l.After, k), Verdict: l.Word(),
		})
	}
	return f
}

// rangeEstimate turns a range into one of a figure; the middle half lies on the scale on which the unknown is normal.
func rangeEstimate(l calibrate.Learnt, r calibrate.Range, k float64) figure.Estimate {
	const inner = 0.6745 / 1.6449 // normal 75 % over 95 % point
	scale := l.Entry().Scale
	low, mid, high := scale.Of(r.Q05), scale.Of(r.Q50), scale.Of(r.Q95)
	return figure.Estimate{
		Mid: k * r.Q50, Outer: figure.Interval{Low: k * r.Q05, High: k * r.Q95},
		Inner: figure.Interval{Low: k * scale.Value(mid+inner*(low-mid)), High: k * scale.Value(mid+inner*(high-mid))},
	}
}

func unknownName(l calibrate.Learnt) string { return l.Entry().Name }

// unknownUnit gives by what a value is multiplied to be shown, in which unit and with how many decimals.
func unknownUnit(l calibrate.Learnt) (k float64, unit string, decimals int) {
	e := l.Entry()
	switch {
	case l.Unknown == profile.Surface || l.Unknown == profile.Base:
		return 100, "%", 1
	case e.Unit == "1" && e.Scale == profile.Logit:
		return 100, "%", 0
	case e.Unit == "1":
		return 1, "times", 2
	case e.Middle >= 100:
		return 1, e.Unit, 0
	case e.Middle >= 5:
		return 1, e.Unit, 1
	}
	return 1, e.Unit, 2
}
