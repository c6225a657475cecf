package underfoot

import (
	"cmp"
	"slices"
)

// Records is everything a course keeps, one slice a table, each sorted by key.
type Records struct {
	Course      Course
	Greens      []Green
	Outlines    []Outline
	Sands       []Sand
	Controls    []Control
	Samples     []Sample
	Weighings   []Weighing
	Results     []Result
	Work        []Work
	Readings    []Reading
	Weather     []Weather
	Sieve       []Sieve
	Targets     []Target
	Judgements  []Judgement
	Scenarios   []Scenario
	Runs        []FurnaceRun
	TrayPlaces  []TrayPlace
	Releases    []Release
	Tares       []Tare
	Repeats     []Repeat
	Custodies   []Custody
	RoundPlans  []RoundPlan
	Positions   []Position
	FixedPoints []FixedPoint
	Mappings    []Mapping
	Operations  []Operation
	Closings    []Closing
	Crews       []Crew
	Sievings    []Sieving
	Documents   []Document
}

// Tables returns the tables of the exchange format in the order in which a reader can resolve their references.
func Tables() []*Table {
	return []*Table{
		Courses, Sands, Controls, Greens, Outlines, Samples, Weighings, Results, WorkLog, Readings, WeatherDays, SieveMasses, Targets,
		Judgements, Scenarios, Runs, TrayPlaces, Releases, Tares, Repeats, Custodies, RoundPlans, Positions, FixedPoints, Mappings,
		Operations, Closings, Crews, Sievings, Documents,
	}
}

// Add appends a record to the slice of its table.
func (rs *Records) Add(r Record) {
	switch r := r.(type) {
	case *Course:
		rs.Course = *r
	case *Green:
		rs.Greens = append(rs.Greens, *r)
	case *Outline:
		rs.Outlines = append(rs.Outlines, *r)
	case *Sand:
		rs.Sands = append(rs.Sands, *r)
	case *Control:
		rs.Controls = append(rs.Controls, *r)
	case *Sample:
		rs.Samples = append(rs.Samples, *r)
	case *Weighing:
		rs.Weighings = append(rs.Weighings, *r)
	case *Result:
		rs.Results = append(rs.Results, *r)
	case *Work:
		rs.Work = append(rs.Work, *r)
	case *Reading:
		rs.Readings = append(rs.Readings, *r)
	case *Weather:
		rs.Weather = append(rs.Weather, *r)
	case *Sieve:
		rs.Sieve = append(rs.Sieve, *r)
	case *Target:
		rs.Targets = append(rs.Targets, *r)
	case *Judgement:
		rs.Judgements = append(rs.Judgements, *r)
	case *Scenario:
		rs.Scenarios = append(rs.Scenarios, *r)
	case *Operation:
		rs.Operations = append(rs.Operations, *r)
	case *Closing:
		rs.Closings = append(rs.Closings, *r)
	case *Crew:
		rs.Crews = append(rs.Crews, *r)
	case *Sieving:
		rs.Sievings = append(rs.Sievings, *r)
	case *Document:
		rs.Documents = append(rs.Documents, *r)
	case *FurnaceRun:
		rs.Runs = append(rs.Runs, *r)
	case *TrayPlace:
		rs.TrayPlaces = append(rs.TrayPlaces, *r)
	case *Release:
		rs.Releases = append(rs.Releases, *r)
	case *Tare:
		rs.Tares = append(rs.Tares, *r)
	case *Repeat:
		rs.Repeats = append(rs.Repeats, *r)
	case *Custody:
		rs.Custodies = append(rs.Custodies, *r)
	case *RoundPlan:
		rs.RoundPlans = append(rs.RoundPlans, *r)
	case *Position:
		rs.Positions = append(rs.Positions, *r)
	case *FixedPoint:
		rs.FixedPoints = append(rs.FixedPoints, *r)
	case *Mapping:
		rs.Mappings = append(rs.Mappings, *r)
	}
}

