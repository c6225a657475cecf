package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

func layerName(top, bottom float64) string { return underfoot.LayerName(top, bottom) }

// showFindings shows what changed and how sure that is.
func (s *server) showFindings(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	v := findingsView{judge: judgeForm(st, r), power: r.URL.Query()}
	return s.findingsPage(w, r, http.StatusOK, st, v)
}

// findingsView is what a reader adds to the findings page: a judgement being typed, a design to try, a table of peers.
type findingsView struct {
	judge page.JudgeForm
	power url.Values
	peers peerTable
}

func (s *server) findingsPage(w http.ResponseWriter, r *http.Request, status int, st *standing, v findingsView) error {
	p := page.Findings{
		Frame: s.courseFrame(r, st, "Findings", "findings"), Statement: changeSays(st.Layers), Judge: v.judge, Surface: surfaceOf(st),
		Readings: readingPanels(st), ReadNote: "Filled dots fall outside what is wanted. Each dot is the mean of the greens read that day.",
		Notes: inWords(st.Notes), LeftOut: notComparable(st), Material: materialOf(st), Responses: responsesOf(st), Power: powerOf(st, v.power),
	}
	if len(p.Power.Errors) > 0 {
		status = http.StatusUnprocessableEntity
	}
	var err error
	if p.Peers, err = s.peersOf(r.Context(), st, v.peers); err != nil {
		return err
	}
	if n := roundsIn(st); n > 0 {
		_, day, _ := lastRound(st)
		p.Over = fmt.Sprintf("Round of %s, %s in all", page.Day(day.Time()), page.CountWords(n, "round", "rounds"))
		p.Because = evenSays(st)
	}
	for i := range st.Layers {
		l := &st.Layers[i]
		p.Now = append(p.Now, layerNow(st, l))
		p.Trends = append(p.Trends, trendPanel(st, l))
		if l.Even.Known {
			p.Evenness = append(p.Evenness, evenness(st, l))
		}
	}
	p.GreenHead, p.Greens = greenRows(st)
	p.NowNote = "Whole-sample ignition. “A year” is the change at fixed depth, in points of OM."
	if len(st.Layers) > 0 && st.Layers[0].Trend.Matters > 0 {
		p.TrendNote = fmt.Sprintf("Smallest change that matters: %s points a year.", bandNum(st.Layers[0].Trend.Matters))
	}
	return s.send.page(w, r, status, page.FindingsPage(p))
}

func roundsIn(st *standing) int {
	seen := map[string]bool{}
	for _, s := range st.Records.Samples {
		seen[s.RoundLabel()] = true
	}
	return len(seen)
}

func layerNow(st *standing, l *app.Layer) page.LayerNow {
	m := l.Last()
	n := page.LayerNow{
		Depths: depths(st, l.TopMM, l.BottomMM), OM: page.Num(float64(m.Mean), 1), Range: page.Span(float64(m.Low90), float64(m.High90), 1), Change: "–",
	}
	if l.Trend.Estimated {
		n.Change = page.Signed(l.Trend.SlopePerYear, 2)
	}
	return n
}

func trendPanel(st *standing, l *app.Layer) page.TrendPanel {
	t := l.Trend
	p := page.TrendPanel{
		Depths: depths(st, l.TopMM, l.BottomMM), Picture: page.Draw(trendOf(l, 390, 180)), Says: t.Sentence(), Chances: chances(t), Warnings: t.Warnings,
		Table: levels(l), Worked: trendWorked(t),
	}
	if t.Estimated {
		words, _ := t.ChanceOfChange()
		p.Sure = fmt.Sprintf("%s points a year (%s, 9 in 10): %s.", page.Signed(t.SlopePerYear, 2), page.SignedSpan(t.Lower90, t.Upper90, 2), words)
	}
	for _, n := range []string{t.Visible(), t.Equivalence(), t.Behind()} {
		if n != "" {
			p.Notes = append(p.Notes, n)
		}
	}
	return p
}

