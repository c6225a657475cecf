package page

import "fmt"

// Season is the season plan on the page of the plan.
type Season struct {
	Course string
	Why    string // no plan can be asked for yet, and why
	Needs  []Need
	Ask    bool // the direction is to be stated first
	Form   *SeasonForm
	Result *SeasonResult
	Kept   *SeasonKept
	Gone   *SeasonGone
}

// SeasonForm is the question for a plan.
type SeasonForm struct {
	Action string
	Course string // whose operations and calendar it is asked with
	Main   []Field
	Groups []SeasonGroup
	Errors []FieldError
	Asked  bool
}

// SeasonGroup is a part of the question that is folded away.
type SeasonGroup struct {
	Legend, Note string
	Fields       []Field
	Open         bool
}

// SeasonResult is the answer.
type SeasonResult struct {
	Found     bool
	Says      []string
	Chance    Chance
	Facts     []Fact
	Bench     SeasonBench
	Plans     Table
	PlansNote string
	Tradeoff  *Figure
	Limits    []string
	Otherwise []Word
	Order     *SeasonOrder
	Terms     []Field
	Notes     []string
	Cautions  []string
	Searched  string // how sure it is that nothing better was missed
}

// Hidden is a field that is carried along.
type Hidden struct{ Name, Value string }

// SeasonBench is the work of a plan, ready to be changed.
type SeasonBench struct {
	Course    string
	Hidden    []Hidden
	Rows      []SeasonRow
	Ops       []Choice
	Edited    bool
	Back      string // to the plan as it was found
	Ribbon    SeasonRibbon
	Rehearsed Rehearsal

	Nitrogen, NitrogenError string // moved to, as typed

	Name      string // of the scenario, as typed
	NameError string
}

// SeasonRow is one piece of work.
type SeasonRow struct {
	Date, Op, MM                string
	DateError, OpError, MMError string
	Out, Remark                 string
}

// Rehearsal is what a plan as typed would do.
type Rehearsal struct {
	Faults  []Fault // when something is wrong, or to be said of single rows
	Broken  bool    // nothing could be worked out
	Says    string
	Said    string // the same in a few words, for those who hear the page
	Chance  Chance
	Facts   []Fact
	Layers  Table
	Fan     Figure
	Compare string // beside the plan as it was found
}

// Fault is a word about one field or row of the bench.
type Fault struct {
	For  string // "date-3", "storage", or "row-3" for a remark, "out-3" for what it comes to
	Text string
}

// SeasonKept is the named plans, side by side.
type SeasonKept struct {
	Head        []string
	Plans       []KeptPlan
	Course      string
	Back        string
	From, Until string // of the pictures
}

// KeptPlan is one named plan; one without a name is that which was found.
type KeptPlan struct {
	Name, Title, Href string
	Cells             []string
	Note              string // why it could not be rehearsed
	Remark            string // what was left out of it, or moved
	Picture           string // its year
}

// SeasonGone is how far reality is from the plan that was accepted.
type SeasonGone struct {
	Course string
	Says   []string
	Rest   Link
	Late   []Entry
}

func (b SeasonBench) path(rest ...string) string {
	return CoursePath(b.Course, append([]string{"plan"}, rest...)...)
}

func rowName(field string, i int) string { return fmt.Sprintf("%s-%d", field, i) }

func invalid(text string) string {
	if text == "" {
		return "false"
	}
	return "true"
}

// rowLabel names a field of a row for those who hear the page.
func rowLabel(what string, i int, fresh bool) string {
	if fresh {
		return what + ", new work"
	}
	return fmt.Sprintf("%s, work %d", what, i+1)
}

func itoa(i int) string { return fmt.Sprint(i) }

// SeasonOrder is the sand to buy for a plan, and what each month takes.
type SeasonOrder struct {
	Says       string
	Deliveries Table
	Grains     []string
	Months     Table
}
