package web

import (
	"fmt"
	"math"
	"time"

	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// depths names a layer and says where it lies among the layers of its course.
func depths(st *standing, top, bottom float64) page.Depths {
	return page.Depths{Name: layerName(top, bottom), TopMM: top, BottomMM: bottom, TotalMM: deepest(st)}
}

func deepest(st *standing) float64 {
	var d float64
	for _, l := range st.Layers {
		d = math.Max(d, l.BottomMM)
	}
	return d
}

// chance puts a probability in words with its dots.
func chance(words string, p float64) page.Chance {
	return page.Chance{Words: words, HalfDots: figure.HalfDots(p)}
}

// roundsOf gives the rounds of a layer as a figure draws them.
func roundsOf(l *app.Layer) []figure.Round {
	out := make([]figure.Round, len(l.Rounds))
	for i, m := range l.Rounds {
		out[i] = figure.Round{At: m.Date, Estimate: levelOf(m)}
		if l.Released(m.Round) {
			out[i].Kind = figure.Released
		}
	}
	return out
}

func levelOf(m findings.RoundMean) figure.Estimate {
	return figure.Estimate{Mid: float64(m.Mean), Outer: figure.Interval{Low: float64(m.Low90), High: float64(m.High90)}}
}

// fitSteps is how many points of the fitted line are drawn: the band is curved.
const fitSteps = 16

// trendOf draws a layer's rounds with the fitted line in its band.
func trendOf(l *app.Layer, width, height float64) *figure.Scene {
	t := figure.Trend{Layer: l.Name(), Rounds: roundsOf(l), Width: width, Height: height}
	if l.Trend.Estimated {
		from, to := l.Trend.Span()
		for i := range fitSteps + 1 {
			at := from.Add(time.Duration(float64(to.Sub(from)) * float64(i) / fitSteps))
			mean, _ := l.Trend.Line(at)
			low, high := l.Trend.Band(at, 0.9)
			t.Fit = append(t.Fit, figure.FitPoint{At: at, Mid: float64(mean), Low: float64(low), High: float64(high)})
		}
	}
	return t.Scene()
}

// levels is the table of a layer's rounds.
func levels(l *app.Layer) page.Table {
	t := page.Table{
		Caption: "Organic matter in " + l.Name() + ", % of oven-dry mass", Left: 1,
		Head: []string{"Round", "Mean", "9 in 10", "Standard error", "Greens", "Cores"},
	}
	for _, m := range l.Rounds {
		cores := "–"
		if m.Cores > 0 {
			cores = fmt.Sprint(m.Cores)
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			m.Round + ", " + page.PlainDay(m.Date), page.Num(float64(m.Mean), 2), page.Reach(float64(m.Low90), float64(m.High90), 1),
			page.Num(float64(m.SE), 2), fmt.Sprint(m.N), cores,
		}})
	}
	return t
}

// chances are what the trend says in dots: that it moves, and that this matters.
func chances(t findings.Trend) []page.Chance {
	if !t.Estimated {
		return nil
	}
	var out []page.Chance
	words, p := t.ChanceOfChange()
	out = append(out, chance(words, p))
	words, p = t.ChanceItMatters()
	return append(out, chance(words, p))
}

// blocks are the layers of the last rounds as the core shows them.
func blocks(st *standing) []figure.Layer {
	var out []figure.Layer
	for i := range st.Layers {
		l := &st.Layers[i]
		out = append(out, figure.Layer{Top: l.TopMM, Bottom: l.BottomMM, Estimate: levelOf(l.Last())})
	}
	return out
}
