package bench

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"underfoot/unit"
)

// Run is one load of the furnace, as far as its checks go.
type Run struct {
	Name     string
	Blanks   []Crucible   // burnt empty: dry and ash are weighings of the same empty crucible
	Controls []Burn       // in the order of the tray
	Pairs    []Pair       // composites burnt twice
	Lightest unit.Grams   // smallest dry mass of a composite in the run; 0 when there is none
	Furnace  unit.Celsius // highest temperature; 0 when not known
}

// QualitySettings are the working defaults of the checks of a run.
type QualitySettings struct {
	BlankPoints unit.Percent // what a blank may shift the lightest composite by before the run fails
}

// QualityDefaults are common practice, no source: a blank that would shift a result by a tenth of a point is more than
// any balance or cooling explains.
func QualityDefaults() QualitySettings { return QualitySettings{BlankPoints: 0.1} }

// Verdict is how a run stands.
type Verdict string

const (
	Pass   Verdict = "pass"
	Look   Verdict = "look"   // usable, with something to look at
	Failed Verdict = "failed" // its results are held until a named person releases them
)

// Check is one check of a run and what it found.
type Check struct {
	What    string // such as "control vm-a, crucible c02"
	Found   string // a sentence without its full stop
	Verdict Verdict
	Rules   []Rule // of the control chart that were broken
}

// Judgement is the verdict on one run.
type Judgement struct {
	Run     string
	Verdict Verdict
	Checks  []Check
	Rules   []Rule // broken by any control of the run, each once
}

// Reasons are the findings that made the run fail.
func (j Judgement) Reasons() []string { return j.sentences(Failed) }

// Looks are the findings that ask for a look.
func (j Judgement) Looks() []string { return j.sentences(Look) }

func (j Judgement) sentences(v Verdict) []string {
	var out []string
	for _, c := range j.Checks {
		if c.Verdict == v {
			out = append(out, c.What+": "+c.Found)
		}
	}
	return out
}

// JudgeRuns gives the verdict on each run of a bench, in order of time.
//
// A run fails when its controls break the rules ([Rejects]) against an accepted value and deviation, or when a blank would
// shift the lightest composite by more than the setting allows. It asks for a look when a control is beyond two
// standard deviations or drifts, when limits drawn from the burns themselves are crossed, when a blank changed by more
// than the balance can explain, or when a pair of duplicates lies outside the limit drawn from the pairs before it. A run without
// control, blank or duplicates passes: nothing was checked, nothing speaks against it. Every burn stays in the chart, those
// of failed runs too.
func JudgeRuns(runs []Run, materials []Material, s QualitySettings) ([]Judgement, error) {
	b := newBenchLog(runs, materials)
	if err := b.check(s); err != nil {
		return nil, err
	}
	out := make([]Judgement, 0, len(runs))
	for i := range runs {
		j := Judgement{Run: runs[i].Name, Verdict: Pass}
		j.Checks = append(j.Checks, b.controls(&runs[i], &j)...)
		for _, c := range runs[i].Blanks {
			j.Checks = append(j.Checks, blank(c, runs[i].Lightest, s))
		}
		j.Checks = append(j.Checks, b.duplicates(&runs[i])...)
		for _, c := range j.Checks {
			j.Verdict = worse(j.Verdict, c.Verdict)
		}
		out = append(out, j)
	}
	return out, nil
}

func worse(a, b Verdict) Verdict {
	rank := func(v Verdict) int { return slices.Index([]Verdict{Pass, Look, Failed}, v) }
	if rank(b) > rank(a) {
		return b
	}
	return a
}

// benchLog is what came before the run that is judged.
type benchLog struct {
	runs      []Run
	materials map[string]Material
	limits    map[string]Limits    // of materials that have any
	before    map[string][]float64 // burns of each material so far, in standard deviations, the last few
	ranges    int                  // pairs so far
	sum       float64              // of their ranges
}

func newBenchLog(runs []Run, materials []Material) *benchLog {
	b := &benchLog{runs: runs, materials: map[string]Material{}, limits: map[string]Limits{}, before: map[string][]float64{}}
	for _, m := range materials {
		b.materials[m.Name] = m
	}
	burns := map[string][]Burn{}
	for _, r := range runs {
		for _, c := range r.Controls {
			burns[c.Material] = append(burns[c.Material], c)
		}
	}
	for name, list := range burns {
		m := b.materials[name]
		m.Name = name
		if l, ok := m.Limits(list); ok {
			b.limits[name] = l
		}
	}
	return b
}