// trendWorked is how a trend was worked out: the model, why it was chosen, the method and what it rests on.
func trendWorked(t findings.Trend) page.Worked {
	w := page.Worked{Model: t.Model, Method: t.Method}
	if t.Choice != "" {
		w.Choice = []string{t.Choice}
	}
	if !t.Estimated {
		return w
	}
	w.Numbers = append(w.Numbers, [2]string{"Standard error of the slope", page.Num(t.SE, 3) + " points a year"})
	if t.DF > 0 {
		w.Numbers = append(w.Numbers,
			[2]string{"Degrees of freedom", page.Num(t.DF, 1)},
			[2]string{"Interval, 19 in 20", page.SignedSpan(t.Lower95, t.Upper95, 2) + " points a year"},
			[2]string{"One core about its green", page.Num(t.CoreSD, 2) + " points"},
		)
	}
	w.Numbers = append(w.Numbers, [2]string{"Rounds about the line", page.Num(t.RoundSD, 2) + " points"})
	if u := t.Underlying; u.Known {
		w.Numbers = append(w.Numbers, [2]string{
			"Line behind the rounds", fmt.Sprintf("%s points a year (%s, 19 in 20; %s degrees of freedom)", page.Signed(u.PerYear, 2), page.SignedSpan(u.Lower95, u.Upper95, 2), page.Num(u.DF, 1)),
		})
	}
	return w
}

// changeSays joins what the layers' trends say into the statement of the page.
func changeSays(layers []app.Layer) string {
	if len(layers) == 0 {
		return "Nothing has been measured here yet."
	}
	groups := []struct {
		one, many string
		names     []string
	}{
		{"%s is gaining organic matter", "%s are gaining organic matter", nil},
		{"%s is losing organic matter", "%s are losing organic matter", nil},
		{"In %s, no change that this sampling could see", "In %s, no change that this sampling could see", nil},
		{"In %s, one round so far: a level, not a trend", "In %s, one round so far: levels, not a trend", nil},
	}
	for _, l := range layers {
		i := 3
		if l.Trend.Estimated {
			i = map[findings.TrendVerdict]int{findings.Rising: 0, findings.Falling: 1, findings.NoChange: 2}[l.Trend.Verdict]
		}
		groups[i].names = append(groups[i].names, l.Name())
	}
	var out []string
	for _, g := range groups {
		format := g.many
		if len(g.names) == 1 {
			format = g.one
		}
		if len(g.names) > 0 {
			out = append(out, fmt.Sprintf(format, layerList(g.names)))
		}
	}
	return strings.Join(out, ". ") + "."
}

// layerList joins the names of layers: "0–20, 20–40 and 40–60 mm".
func layerList(names []string) string {
	short := make([]string, len(names))
	for i, n := range names {
		short[i] = n
		if i < len(names)-1 {
			short[i] = strings.TrimSuffix(n, " mm")
		}
	}
	return page.List(short)
}

// evenSays tells which greens stand out at the surface.
func evenSays(st *standing) string {
	if len(st.Layers) == 0 || !st.Layers[0].Even.Known {
		return ""
	}
	l := st.Layers[0]
	return "Between greens, in " + l.Name() + ": " + lowerName(titledSentence(st, l.Even)) + " The standard deviation between greens is " +
		page.Num(float64(l.Even.SD), 2) + " points (" + page.Span(float64(l.Even.SDLower95), float64(l.Even.SDUpper95), 2) + ", 19 in 20)."
}

// titledSentence is the sentence on evenness with greens called by the names people use.
func titledSentence(st *standing, c findings.Consistency) string {
	named := c
	named.Greens = append([]findings.Green(nil), c.Greens...)
	for i := range named.Greens {
		named.Greens[i].Green = st.GreenTitle(named.Greens[i].Green)
	}
	return named.Sentence()
}

// lowerName puts a sentence after a colon; a name keeps its capital.
func lowerName(s string) string {
	if strings.HasPrefix(s, "No ") || strings.HasPrefix(s, "Nothing ") {
		return lowerFirst(s)
	}
	return s
}

