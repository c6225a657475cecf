package app

import (
	"slices"
	"time"

	"underfoot"
	"underfoot/balance"
	"underfoot/findings"
)

// Summary is what a list of many courses says of one: a few facts out of its standing, small enough to be kept. It holds
// no sentence and nothing that moves with the day; what is due or late follows from its dates.
type Summary struct {
	Course  string // key
	Latest  int64  // the course's last change it was made after
	Made    string // the program that made it
	Day     underfoot.Date
	Until   underfoot.Date // from this day on a record that lies ahead may change it; 0 for none
	Problem string         // why the course could not be worked out; everything below is then empty

	Surface string
	Greens  int     // of the surface
	Species string  // of all of them; empty where they differ or it is not known
	AreaM2  float64 // of those greens together, 0 when not known

	Layers    []SummaryLayer // from the top down
	Direction findings.Verdict
	Judged    bool             // the direction is a stated judgement
	Was       findings.Verdict // the direction before it turned, empty when it did not while this was kept
	Turned    underfoot.Date   // the day that was noticed

	Readings, Targets int // on record
	LastRound         underfoot.Date
	Composites        int // of the last round
	Waiting           int // of those, without a result
	Held              int // composites whose furnace run failed and was not released
	HeldRun           string

	Rounds  []SummaryDate // planned and not yet taken, by date
	Planned []SummaryDate // work planned, by date; the kind is its name
	Season  *Season       // the last with work logged
	Need    *SummaryNeed  // sand that holds the layer at the surface
	Settled bool          // whether the profile model has been asked about it, or need not be
	Learns  string        // species of the courses its model learns from
	Taught  string        // what they taught it, as a short text that is another one when that moves
}

// SummaryDate is something on a day.
type SummaryDate struct {
	Date underfoot.Date
	Name string
}

// SummaryLayer is the rounds of a layer and their trend.
type SummaryLayer struct {
	TopMM, BottomMM float64
	Rounds          []SummaryRound // oldest first
	Estimated       bool           // whether there is a trend
	Verdict         findings.TrendVerdict
	Slope           float64 // points of organic matter a year
	Low90, High90   float64 // its 90 % interval
}

// Name names the layer by its depths.
func (l *SummaryLayer) Name() string { return underfoot.LayerName(l.TopMM, l.BottomMM) }

// Last is the last round; a layer has at least one.
func (l *SummaryLayer) Last() SummaryRound { return l.Rounds[len(l.Rounds)-1] }

// SummaryRound is the mean of a layer in a round, % of organic matter with its 90 % interval.
type SummaryRound struct {
	At              time.Time
	Mean, Low, High float64
	Released        bool // results of a failed run that was released stand in it
}

// SummaryNeed is the sand a year that holds a layer, mm over the whole surface, with the interval that holds 9 times in 10.
type SummaryNeed struct {
	Layer          string
	Mid, Low, High float64
	Basis          balance.Basis
}

// summaryOf picks the facts out of a standing; it never works a model out.
func summaryOf(st *Standing, latest int64) *Summary {
	rs := st.Records
	s := &Summary{
		Course: rs.Course.ID, Latest: latest, Made: program(), Day: st.Today, Until: st.ahead(), Surface: st.Surface, Greens: len(st.Greens), AreaM2: st.AreaM2,
		Direction: st.Direction.Verdict, Judged: st.Judgement != nil, Readings: len(rs.Readings), Targets: len(rs.Targets), Settled: st.Settled(),
	}
	s.Species = st.Species()
	for i := range st.Layers {
		s.Layers = append(s.Layers, summaryLayer(&st.Layers[i]))
	}
	s.bench(st)
	taken := map[string]bool{}
	for i := range rs.Samples {
		taken[rs.Samples[i].RoundLabel()] = true
	}
	for i := range rs.RoundPlans {
		if r := &rs.RoundPlans[i]; !taken[r.Round] {
			s.Rounds = append(s.Rounds, SummaryDate{r.Date, r.Round})
		}
	}
	for i := range st.Planned {
		s.Planned = append(s.Planned, SummaryDate{st.Planned[i].Work.Date, st.Planned[i].Work.Kind})
	}
	slices.SortStableFunc(s.Rounds, func(a, b SummaryDate) int { return int(a.Date - b.Date) })
	if n := len(st.Seasons); n > 0 {
		season := st.Seasons[n-1]
		s.Season = &season
	}
	s.Need, s.Learns, s.Taught = st.needKnown(), st.speciesOf(), st.taught
	return s
}

