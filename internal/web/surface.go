package web

import (
	"fmt"
	"math"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/figure"
	"underfoot/internal/web/page"
)

// readingWords are the name, unit and decimals of each kind of reading, in the order they are shown.
var readingWords = []struct {
	kind, name, unit string
	decimals         int
}{
	{"firmness_gmax", "Firmness", "g, drop hammer", 0},
	{"firmness_mm", "Firmness", "mm, penetration depth", 1},
	{"moisture_vwc_percent", "Soil water", "% by volume", 1},
	{"speed_m", "Green speed", "m", 2},
	{"speed_ft", "Green speed", "ft", 1},
	{"infiltration_mm_h", "Infiltration", "mm/h", 0},
}

// readingPanels draws each kind of reading over its last season, against what is wanted.
func readingPanels(st *standing) []page.ReadingPanel {
	var out []page.ReadingPanel
	for _, w := range readingWords {
		k := kindVerdict(st, w.kind)
		days, season := readingDays(st, w.kind)
		if len(days) == 0 {
			continue
		}
		f := figure.Readings{Name: w.name, Unit: w.unit, Decimals: w.decimals, Days: days}
		p := page.ReadingPanel{Name: w.name, Unit: w.unit, Says: fmt.Sprintf("No band wanted. %s in %s.", page.Count(len(days), "day", "days"), season)}
		if k != nil {
			f.Wanted = &figure.Interval{Low: k.Low, High: k.High}
			p.Says = wantedSays(k, w.decimals)
		}
		p.Picture = page.Draw(f.Scene())
		p.Table = readingTable(st, w.kind, days, w.name+", "+w.unit, w.decimals, f.Wanted)
		out = append(out, p)
	}
	return out
}

func kindVerdict(st *standing, kind string) *findings.KindVerdict {
	for i := range st.Direction.Kinds {
		if string(st.Direction.Kinds[i].Kind) == kind {
			return &st.Direction.Kinds[i]
		}
	}
	return nil
}

// wantedSays tells the band and how many days fell outside it.
func wantedSays(k *findings.KindVerdict, decimals int) string {
	var want string
	switch {
	case math.IsInf(k.Low, -1):
		want = "at most " + bandNum(k.High)
	case math.IsInf(k.High, 1):
		want = "at least " + bandNum(k.Low)
	default:
		want = bandNum(k.Low) + " to " + bandNum(k.High)
	}
	s := fmt.Sprintf("Wanted %s. Mean of %s %s", want, k.Season, page.Num(k.Mean, decimals))
	if k.Enough {
		s += " (" + page.Span(k.Low90, k.High90, decimals) + ")"
	}
	switch {
	case k.DaysBelow == 0 && k.DaysAbove == 0:
		s += fmt.Sprintf("; within on all %d days.", k.Days)
	case k.DaysAbove == 0:
		s += fmt.Sprintf("; below on %d of %d days.", k.DaysBelow, k.Days)
	case k.DaysBelow == 0:
		s += fmt.Sprintf("; above on %d of %d days.", k.DaysAbove, k.Days)
	default:
		s += fmt.Sprintf("; below on %d and above on %d of %d days.", k.DaysBelow, k.DaysAbove, k.Days)
	}
	return s
}

func bandNum(v float64) string { return underfoot.FormatNumber(v) }

// readingDays are the points of the picture of a kind, and the season they are of.
func readingDays(st *standing, kind string) ([]figure.Reading, string) {
	days, season := st.ReadingDays(kind)
	out := make([]figure.Reading, len(days))
	for i, d := range days {
		out[i] = figure.Reading{At: d.Date.Time(), Estimate: figure.Estimate{Mid: d.Mean}}
	}
	return out, season
}

func readingTable(st *standing, kind string, days []figure.Reading, caption string, decimals int, wanted *figure.Interval) page.Table {
	greens := map[underfoot.Date]map[string]bool{}
	for _, r := range st.Records.Readings {
		if r.Kind == kind {
			if greens[r.Date] == nil {
				greens[r.Date] = map[string]bool{}
			}
			greens[r.Date][r.Green] = true
		}
	}
	t := page.Table{Caption: caption, Head: []string{"Day", "Mean", "Greens", "Against what is wanted"}}
	for _, d := range days {
		where := "–"
		if wanted != nil {
			switch {
			case d.Mid < wanted.Low:
				where = "below"
			case d.Mid > wanted.High:
				where = "above"
			default:
				where = "within"
			}
		}
		t.Rows = append(t.Rows, page.Row{Cells: []string{
			page.PlainDay(d.At), page.Num(d.Mid, decimals), fmt.Sprint(len(greens[underfoot.DateOf(d.At)])), where,
		}})
	}
	return t
}

// surfaceOf says what the surface asks for, and why.
func surfaceOf(st *standing) page.Surface {
	d := st.Direction
	s := page.Surface{Direction: page.Direction{Verdict: string(d.Verdict)}, Because: st.Reasons()}
	if c := directionChance(st); c != nil {
		s.Chance = c
	}
	return s
}

// directionChance is how surely the readings support the direction; nil where no reading speaks.
func directionChance(st *standing) *page.Chance {
	d := st.Direction
	if d.Verdict == findings.Unknown || d.FromReadings == findings.Unknown || d.Probability == 0 {
		return nil
	}
	words, _ := findings.Chance(d.Probability)
	c := chance(words+" that the readings ask for “"+string(d.Verdict)+"”", d.Probability)
	return &c
}
