package report

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"underfoot/calibrate"
	"underfoot/internal/app"
)

// Profile is what the profile model says of a course, in words, tables and figures: the section of the report and the
// page of the web app both take it from here.
type Profile struct {
	s *app.Standing
	o *app.Outlook
}

// ProfileOf works out what the model says; the error says in a sentence what is missing.
func ProfileOf(s *app.Standing) (Profile, error) {
	o, err := s.Outlook()
	return Profile{s, o}, err
}

// ProfileIfKnown gives what the model says when that has been worked out already.
func ProfileIfKnown(s *app.Standing) (Profile, bool) {
	o := s.OutlookIfKnown()
	return Profile{s, o}, o != nil
}

// layers gives the layers of the findings that the model speaks of, or all of its own where there are none.
func (p Profile) layers() []app.OutlookLayer {
	var out []app.OutlookLayer
	for _, l := range p.o.Layers {
		if p.s.Layer(l.Top, l.Bottom) != nil {
			out = append(out, l)
		}
	}
	if len(out) == 0 {
		return p.o.Layers
	}
	return out
}

func nameOf(l calibrate.Layer) string {
	return num(l.Top, decimalsOf(l.Top)) + "–" + num(l.Bottom, decimalsOf(l.Bottom)) + " mm"
}

// layerCell is the name of a layer that is not parted in a narrow column.
func layerCell(l calibrate.Layer) string { return strings.ReplaceAll(nameOf(l), " ", "\u00a0") }

// decimalsOf is 0 for a whole number of millimetres and 1 else.
func decimalsOf(mm float64) int {
	if mm == math.Round(mm) {
		return 0
	}
	return 1
}

// value writes an estimate in percent with where it lies 9 times in 10.
func value(e calibrate.Estimate) string {
	return num(100*e.Q50, 1) + " % (" + reachOf(e) + ")"
}

func reachOf(e calibrate.Estimate) string { return span(100*e.Q05, 100*e.Q95, 1) }

// plan is what work the forecast goes by.
func (p Profile) plan() string { return inDays(p.o.Plan) }

var isoDay = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// inDays writes the dates of a remark as people say them.
func inDays(s string) string {
	return isoDay.ReplaceAllStringFunc(s, func(w string) string {
		t, err := time.Parse(time.DateOnly, w)
		if err != nil {
			return w
		}
		return day(t)
	})
}

// Statement is the answer: where the layer at the surface will be.
func (p Profile) Statement() string {
	l := p.layers()[0]
	return fmt.Sprintf("%s will hold about %s of organic matter in %s and %s in %s.", nameOf(l.Layer), value(l.Ahead[0]), month(p.o.Horizons[0].Time()),
		value(l.Ahead[1]), month(p.o.Horizons[1].Time()))
}

// Because says what that goes by, and where the other layers will be.
func (p Profile) Because() []string {
	top := p.layers()[0]
	out := []string{fmt.Sprintf("Now it holds %s. This is with %s. Brackets hold 9 chances in 10.", value(top.Now), p.plan())}
	if p.roundCount() == 1 {
		out = append(out, "One round so far gives a level: how fast it changes rests mostly on what was taken before any round.")
	}
	for _, l := range p.layers()[1:] {
		out = append(out, fmt.Sprintf("%s: %s now, %s in a year, %s in two.", nameOf(l.Layer), value(l.Now), value(l.Ahead[0]), value(l.Ahead[1])))
	}
	return out
}

// Short is the statement with what it goes by, for where nothing else stands beside it.
func (p Profile) Short() string { return p.Statement() + " This is with " + p.plan() + "." }