// bench counts what waits at the bench, and what is held there.
func (s *Summary) bench(st *Standing) {
	label := ""
	for i := range st.Records.Samples {
		if x := &st.Records.Samples[i]; x.Date > s.LastRound {
			label, s.LastRound = x.RoundLabel(), x.Date
		}
	}
	known := map[string]bool{}
	for i := range st.Bench {
		row := &st.Bench[i]
		known[row.Sample] = row.Known
		if row.Held {
			s.Held++
			if n := len(row.FurnaceRuns); n > 0 {
				s.HeldRun = row.FurnaceRuns[n-1]
			}
		}
	}
	for i := range st.Records.Samples {
		if x := &st.Records.Samples[i]; x.RoundLabel() == label {
			s.Composites++
			if !known[x.ID] {
				s.Waiting++
			}
		}
	}
}

func summaryLayer(l *Layer) SummaryLayer {
	out := SummaryLayer{TopMM: l.TopMM, BottomMM: l.BottomMM, Estimated: l.Trend.Estimated}
	if t := l.Trend; t.Estimated {
		out.Verdict, out.Slope, out.Low90, out.High90 = t.Verdict, t.SlopePerYear, t.Lower90, t.Upper90
	}
	for _, m := range l.Rounds {
		out.Rounds = append(out.Rounds, SummaryRound{At: m.Date, Mean: float64(m.Mean), Low: float64(m.Low90), High: float64(m.High90), Released: l.Released(m.Round)})
	}
	return out
}

// Species is the species of the greens of the surface, empty where those that have one differ.
func (s *Standing) Species() string {
	one := ""
	for i := range s.Greens {
		switch name := s.Greens[i].Species; {
		case name == "" || name == one:
		case one == "":
			one = name
		default:
			return ""
		}
	}
	return one
}

// needKnown is the sand that holds the layer at the surface as far as it has been worked out.
func (s *Standing) needKnown() *SummaryNeed {
	sheet := s.BalanceKnown()
	if sheet == nil {
		return nil
	}
	for i := range sheet.Layers {
		if h := &sheet.Layers[i]; h.Answered() && h.Top == 0 {
			mm := h.Hold.Times(1000 / float64(s.SandDensity()))
			return &SummaryNeed{Layer: h.Name(), Mid: mm.Q50, Low: mm.Q05, High: mm.Q95, Basis: h.Basis}
		}
	}
	return nil
}

// ahead is the first day after today on which a record that is there already begins to count; 0 for none. What is planned
// is no such record.
func (s *Standing) ahead() underfoot.Date {
	first := underfoot.Date(0)
	take := func(d underfoot.Date) {
		if d > s.Today && (first == 0 || d < first) {
			first = d
		}
	}
	rs := s.Records
	for i := range rs.Samples {
		take(rs.Samples[i].Date)
	}
	for i := range rs.Readings {
		take(rs.Readings[i].Date)
	}
	for i := range rs.Work {
		if !rs.Work[i].Planned() {
			take(rs.Work[i].Date)
		}
	}
	for i := range rs.Judgements {
		take(rs.Judgements[i].Date)
	}
	return first
}

// turn carries over what the summary before knew of the direction: since when it is another.
func (s *Summary) turn(before *Summary) {
	switch {
	case before == nil || before.Problem != "" || s.Problem != "":
	case before.Direction != s.Direction && before.Direction != findings.Unknown && s.Direction != findings.Unknown:
		s.Was, s.Turned = before.Direction, s.Day
	case before.Direction == s.Direction:
		s.Was, s.Turned = before.Was, before.Turned
	}
}
