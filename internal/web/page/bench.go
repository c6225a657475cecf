package page

// Bench is the page of a furnace run on a course.
type Bench struct {
	Frame     Frame
	Course    string
	Over      string
	Statement string
	Because   string
	Runs      []RunLink
	Rows      []BenchRow
	Checks    []RunCheck
	Budget    *Figure
	BudgetFor string
	Reported  []BenchRow
	Warnings  []string
	Quality   *Quality
	EnterHref string // to the sheet of this run
	NewHref   string // to a new one
}

// RunLink chooses a furnace run.
type RunLink struct {
	Name, Href string
	Current    bool
	Look       bool
}

// BenchRow is one crucible.
type BenchRow struct {
	Kind                                      string // "sample", "blank", "control", "duplicate"
	Crucible, What                            string
	Layer                                     *Depths
	Tare, Dry, Ash, Lost                      string
	OM, PM                                    string
	Water, Volume, Density, DensityHow, Stock string
	Remark                                    string
	State                                     State // "" for none
	Warnings                                  []string
	BudgetHref                                string
	Current                                   bool
}

// RunCheck is one check of a run.
type RunCheck struct {
	What, Found string
	State       State
}

// Runs is the page of the furnace runs of all courses.
type Runs struct {
	Frame     Frame
	Statement string
	Courses   []CourseRuns
	Pages     []Link // the pages before and after
}

// CourseRuns are the runs of one course, latest first.
type CourseRuns struct {
	ID, Name string
	Runs     []RunRow
}

// RunRow is one run in the list.
type RunRow struct {
	Name, Href, Rounds, Composites, Temperature, Control, Note string
	State                                                      State
}