// AheadTable sets every layer now beside one and two years on.
func (p Profile) AheadTable() Table {
	t := Table{
		Caption: "Organic matter by layer, % of oven-dry mass",
		Columns: []Column{{"Layer", false}, {"Now", true}, {shortMonth(p.o.Horizons[0].Time()), true}, {shortMonth(p.o.Horizons[1].Time()), true}},
		Note:    "In brackets where it lies 9 times in 10, the mean of all greens.",
	}
	for _, l := range p.layers() {
		row := []string{layerCell(l.Layer)}
		for _, e := range append([]calibrate.Estimate{l.Now}, l.Ahead...) {
			row = append(row, num(100*e.Q50, 1)+" ("+num(100*e.Q05, 1)+"–"+num(100*e.Q95, 1)+")")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// FanTable is the table behind the forecast.
func (p Profile) FanTable() Table {
	t := Table{
		Caption: "The model by date and layer, the mean of all greens, % of oven-dry mass",
		Columns: []Column{{"Date", false}, {"Layer", false}, {"Middle", true}, {"5 in 10", true}, {"9 in 10", true}},
	}
	add := func(points []app.OutlookPoint, layer string) {
		for _, q := range points {
			t.Rows = append(t.Rows, []string{shortDay(q.Day.Time()), layer, num(100*q.Q50, 2), span(100*q.Q25, 100*q.Q75, 2), span(100*q.Q05, 100*q.Q95, 2)})
		}
	}
	for _, l := range p.layers() {
		add(l.Past, layerCell(l.Layer))
		add(l.Future, layerCell(l.Layer)+", ahead")
	}
	return t
}

// GreensTable is the forecast of every green.
func (p Profile) GreensTable() Table {
	t := Table{
		Caption: "Forecast by green, % of oven-dry mass, with where it lies 9 times in 10",
		Columns: []Column{{"Green", false}, {"Layer", false}, {month(p.o.Horizons[0].Time()), true}, {"9 in 10", true}, {month(p.o.Horizons[1].Time()), true}, {"9 in 10", true}},
	}
	for g, green := range p.o.Model.Fit.Course.Greens {
		for _, l := range p.layers() {
			row := []string{p.s.GreenTitle(green.Name), layerCell(l.Layer)}
			for _, e := range l.Greens[g] {
				row = append(row, num(100*e.Q50, 1), reachOf(e))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// BackSays is what leaving the last round out showed.
func (p Profile) BackSays() string {
	k := p.o.Skill
	if k.N == 0 {
		return sentence(p.o.BackWhy)
	}
	words := fmt.Sprintf("Calibrated without the round of %s, the model foretold it with a typical miss of %s points; %s of %s lay within the range given.",
		month(p.backDay()), num(k.Model, 2), count(k.Inside, "layer", "layers"), count(k.N, "layer", "layers"))
	if k.Inside == k.N {
		words = fmt.Sprintf("Calibrated without the round of %s, the model foretold it with a typical miss of %s points; every layer lay within the range given.",
			month(p.backDay()), num(k.Model, 2))
	}
	if !math.IsNaN(k.LastValue) {
		words += fmt.Sprintf(" Taking the last value as it stood would have missed by %s.", num(k.LastValue, 2))
	}
	return words
}

func (p Profile) backDay() time.Time {
	if len(p.o.Back) == 0 {
		return time.Time{}
	}
	return dayOf(p.o.Back[0].Day)
}

// BackTable sets what was foretold beside what was measured.
func (p Profile) BackTable() Table {
	t := Table{
		Caption: "The round of " + month(p.backDay()) + ", left out and foretold, %",
		Columns: []Column{{"Layer", false}, {"Foretold", true}, {"9 in 10", true}, {"Measured", true}, {"Off by", true}, {"Last value", true}, {"Off by", true}},
		Note:    "The range is for what composites of the same greens would read, scatter of cores and bench included.",
	}
	for _, h := range p.o.Back {
		last, off := "–", "–"
		if !math.IsNaN(h.LastValue) {
			last, off = num(100*h.LastValue, 2), signed(100*(h.LastValue-h.Measured), 2)
		}
		t.Rows = append(t.Rows, []string{
			layerCell(h.Layer), num(100*h.Foretold.Mean, 2), span(100*h.Sampled.Q05, 100*h.Sampled.Q95, 2), num(100*h.Measured, 2),
			signed(100*(h.Foretold.Mean-h.Measured), 2), last, off,
		})
	}
	return t
}

// MisfitSays names the rounds that do not fit, or says that all do.
func (p Profile) MisfitSays() []string {
	var out []string
	for _, m := range p.o.Misfits {
		if m.Odd() {
			out = append(out, sentence(m.Sentence()))
		}
	}
	if len(out) == 0 {
		return []string{"Every round and layer fits: none lies further from the model than scatter would put one in a hundred."}
	}
	return out
}

// LearntSays says how much of the answer is the rounds' and how much still the prior's.
func (p Profile) LearntSays() string {
	n := map[string]int{}
	for _, l := range p.o.Learnt {
		n[l.Word()]++
	}
	return fmt.Sprintf("Of %s unknowns the rounds decided %s; %s half and half, and %s still as taken before any round.", num(float64(len(p.o.Learnt)), 0),
		strings.TrimSpace(count(n["the rounds decided"], "", "")), count(n["half and half"], "is", "are"), count(n["still the prior"], "is", "are"))
}

// LearntLists names the unknowns by who decided them.
func (p Profile) LearntLists() []string {
	var out []string
	for _, w := range []struct{ word, before string }{
		{"the rounds decided", "The rounds decided"}, {"half and half", "Half and half"}, {"still the prior", "Still as taken before any round"},
	} {
		var names []string
		for _, l := range p.o.Learnt {
			if l.Word() == w.word {
				names = append(names, unknownName(l))
			}
		}
		if len(names) > 0 {
			out = append(out, w.before+": "+strings.Join(names, "; ")+".")
		}
	}
	return out
}

// Source says where the prior comes from.
func (p Profile) Source() string {
	prior := p.o.Model.Fit.Prior
	if prior.Courses > 0 {
		return fmt.Sprintf("What was taken before any round of this course comes from %s: %s", count(prior.Courses, "other course", "other courses"), ended(prior.Source))
	}
	return "What was taken before any round of this course: " + ended(prior.Source)
}

// Notes are what was filled in, left out or assumed.
func (p Profile) Notes() []string {
	var out []string
	for _, n := range p.o.Model.Notes {
		if n = inDays(sentence(n)); !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// ProfileMethod says how the model works, what it leaves out and what it rests on.
func ProfileMethod() []string {
	return []string{
		"The profile is a stack of parcels of sand and organic matter. Grass makes organic matter by temperature and nitrogen, most of it near the surface; it decays with temperature in a fast and a slow part; dressings lie on top and bury what was there; tines take out a share of every parcel they reach, and what fills the holes dilutes. Every run closes its account of both masses.",
		"What is not known – how much is made, how fast it decays, how deep, what tines and spreaders really did – starts from published ranges or working defaults and is learnt from the course's own rounds, by the mode of the posterior and weighted draws about it. Greens differ from the course by as much as the rounds show. Where model and greens differ in ways the model does not know, that difference is estimated too and stands in every range.",
		"Weather ahead is drawn from the course's own years; years unlike any of them are not foreseen. Water, compaction, disease and traffic are not in the model. A forecast is no promise: what is really put on decides.",
		"Rests on: additive volumes of sand and organic matter (Federer et al. 1993, Can J For Res 23:1026–1032; Adams 1973, J Soil Sci 24:10–17, from memory); decay in two pools (Coleman & Jenkinson 1996, RothC-26.3, from memory) with a Q10; Pareto-smoothed weights (Vehtari et al. 2024, JMLR 25:1–58).",
	}
}

// Over says what the outlook was worked out from.
func (p Profile) Over() string {
	return fmt.Sprintf("Model of the profile, calibrated to %s, as of %s", count(p.roundCount(), "round", "rounds"), day(p.o.From.Time()))
}

// roundCount counts the rounds the model was calibrated to.
func (p Profile) roundCount() int {
	seen := map[string]bool{}
	for _, m := range p.o.Model.Fit.Course.Measured {
		seen[m.Round] = true
	}
	return len(seen)
}

// BurialSays says how far what lay on top has sunk, and how far it will have.
func (p Profile) BurialSays() string {
	b := p.o.Burial
	last := len(b.Dates) - 1
	now := last
	for now > 0 && b.Dates[now] > p.o.From {
		now--
	}
	for _, z := range b.Seasons {
		if d := z.Depth[now]; d > 0 {
			return fmt.Sprintf("What lay at the surface in January %d lies about %s mm deep now, and will lie %s mm deep in %s.", z.Year, num(d, 0), num(z.Depth[last], 0), month(b.Dates[last].Time()))
		}
	}
	return "Nothing has been buried yet: no sand is on record since the model begins."
}

// BurialSure says what the chart is of.
func (p Profile) BurialSure() string {
	return "The likeliest run of the model, of a green that got the work most greens got; after today with " + p.plan() + ". How sure it is stands in the chart below it."
}

// BurialTable is organic matter by date and depth, at the turn of each year.
func (p Profile) BurialTable() Table {
	b := p.o.Burial
	t := Table{Caption: "Organic matter by depth, %, and where what lay on top each January lies, mm", Columns: []Column{{"Date", false}}}
	const each = 4 // rows of 2.5 mm
	for j := 0; j+each < len(b.Depths); j += each {
		t.Columns = append(t.Columns, Column{num(b.Depths[j], 0) + "–" + num(b.Depths[j+each], 0) + " mm", true})
	}
	for _, z := range b.Seasons {
		t.Columns = append(t.Columns, Column{fmt.Sprintf("Jan %d", z.Year), true})
	}
	for i, d := range b.Dates {
		if d.Time().YearDay() != 1 && i > 0 && i < len(b.Dates)-1 {
			continue
		}
		row := []string{shortDay(d.Time())}
		for j := 0; j+each < len(b.Depths); j += each {
			sum := 0.0
			for k := range each {
				sum += b.OM[i][j+k] / each
			}
			row = append(row, num(sum, 1))
		}
		for _, z := range b.Seasons {
			if math.IsNaN(z.Depth[i]) {
				row = append(row, "–")
				continue
			}
			row = append(row, num(z.Depth[i], 0))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// FanSays says which way each layer is going, in words that hold no more than the ranges do.
func (p Profile) FanSays() string {
	said := map[string][]string{}
	for _, l := range p.layers() {
		e := l.Ahead[1]
		switch {
		case e.Q05 > l.Now.Q50:
			said["up"] = append(said["up"], nameOf(l.Layer))
		case e.Q95 < l.Now.Q50:
			said["down"] = append(said["down"], nameOf(l.Layer))
		default:
			said["same"] = append(said["same"], nameOf(l.Layer))
		}
	}
	var out []string
	for _, w := range []struct{ key, words string }{{"up", "higher than now in two years"}, {"down", "lower than now in two years"}, {"same", "not told apart from now in two years"}} {
		if names := said[w.key]; len(names) > 0 {
			out = append(out, list(names)+": "+w.words)
		}
	}
	return strings.Join(out, "; ") + "."
}

// FanSure says what the ranges hold.
func (p Profile) FanSure() string {
	return fmt.Sprintf("With %s, and weather drawn from the course's own years. The wide band holds 9 chances in 10, the narrow one 5.", p.plan())
}

// AccountSure says what the account is.
func (p Profile) AccountSure() string {
	return "The middle of what the model holds likely; whiskers hold 9 chances in 10. The parts add up to the change, run by run."
}

// LearntSure says how to read the picture.
func (p Profile) LearntSure() string {
	return "Bands and whiskers hold 9 chances in 10; each row has its own axis."
}

// LearntTable sets what was taken before any round beside what is known now.
func (p Profile) LearntTable() Table {
	t := Table{
		Caption: "The unknowns of the model",
		Columns: []Column{{"Unknown", false}, {"Before", true}, {"9 in 10", true}, {"Now", true}, {"9 in 10", true}, {"Unit", false}, {"Who decided", false}, {"What was taken before rests on", false}},
	}
	for _, l := range p.o.Learnt {
		k, unit, d := unknownUnit(l)
		t.Rows = append(t.Rows, []string{
			upper(unknownName(l)), num(k*l.Prior.Q50, d), span(k*l.Prior.Q05, k*l.Prior.Q95, d), num(k*l.After.Q50, d), span(k*l.After.Q05, k*l.After.Q95, d), unit, l.Word(), l.Entry().Source,
		})
	}
	return t
}