// Each calls f with a pointer to every record, table by table in the order of [Tables].
func (rs *Records) Each(f func(Record)) {
	f(&rs.Course)
	each(rs.Sands, f)
	each(rs.Controls, f)
	each(rs.Greens, f)
	each(rs.Outlines, f)
	each(rs.Samples, f)
	each(rs.Weighings, f)
	each(rs.Results, f)
	each(rs.Work, f)
	each(rs.Readings, f)
	each(rs.Weather, f)
	each(rs.Sieve, f)
	each(rs.Targets, f)
	each(rs.Judgements, f)
	each(rs.Scenarios, f)
	each(rs.Operations, f)
	each(rs.Closings, f)
	each(rs.Crews, f)
	each(rs.Runs, f)
	each(rs.TrayPlaces, f)
	each(rs.Releases, f)
	each(rs.Tares, f)
	each(rs.Repeats, f)
	each(rs.Custodies, f)
	each(rs.RoundPlans, f)
	each(rs.Positions, f)
	each(rs.FixedPoints, f)
	each(rs.Mappings, f)
	each(rs.Sievings, f)
	each(rs.Documents, f)
}

func each[T any, P interface {
	*T
	Record
}](list []T, f func(Record)) {
	for i := range list {
		f(P(&list[i]))
	}
}

// Sort puts each table in the order of its keys.
func (rs *Records) Sort() {
	sortByKey(rs.Greens)
	sortByKey(rs.Outlines)
	sortByKey(rs.Sands)
	sortByKey(rs.Controls)
	sortByKey(rs.Samples)
	sortByKey(rs.Weighings)
	sortByKey(rs.Results)
	sortByKey(rs.Work)
	sortByKey(rs.Readings)
	sortByKey(rs.Weather)
	slices.SortFunc(rs.Sieve, func(a, b Sieve) int {
		return cmp.Or(cmp.Compare(a.Source, b.Source), cmp.Compare(a.SieveMM, b.SieveMM))
	})
	sortByKey(rs.Targets)
	sortByKey(rs.Judgements)
	sortByKey(rs.Scenarios)
	sortByKey(rs.Operations)
	sortByKey(rs.Closings)
	sortByKey(rs.Crews)
	sortByKey(rs.Sievings)
	sortByKey(rs.Documents)
	sortByKey(rs.Runs)
	sortByKey(rs.TrayPlaces)
	sortByKey(rs.Releases)
	sortByKey(rs.Tares)
	slices.SortFunc(rs.Repeats, func(a, b Repeat) int {
		return cmp.Or(cmp.Compare(a.Sample, b.Sample), cmp.Compare(a.Crucible, b.Crucible), cmp.Compare(a.Stage, b.Stage), cmp.Compare(a.N, b.N))
	})
	sortByKey(rs.Custodies)
	sortByKey(rs.RoundPlans)
	slices.SortFunc(rs.Positions, func(a, b Position) int {
		return cmp.Or(cmp.Compare(a.Green, b.Green), cmp.Compare(a.Round, b.Round), cmp.Compare(a.Core, b.Core))
	})
	sortByKey(rs.FixedPoints)
	sortByKey(rs.Mappings)
}

// sortByKey reads each key once: rows usually come in order.
func sortByKey[T any, P interface {
	*T
	Record
}](list []T) {
	if len(list) < 2 {
		return
	}
	t := P(&list[0]).Table()
	type keyed struct {
		key Key
		at  int
	}
	order, sorted := make([]keyed, len(list)), true
	for i := range list {
		order[i] = keyed{t.Key(P(&list[i])), i}
		sorted = sorted && (i == 0 || slices.Compare(order[i-1].key, order[i].key) <= 0)
	}
	if sorted {
		return
	}
	slices.SortFunc(order, func(a, b keyed) int { return cmp.Or(slices.Compare(a.key, b.key), cmp.Compare(a.at, b.at)) })
	out := make([]T, len(list))
	for i, o := range order {
		out[i] = list[o.at]
	}
	copy(list, out)
}
