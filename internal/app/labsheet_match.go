package app

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"underfoot"
	"underfoot/internal/labsheet"
)

// sheetMatcher finds out which samples of a course the rows of a sheet are.
type sheetMatcher struct {
	rs      *underfoot.Records
	p       *LabPreview
	today   underfoot.Date
	samples map[string]*underfoot.Sample
	made    map[string]*underfoot.Sample // samples that the sheet brings
	results map[string]*underfoot.Result
	weighed map[crucibleOf]*underfoot.Weighing
	number  map[string]int // crucibles of a sample that have no name
	used    map[string]string
}

type crucibleOf struct{ sample, crucible string }

func newSheetMatcher(rs *underfoot.Records, p *LabPreview, now time.Time) *sheetMatcher {
	m := &sheetMatcher{
		rs: rs, p: p, today: rs.Course.Today(now), samples: map[string]*underfoot.Sample{}, made: map[string]*underfoot.Sample{},
		results: map[string]*underfoot.Result{}, weighed: map[crucibleOf]*underfoot.Weighing{}, number: map[string]int{}, used: map[string]string{},
	}
	for i := range rs.Samples {
		m.samples[rs.Samples[i].ID] = &rs.Samples[i]
	}
	for i := range rs.Results {
		m.results[rs.Results[i].Sample] = &rs.Results[i]
	}
	for i := range rs.Weighings {
		w := &rs.Weighings[i]
		m.weighed[crucibleOf{w.Sample, w.Crucible}] = w
	}
	return m
}

func (m *sheetMatcher) problem(r *LabRow, place, format string, args ...any) {
	if place == "" {
		place = r.Place
	}
	r.Bad = true
	x := labsheet.Problem{Place: place, Text: fmt.Sprintf(format, args...)}
	if !slices.Contains(m.p.Problems, x) {
		m.p.Problems = append(m.p.Problems, x)
	}
}

func (m *sheetMatcher) note(place, format string, args ...any) {
	x := labsheet.Note{Place: place, Text: fmt.Sprintf(format, args...)}
	if !slices.Contains(m.p.Notes, x) {
		m.p.Notes = append(m.p.Notes, x)
	}
}

// row turns a row of the sheet into records.
func (m *sheetMatcher) row(x *labsheet.Row) {
	r := LabRow{Place: x.Place, Bad: x.Bad, Date: x.Text[labsheet.FieldDate], Green: x.Text[labsheet.FieldGreen], Sample: x.Text[labsheet.FieldSample]}
	if top, bottom, ok := rowLayer(x); ok {
		r.Layer = underfoot.LayerName(top, bottom)
	}
	m.says(&r, x)
	switch m.p.Kind {
	case labsheet.Results:
		if s := m.sample(&r, x); s != nil {
			m.result(&r, x, s)
		}
	case labsheet.Weighings:
		m.weighing(&r, x)
	case labsheet.Sieve:
		m.sieve(&r, x)
	}
	for _, record := range r.records {
		m.check(&r, x, record)
	}
	m.p.Rows = append(m.p.Rows, r)
}

func rowLayer(x *labsheet.Row) (top, bottom float64, ok bool) {
	top, okTop := x.Number[labsheet.FieldTop]
	bottom, okBottom := x.Number[labsheet.FieldBottom]
	return top, bottom, okTop && okBottom && bottom > top
}

// says puts the values of the row in words.
func (m *sheetMatcher) says(r *LabRow, x *labsheet.Row) {
	var parts []string
	add := func(f labsheet.Field, name, unit string) {
		if v, ok := x.Number[f]; ok {
			parts = append(parts, strings.TrimSpace(name+" "+underfoot.FormatNumber(v)+" "+unit))
		}
	}
	add(labsheet.FieldOM, "", "%")
	add(labsheet.FieldOMSD, "±", "%")
	add(labsheet.FieldDryMass, "dry", "g")
	if c := x.Text[labsheet.FieldCrucible]; c != "" {
		parts = append(parts, "crucible "+c)
	}
	add(labsheet.FieldTare, "tare", "g")
	add(labsheet.FieldMoist, "moist", "g")
	add(labsheet.FieldDry, "dry", "g")
	add(labsheet.FieldAsh, "ash", "g")
	if n := len(x.Sieve); n > 0 {
		var shown []string
		for _, s := range x.Sieve {
			name := underfoot.FormatNumber(s.OpeningMM) + " mm"
			if s.OpeningMM == 0 {
				name = "pan"
			}
			shown = append(shown, name+" "+underfoot.FormatNumber(math.Round(s.RetainedG*1000)/1000)+" g")
		}
		parts = append(parts, strings.Join(shown, ", "))
	}
	r.Says = strings.Join(parts, ", ")
	if m.p.Kind != labsheet.Results {
		return
	}
	switch x.Text[labsheet.FieldMethod] {
	case "screened", "scooped":
		r.Apart = x.Text[labsheet.FieldMethod] + ": another quantity, kept out of trends"
	case "":
		r.Apart = "method not stated: kept out of trends until it is"
	}
}