func (b *benchLog) check(s QualitySettings) error {
	var errs []error
	if !(s.BlankPoints > 0 && s.BlankPoints <= 100) {
		errs = append(errs, fmt.Errorf("blank may shift a result by %s points: give a number above 0 and up to 100", number(float64(s.BlankPoints))))
	}
	for _, m := range b.materials {
		errs = append(errs, m.check())
	}
	for _, r := range b.runs {
		for _, c := range r.Blanks {
			if err := c.checkNumbers(); err != nil {
				errs = append(errs, fmt.Errorf("blank of run %s: %w", r.Name, err))
			}
		}
		for _, c := range r.Controls {
			errs = append(errs, c.check())
		}
		if len(r.Pairs) > 0 {
			if _, err := RangeOf(r.Pairs); err != nil {
				errs = append(errs, fmt.Errorf("run %s: %w", r.Name, err))
			}
		}
		if !(r.Lightest >= 0 && r.Lightest <= 10*heaviestCrucible) {
			errs = append(errs, fmt.Errorf("run %s: lightest composite %s g: give grams from 0 to %s", r.Name, number(float64(r.Lightest)), number(float64(10*heaviestCrucible))))
		}
	}
	return errors.Join(errs...)
}

// controls judges the controls of a run, burn by burn.
func (b *benchLog) controls(r *Run, j *Judgement) []Check {
	checks := make([]Check, 0, len(r.Controls))
	var run []float64 // against accepted values, in the order of the tray
	owned := make([]bool, len(r.Controls))
	for i, c := range r.Controls {
		check := Check{What: "control " + c.Material, Verdict: Pass}
		if c.Crucible != "" {
			check.What += ", crucible " + c.Crucible
		}
		l, ok := b.limits[c.Material]
		if !ok {
			check.Found = rounded(float64(c.Value)) + " %, no accepted value and deviation to compare with"
			checks = append(checks, check)
			continue
		}
		z := l.Z(c.Value)
		series := append(b.before[c.Material], z)
		beside := run
		if l.Own {
			owned[i] = true
			beside = nil
		} else {
			run = append(run, z)
			beside = run
		}
		check.Rules = Broken(series, beside)
		b.before[c.Material] = series[max(0, len(series)-longestRule):]
		check.Found = l.says(c.Value, z, check.Rules)
		checks = append(checks, check)
	}
	var against []Rule
	for i, c := range checks {
		for _, rule := range c.Rules {
			if !slices.Contains(j.Rules, rule) {
				j.Rules = append(j.Rules, rule)
			}
			if !owned[i] {
				against = append(against, rule)
			}
		}
	}
	fails := Rejects(against)
	for i := range checks {
		c := &checks[i]
		switch {
		case len(c.Rules) == 0:
		case fails && !owned[i] && (len(c.Rules) > 1 || c.Rules[0] != OneBeyond2):
			c.Verdict = Failed
		default:
			c.Verdict = Look
		}
	}
	return checks
}

// says words a burn against its limits: "4.93 %, 3.4 standard deviations below 5.20: one burn more than three …".
func (l Limits) says(v unit.Percent, z float64, broken []Rule) string {
	side := "above"
	if z < 0 {
		side = "below"
	}
	of := "the accepted "
	if l.Own {
		of = "its own mean of "
	}
	s := fmt.Sprintf("%s %%, %s standard deviations %s %s%s %%", fixed(float64(v), 2), fixed(math.Abs(z), 1), side, of, fixed(float64(l.Centre), 2))
	if len(broken) > 0 {
		s += ": " + broken[len(broken)-1].String()
	}
	return s
}

// blank judges a crucible burnt empty.
func blank(c Crucible, lightest unit.Grams, s QualitySettings) Check {
	out := Check{What: "blank", Verdict: Pass}
	if c.Name != "" {
		out.What += ", crucible " + c.Name
	}
	lost := c.lost()
	by := unit.Grams(math.Abs(float64(lost)))
	if by <= c.explainable() {
		out.Found = "no change the balance can see"
		return out
	}
	verb := "lost"
	if lost < 0 {
		verb = "gained"
	}
	out.Verdict = Look
	out.Found = fmt.Sprintf("%s %s mg, more than the %s mg the balance can explain", verb, rounded(1000*float64(by)), rounded(1000*float64(c.explainable())))
	if lightest > 0 {
		points := unit.Percent(100 * by / lightest)
		out.Found += fmt.Sprintf("; in the lightest composite that is %s points", rounded(float64(points)))
		if points > s.BlankPoints {
			out.Verdict = Failed
			out.Found += fmt.Sprintf(", above the %s allowed", number(float64(s.BlankPoints)))
		}
	}
	return out
}

// duplicates holds each pair of a run against the limit drawn from the pairs of the runs before.
func (b *benchLog) duplicates(r *Run) []Check {
	var out []Check
	for _, p := range r.Pairs {
		c := Check{What: "duplicate" + named(p.Name), Verdict: Pass, Found: rounded(float64(p.Range())) + " points apart"}
		if b.ranges >= leastPairs {
			upper := rangeD4 * b.sum / float64(b.ranges)
			if float64(p.Range()) > upper {
				c.Verdict = Look
				c.Found += fmt.Sprintf(", above the limit of %s drawn from %d pairs before", rounded(upper), b.ranges)
			} else {
				c.Found += fmt.Sprintf(", within the limit of %s", rounded(upper))
			}
		}
		out = append(out, c)
	}
	for _, p := range r.Pairs {
		b.sum += float64(p.Range())
		b.ranges++
	}
	return out
}
