package findings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"underfoot/unit"
)

// responseRow is one green on one day: its firmness, its water content and its organic matter.
type responseRow struct {
	green       string
	date        time.Time
	firm, water float64
	om          omDay
}

// responseRows are the readings that can be held against organic matter, and what they were taken from.
type responseRows struct {
	rows           []responseRow
	days           *omOfDays
	firm, water    int // greens and days with firmness; of them, with water content too
	unsampled, far int // of those, left out because the green was never sampled, or no round is near
	greens, dates  int
}

type greenDay struct{ green, day string }

// dayValue averages the readings of one kind by green and day.
func dayValues(readings []Reading, k Kind) (mean map[greenDay]float64, date map[greenDay]time.Time) {
	mean, date = map[greenDay]float64{}, map[greenDay]time.Time{}
	n := map[greenDay]float64{}
	for _, r := range readings {
		if r.Kind != k {
			continue
		}
		at := greenDay{r.Green, r.Date.Format(time.DateOnly)}
		n[at]++
		mean[at] += (r.Value - mean[at]) / n[at]
		date[at] = r.Date
	}
	return mean, date
}

// join puts firmness, water content and organic matter of the same green and day together.
func (r *Response) join(readings []Reading, top Layer) *responseRows {
	out := &responseRows{days: newOMOfDays(top)}
	firm, date := dayValues(readings, r.Kind)
	water, _ := dayValues(readings, Moisture)
	greens, dates := map[string]bool{}, map[string]bool{}
	for at, f := range firm {
		out.firm++
		w, ok := water[at]
		if !ok {
			continue
		}
		out.water++
		if _, sampled := out.days.own[at.green]; !sampled {
			out.unsampled++
			continue
		}
		om, ok := out.days.at(at.green, date[at])
		if !ok {
			out.far++
			continue
		}
		greens[at.green], dates[at.day] = true, true
		out.rows = append(out.rows, responseRow{at.green, date[at], f, w, om})
	}
	slices.SortFunc(out.rows, func(a, b responseRow) int {
		return cmp.Or(a.date.Compare(b.date), cmp.Compare(a.green, b.green))
	})
	out.greens, out.dates = len(greens), len(dates)
	r.N, r.Greens, r.Days, r.Left, r.How = len(out.rows), out.greens, out.dates, out.firm-len(out.rows), out.days.how()
	return out
}

// column takes one number of every row.
func (s *responseRows) column(of func(responseRow) float64) []float64 {
	out := make([]float64, len(s.rows))
	for i, r := range s.rows {
		out[i] = of(r)
	}
	return out
}

func firmOf(r responseRow) float64  { return r.firm }
func waterOf(r responseRow) float64 { return r.water }
func omOf(r responseRow) float64    { return r.om.om }

// moves reports whether values differ by more than rounding.
func moves(values []float64) bool {
	low, high := slices.Min(values), slices.Max(values)
	return high-low > 1e-9*math.Max(1, math.Abs(high))
}

// cannot says in a sentence why organic matter cannot be held against the readings, or "".
func (s *responseRows) cannot(r Response) string {
	name := wordsOf(r.Kind).name
	layer := layerName(r.TopMM, r.BottomMM)
	switch {
	case len(s.days.top.Rounds) == 0:
		return fmt.Sprintf("No organic matter of the layer at the surface is known yet to hold %s against.", name)
	case s.water == 0:
		return fmt.Sprintf("No water content was read beside %s: what organic matter does by itself and what it does through water cannot be told apart.", name)
	case len(s.rows) == 0 && s.unsampled > 0:
		return fmt.Sprintf("None of the greens with readings of %s and water content was sampled in %s.", name, layer)
	case len(s.rows) == 0:
		return fmt.Sprintf("No reading of %s lies between rounds of %s or within three months of one.", name, layer)
	case s.greens < 2:
		return fmt.Sprintf("All readings of %s with water content are from one green: two greens at least are needed to hold them against organic matter.", name)
	case s.dates < 2:
		return fmt.Sprintf("All readings of %s with water content are from one day: two days at least are needed to hold them against organic matter.", name)
	case len(s.rows) < fewestResponses:
		return fmt.Sprintf("Only %s of %s with water content and organic matter beside it: at least %d are needed.", count(len(s.rows), "reading"), name, fewestResponses)
	case !moves(s.column(firmOf)):
		return fmt.Sprintf("Every reading of %s is the same, which is a stuck instrument or a copied number: nothing can be held against it.", name)
	case !moves(s.column(waterOf)):
		return fmt.Sprintf("Every reading of water content beside %s is the same, which is a stuck instrument or a copied number: what water does cannot be told.", name)
	case !moves(s.column(omOf)):
		return fmt.Sprintf("Organic matter in %s is the same on every green and day as far as the composites know: what it does to %s cannot be told.", layer, name)
	}
	return ""
}

func layerName(top, bottom unit.Millimetres) string {
	return fmt.Sprintf("%s–%s mm", bare(float64(top)), bare(float64(bottom)))
}

func bandOf(k Kind, targets []Target) Target {
	for _, t := range targets {
		if t.Kind == k {
			return t
		}
	}
	return Target{Kind: k, Low: math.Inf(-1), High: math.Inf(1)}
}