// fold makes names of greens and sands comparable: small letters without the word for a green, blanks and leading zeros.
func fold(s string) string {
	var out []string
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" .,;:_-–()/#", r) }) {
		switch w {
		case "green", "grün", "grønn", "grøn", "hole", "loch", "hull", "hål", "bahn", "no", "nr", "the":
			continue
		}
		if letters := strings.TrimRight(w, "0123456789"); letters == "g" || letters == "h" || letters == "" {
			w = strings.TrimLeft(strings.TrimPrefix(strings.TrimPrefix(w, "g"), "h"), "0")
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

// green finds the course's green that the sheet means; empty when it is not known, "-" when its rows are left out.
func (m *sheetMatcher) green(words string) string {
	i := slices.IndexFunc(m.p.Greens, func(g LabGreen) bool { return g.Words == words })
	if i < 0 {
		g := LabGreen{Words: words}
		if said, ok := m.p.order.Greens[words]; ok && said != "" {
			g.Green = said
		} else {
			g.Green, g.Guess = m.greenLike(words), true
		}
		m.p.Greens = append(m.p.Greens, g)
		i = len(m.p.Greens) - 1
	}
	m.p.Greens[i].Rows++
	return m.p.Greens[i].Green
}

// greenLike is the only green whose key or name the words are.
func (m *sheetMatcher) greenLike(words string) string {
	for _, g := range m.rs.Greens {
		if g.ID == words || g.Name == words {
			return g.ID
		}
	}
	found := ""
	for _, g := range m.rs.Greens {
		if f := fold(words); f != "" && (fold(g.ID) == f || fold(g.Name) == f) {
			if found != "" {
				return ""
			}
			found = g.ID
		}
	}
	return found
}

// nearMM is how far the ends of a layer may be from those of a layer of the course to be taken for it, in mm: less than
// half of what a knife cuts apart (common practice, no source).
const nearMM = 1.0

// sample finds the sample a row is about, or makes it. Nil when it cannot, with the problem told, or when it is left out.
func (m *sheetMatcher) sample(r *LabRow, x *labsheet.Row) *underfoot.Sample {
	name := x.Text[labsheet.FieldSample]
	top, bottom, layered := rowLayer(x)
	if s := m.samples[name]; s != nil && name != "" {
		m.agrees(r, x, s)
		return m.takes(r, s)
	}
	words := x.Text[labsheet.FieldGreen]
	green := ""
	if words != "" {
		green = m.green(words)
		switch {
		case green == "-":
			r.Out = true
			return nil
		case green == "":
			m.problem(r, x.At[labsheet.FieldGreen], "%q is no green of this course: say which of its greens is meant, or leave its rows out", words)
			return nil
		case !slices.ContainsFunc(m.rs.Greens, func(g underfoot.Green) bool { return g.ID == green }):
			m.problem(r, x.At[labsheet.FieldGreen], "green %q is not on this course", green)
			return nil
		}
		r.Green = green
	}
	if green == "" || !layered {
		missing := "its green and its layer"
		switch {
		case green != "":
			missing = "its layer"
		case layered:
			missing = "its green"
		}
		if name == "" {
			m.problem(r, "", "nothing says which sample this is: %s is not known", missing)
		} else {
			m.problem(r, x.At[labsheet.FieldSample], "sample %q is not on this course, and to make it %s is not known", name, missing)
		}
		return nil
	}
	top, bottom = m.courseLayer(r, top, bottom)
	r.Layer = underfoot.LayerName(top, bottom)
	date, known := underfoot.Date(0), false
	if d, err := underfoot.ParseDate(r.Date); err == nil {
		date, known = d, true
	}
	position := x.Text[labsheet.FieldPosition]
	var same, waiting []*underfoot.Sample
	for i := range m.rs.Samples {
		s := &m.rs.Samples[i]
		if s.Green == green && s.TopMM == top && s.BottomMM == bottom && (!known || s.Date == date) && (position == "" || s.Position == position) && (x.Text[labsheet.FieldRound] == "" || known || s.RoundLabel() == x.Text[labsheet.FieldRound]) {
			same = append(same, s)
			if m.waits(s, x) {
				waiting = append(waiting, s)
			}
		}
	}
	if !known && x.Text[labsheet.FieldRound] == "" { // which round it is of only a sample that waits for its values tells
		if same = waiting; len(same) > 1 {
			name = ""
		}
	}
	switch {
	case len(same) == 1:
		if name != "" {
			m.note(x.At[labsheet.FieldSample], "%q is taken for sample %s: the same green, layer and day", name, same[0].ID)
		}
		return m.takes(r, same[0])
	case len(same) > 1 && name == "":
		m.problem(r, "", "%d samples of green %s, %s, are there: give the sample's name, or the date of the round", len(same), green, r.Layer)
		return nil
	case !known && x.At[labsheet.FieldDate] != "": // what is wrong with its date was told
		r.Bad = true
		return nil
	case !known:
		m.problem(r, x.At[labsheet.FieldDate], "the date is not known, so the sample cannot be made: point at the column of dates, or give one date for all rows")
		return nil
	case date > m.today:
		m.problem(r, x.At[labsheet.FieldDate], "%s is still to come: samples can be of up to today, %s", date, m.today)
		return nil
	}
	return m.newSample(r, x, name, green, date, top, bottom)
}

// waits says whether a sample has no values of the sheet's kind yet, or those of the row.
func (m *sheetMatcher) waits(s *underfoot.Sample, x *labsheet.Row) bool {
	switch m.p.Kind {
	case labsheet.Sieve:
		return !slices.ContainsFunc(m.rs.Sieve, func(k underfoot.Sieve) bool { return k.Source == "sample:"+s.ID })
	case labsheet.Weighings:
		if m.weighed[crucibleOf{s.ID, x.Text[labsheet.FieldCrucible]}] != nil {
			return true
		}
	default:
		if old := m.results[s.ID]; old != nil {
			return old.OMPercent == x.Number[labsheet.FieldOM]
		}
	}
	return m.results[s.ID] == nil && !slices.ContainsFunc(m.rs.Weighings, func(w underfoot.Weighing) bool { return w.Sample == s.ID && w.OfSample() })
}

// takes remembers which sample a row is about; of results and sieves each sample has one.
func (m *sheetMatcher) takes(r *LabRow, s *underfoot.Sample) *underfoot.Sample {
	r.Sample, r.Green, r.Layer, r.Date = s.ID, s.Green, s.Layer(), s.Date.String()
	if m.p.Kind == labsheet.Weighings {
		return s
	}
	if before := m.used[s.ID]; before != "" {
		m.problem(r, "", "sample %s is given at %s already: each sample comes once", s.ID, before)
		return nil
	}
	m.used[s.ID] = r.Place
	return s
}

// agrees refuses a sample whose green, layer or date the sheet tells otherwise.
func (m *sheetMatcher) agrees(r *LabRow, x *labsheet.Row, s *underfoot.Sample) {
	if top, bottom, ok := rowLayer(x); ok && (math.Abs(top-s.TopMM) > nearMM || math.Abs(bottom-s.BottomMM) > nearMM) {
		m.problem(r, x.At[labsheet.FieldBottom], "the sheet says %s for sample %s, which is %s: check the bag, or leave the layer out", underfoot.LayerName(top, bottom), s.ID, s.Layer())
	}
	if words := x.Text[labsheet.FieldGreen]; words != "" {
		if g := m.green(words); g != "" && g != "-" && g != s.Green {
			m.problem(r, x.At[labsheet.FieldGreen], "the sheet says green %s for sample %s, which is of green %s", words, s.ID, s.Green)
		}
	}
	if d := x.Text[labsheet.FieldDate]; d != "" && d != s.Date.String() {
		m.problem(r, x.At[labsheet.FieldDate], "the sheet says %s for sample %s, which was taken on %s: point at the date of sampling, or leave the date out", d, s.ID, s.Date)
	}
}

// courseLayer gives the layer of the course that is nearest, where both ends are near enough.
func (m *sheetMatcher) courseLayer(r *LabRow, top, bottom float64) (float64, float64) {
	for _, s := range m.rs.Samples {
		if s.TopMM == top && s.BottomMM == bottom {
			return top, bottom
		}
	}
	for _, s := range m.rs.Samples {
		if math.Abs(s.TopMM-top) <= nearMM && math.Abs(s.BottomMM-bottom) <= nearMM {
			m.note(r.Place, "%s is taken for the course's layer %s", underfoot.LayerName(top, bottom), s.Layer())
			return s.TopMM, s.BottomMM
		}
	}
	return top, bottom
}

// newSample makes a sample, under the sheet's name for it or one made of day, green and depths.
func (m *sheetMatcher) newSample(r *LabRow, x *labsheet.Row, name, green string, date underfoot.Date, top, bottom float64) *underfoot.Sample {
	if name == "" {
		name = fmt.Sprintf("%s-%s-%s-%s-%s", m.rs.Course.ID, date, green, underfoot.FormatNumber(top), underfoot.FormatNumber(bottom))
		if p := x.Text[labsheet.FieldPosition]; p != "" {
			name += "-" + p
		}
	}
	if s := m.made[name]; s != nil {
		if s.Green != green || s.TopMM != top || s.BottomMM != bottom || s.Date != date {
			m.problem(r, "", "sample %q comes with two greens, layers or days in this sheet", name)
			return nil
		}
		r.New = true
		return m.takes(r, s)
	}
	s := &underfoot.Sample{
		ID: name, Course: m.rs.Course.ID, Green: green, Date: date, TopMM: top, BottomMM: bottom, Round: x.Text[labsheet.FieldRound],
		Position: x.Text[labsheet.FieldPosition],
	}
	if s.Round == "" { // a round of that day has a label already
		for i := range m.rs.Samples {
			if o := &m.rs.Samples[i]; o.Date == date && o.Round != "" {
				s.Round = o.Round
			}
		}
	}
	if v, ok := x.Number[labsheet.FieldCores]; ok {
		if v != math.Trunc(v) {
			m.problem(r, x.At[labsheet.FieldCores], "%g cores: a whole number is allowed", v)
		}
		s.Cores = underfoot.Some(int(v))
	}
	if v, ok := x.Number[labsheet.FieldCorer]; ok {
		s.CoreDiameterMM = underfoot.Some(v)
	}
	m.made[name] = s
	r.New = true
	r.records = append(r.records, s)
	return m.takes(r, s)
}

func (m *sheetMatcher) result(r *LabRow, x *labsheet.Row, s *underfoot.Sample) {
	om, ok := x.Number[labsheet.FieldOM]
	if !ok {
		return // the problem with it was told
	}
	out := underfoot.Result{Course: m.rs.Course.ID, Sample: s.ID}
	if old := m.results[s.ID]; old != nil {
		out = *old
	}
	out.Extra = nil
	out.OMPercent = om
	optional(&out.OMSDPercent, x, labsheet.FieldOMSD)
	optional(&out.DryMassG, x, labsheet.FieldDryMass)
	if v := x.Text[labsheet.FieldMethod]; v != "" {
		out.Method = v
	} else if out.Method == "whole" {
		r.Apart = "" // said before
	}
	if v := x.Text[labsheet.FieldLab]; v != "" {
		out.Lab = v
	}
	for i := range m.rs.Weighings {
		if w := &m.rs.Weighings[i]; w.Sample == s.ID && w.OfSample() {
			m.note(r.Place, "sample %s has weighings, and those count: the result is kept beside them", s.ID)
			break
		}
	}
	r.records = append(r.records, &out)
}

func optional(to *underfoot.Opt[float64], x *labsheet.Row, f labsheet.Field) {
	if v, ok := x.Number[f]; ok {
		*to = underfoot.Some(v)
	}
}

func (m *sheetMatcher) weighing(r *LabRow, x *labsheet.Row) {
	kind := x.Text[labsheet.FieldInside]
	name := x.Text[labsheet.FieldSample]
	run := x.Text[labsheet.FieldRun]
	if kind == "" && slices.ContainsFunc(m.rs.Controls, func(c underfoot.Control) bool { return c.ID == name }) {
		kind = "control"
	}
	if kind != "blank" && kind != "control" {
		s := m.sample(r, x)
		if s == nil {
			return
		}
		name = s.ID
	} else {
		switch {
		case kind == "blank" && name == "":
			name = "blank"
		case name == "":
			m.problem(r, "", "nothing says which control material is in the crucible: point at the column of samples")
			return
		}
		if kind == "blank" && run != "" && strings.EqualFold(name, "blank") {
			name = "blank " + run
		}
		r.Sample = name
	}
	crucible := x.Text[labsheet.FieldCrucible]
	if crucible == "" {
		m.number[name]++
		crucible = strconv.Itoa(m.number[name])
	}
	out := underfoot.Weighing{Course: m.rs.Course.ID, Sample: name, Crucible: crucible}
	if old := m.weighed[crucibleOf{name, crucible}]; old != nil {
		if run != "" && old.FurnaceRun != "" && old.FurnaceRun != run {
			m.problem(r, x.At[labsheet.FieldRun], "crucible %s of sample %s was weighed in furnace run %s already, the sheet says %s: check the run", crucible, name, old.FurnaceRun, run)
			return
		}
		out = *old
	}
	out.Extra = nil
	if run != "" {
		out.FurnaceRun = run
	}
	optional(&out.TareG, x, labsheet.FieldTare)
	optional(&out.MoistG, x, labsheet.FieldMoist)
	optional(&out.DryG, x, labsheet.FieldDry)
	optional(&out.AshG, x, labsheet.FieldAsh)
	optional(&out.DryC, x, labsheet.FieldDryC)
	optional(&out.AshC, x, labsheet.FieldAshC)
	optional(&out.AshHours, x, labsheet.FieldAshHours)
	if kind != "" {
		out.Kind = kind
	}
	r.records = append(r.records, &out)
}

func (m *sheetMatcher) sieve(r *LabRow, x *labsheet.Row) {
	source := ""
	name := x.Text[labsheet.FieldSand]
	if name == "" && m.samples[x.Text[labsheet.FieldSample]] == nil {
		if sand := m.sandLike(x.Text[labsheet.FieldSample]); sand != "" {
			name = sand
		}
	}
	if name != "" {
		id := m.sandLike(name)
		if id == "" {
			id = name
			if !slices.ContainsFunc(m.p.sands, func(s underfoot.Sand) bool { return s.ID == id }) {
				m.p.sands = append(m.p.sands, underfoot.Sand{Course: m.rs.Course.ID, ID: id, Role: "other"})
			}
			r.New = true
		}
		r.Sample, source = id, "sand:"+id
		if before := m.used[source]; before != "" {
			m.problem(r, "", "sand %s is given at %s already: each comes once", id, before)
			return
		}
		m.used[source] = r.Place
	} else {
		if x.Text[labsheet.FieldGreen] == "" && x.Text[labsheet.FieldSample] != "" && m.samples[x.Text[labsheet.FieldSample]] == nil {
			if d, rest, ok := labsheet.FindDepth(x.Text[labsheet.FieldSample], ""); ok { // the heading names green and layer
				x.Text[labsheet.FieldGreen] = strings.Trim(rest, " ,;")
				x.Number[labsheet.FieldTop], x.Number[labsheet.FieldBottom] = d.TopMM, d.BottomMM
				delete(x.Text, labsheet.FieldSample)
			}
		}
		s := m.sample(r, x)
		if s == nil {
			return
		}
		source = "sample:" + s.ID
	}
	has := map[float64]bool{}
	for _, k := range x.Sieve {
		has[k.OpeningMM] = true
		r.records = append(r.records, &underfoot.Sieve{Course: m.rs.Course.ID, Source: source, SieveMM: k.OpeningMM, RetainedG: k.RetainedG})
	}
	for i := range m.rs.Sieve {
		if o := &m.rs.Sieve[i]; o.Source == source && !has[o.SieveMM] {
			r.stale = append(r.stale, underfoot.SieveMasses.Key(o))
		}
	}
	if s := m.sieving(source, x); s != nil {
		r.records = append(r.records, s)
	}
	if len(r.stale) > 0 {
		m.note(r.Place, "an earlier analysis of %s is replaced", source)
	}
}

// sieving is what the sheet says was weighed around a sieving, beside what is on record of it; nil where it says nothing.
// Shares are of a mass that the sheet need not have weighed, so they say none.
func (m *sheetMatcher) sieving(source string, x *labsheet.Row) *underfoot.Sieving {
	total, started := x.Number[labsheet.FieldTotal]
	washed, wet := x.Number[labsheet.FieldWashed]
	out := underfoot.Sieving{Course: m.rs.Course.ID, Source: source}
	i := slices.IndexFunc(m.rs.Sievings, func(s underfoot.Sieving) bool { return s.Source == source })
	if i >= 0 {
		out = m.rs.Sievings[i]
		out.StartMassG, out.WashedG = underfoot.Opt[float64]{}, underfoot.Opt[float64]{} // they were those of the analysis that is replaced
	}
	if !started && !wet && i < 0 {
		return nil
	}
	if started {
		out.StartMassG = underfoot.Some(total)
	}
	if wet {
		out.WashedG = underfoot.Some(washed)
	}
	return &out
}

func (m *sheetMatcher) sandLike(words string) string {
	found := ""
	for _, s := range m.rs.Sands {
		if words == "" {
			return ""
		}
		if s.ID == words || s.Name == words {
			return s.ID
		}
		if strings.EqualFold(s.ID, words) || strings.EqualFold(s.Name, words) {
			if found != "" {
				return ""
			}
			found = s.ID
		}
	}
	return found
}

// fieldOfColumn says where in the sheet a column of a record came from.
var fieldOfColumn = map[string]labsheet.Field{
	"tare_g": labsheet.FieldTare, "moist_g": labsheet.FieldMoist, "dry_g": labsheet.FieldDry, "ash_g": labsheet.FieldAsh, "om_percent": labsheet.FieldOM,
	"om_sd_percent": labsheet.FieldOMSD, "dry_mass_g": labsheet.FieldDryMass, "bottom_mm": labsheet.FieldBottom, "top_mm": labsheet.FieldTop, "cores": labsheet.FieldCores,
	"core_diameter_mm": labsheet.FieldCorer, "ash_hours": labsheet.FieldAshHours, "dry_c": labsheet.FieldDryC, "ash_c": labsheet.FieldAshC, "sample": labsheet.FieldSample,
}

// check holds a record against the limits of its columns and its own rules.
func (m *sheetMatcher) check(r *LabRow, x *labsheet.Row, record underfoot.Record) {
	t := record.Table()
	for i := range t.Columns {
		c := &t.Columns[i]
		if err := c.Fits(t.Value(record, i)); err != nil {
			m.problem(r, x.At[fieldOfColumn[c.Name]], "%s: %v", c.Name, err)
		}
	}
	for _, f := range record.Check() {
		m.problem(r, x.At[fieldOfColumn[f.Column]], "%s", f.Text)
	}
}

// elsewhere refuses new samples whose name another course has.
func (m *sheetMatcher) elsewhere(ctx context.Context, store underfoot.Store) {
	if len(m.made) == 0 {
		return
	}
	_, err := store.Change(ctx, "preview", "looked up samples", func(tx underfoot.Tx) error {
		for i := range m.p.Rows {
			r := &m.p.Rows[i]
			if !r.New || r.Bad || m.made[r.Sample] == nil {
				continue
			}
			courses, err := tx.CoursesOf(r.Sample)
			if err != nil {
				return err
			}
			for _, c := range courses {
				if c != m.rs.Course.ID {
					m.problem(r, "", "sample %q is of course %s already: names of samples come once", r.Sample, c)
				}
			}
		}
		return nil // nothing was written, so no change remains
	})
	if err != nil {
		m.note("", "names of samples were not held against other courses: %v", err)
	}
}