// evenness draws the greens of a layer side by side.
func evenness(st *standing, l *app.Layer) page.Evenness {
	c := l.Even
	f := figure.Greens{Layer: l.Name(), Course: float64(l.Last().Mean), Width: 332}
	t := page.Table{
		Caption: "Greens at " + l.Name() + ", % of oven-dry mass", Head: []string{"Green", "Level", "9 in 10", "From the rest", "Last measured", "Rounds"},
	}
	for _, g := range c.Greens {
		e, se := float64(g.Estimate), float64(g.SE)
		f.Greens = append(f.Greens, figure.Green{
			Name: st.GreenTitle(g.Green), StandsOut: g.StandsOut,
			Level: &figure.Estimate{Mid: e, Outer: figure.Interval{Low: e - z90*se, High: e + z90*se}, Inner: figure.Interval{Low: e - z50*se, High: e + z50*se}},
		})
		name := st.GreenTitle(g.Green)
		if g.StandsOut {
			name += ", stands out"
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			name, page.Num(e, 2), page.Reach(e-z90*se, e+z90*se, 1), page.Signed(g.Deviation, 2), page.Num(float64(g.Last), 1), fmt.Sprint(g.Rounds),
		}, Total: g.StandsOut})
	}
	return page.Evenness{
		Depths: depths(st, l.TopMM, l.BottomMM), Warnings: c.Warnings,
		Figure: page.Figure{
			Picture: page.Draw(f.Scene()), Says: titledSentence(st, c),
			Sure: fmt.Sprintf("Between greens, standard deviation %s points (%s, 19 in 20).", page.Num(float64(c.SD), 2),
				page.Span(float64(c.SDLower95), float64(c.SDUpper95), 2)),
			YAxis: "Organic matter, %", Note: growthSays(c.Growth), Table: &t,
		},
		Worked: page.Worked{Model: c.Model, Method: c.Method},
	}
}

// greenRows is a row for each green across the layers; none where nothing is measured.
func greenRows(st *standing) (head []string, rows []page.GreenRow) {
	if len(st.Layers) == 0 {
		return nil, nil
	}
	for i := range st.Greens {
		rows = append(rows, page.GreenRow{ID: st.Greens[i].ID, Title: st.Greens[i].Title()})
	}
	for i := range st.Layers {
		l := &st.Layers[i]
		head = append(head, l.Name()+", %")
		for k := range rows {
			level := page.GreenLevel{Level: "–", Range: "–"}
			for _, g := range l.Even.Greens {
				if g.Green == rows[k].ID && l.Even.Known {
					e, se := float64(g.Estimate), float64(g.SE)
					level = page.GreenLevel{Level: page.Num(e, 2), Range: page.Reach(e-z90*se, e+z90*se, 1), StandsOut: g.StandsOut}
				}
			}
			rows[k].Levels = append(rows[k].Levels, level)
		}
	}
	for k := range rows {
		if !slices.ContainsFunc(rows[k].Levels, func(l page.GreenLevel) bool { return l.Level != "–" }) {
			rows[k].Levels = nil
		}
	}
	return head, rows
}

// growthSays tells whether the greens grow apart, with the rate and its interval.
func growthSays(g findings.Growth) string {
	if !g.Known {
		return "To tell whether the spread grows takes three greens in three rounds."
	}
	return fmt.Sprintf("%s The spread changes by %s %% of itself a year (%s, 19 in 20).", g.Sentence(), page.Signed(100*g.PerYear, 0), page.SignedSpan(100*g.Lower95, 100*g.Upper95, 0))
}

// notComparable lists composites that are kept and stand in no trend.
func notComparable(st *standing) []string {
	var out []string
	for i := range st.Bench {
		b := &st.Bench[i]
		switch {
		case b.Comparable():
		case b.Held:
			out = append(out, fmt.Sprintf("%s, %s, round %s: held, because its furnace run failed", st.GreenTitle(b.Green), layerName(b.TopMM, b.BottomMM), b.Round))
		case b.Known:
			out = append(out, fmt.Sprintf("%s, %s, round %s: %s sample, another quantity (%s %%)", st.GreenTitle(b.Green), layerName(b.TopMM, b.BottomMM),
				b.Round, b.Method, page.Num(*b.OrganicMatterPercent, 1)))
		default:
			out = append(out, fmt.Sprintf("%s, %s, round %s: %s", st.GreenTitle(b.Green), layerName(b.TopMM, b.BottomMM), b.Round, strings.Join(b.Warnings, "; ")))
		}
	}
	return out
}
