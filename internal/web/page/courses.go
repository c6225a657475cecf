package page

// Courses is the page of all courses.
type Courses struct {
	Frame     Frame
	Statement string
	Because   string // what is still being worked out
	Drafts    []Step // imports that wait to be confirmed
	Rows      []CourseRow
	Filters   []ListLink
	Orders    []ListLink
	Pages     []ListLink // one for each page of the list, where there is more than one
	Shown     string     // "Courses 1 to 40 of 500"
	Season    string
	Lately    []Step
	Sand      Table
}

// ListLink is a link that filters, orders or turns the page.
type ListLink struct {
	Href, Text string
	State      State // drawn before the text; empty for none
	Current    bool
}

// CourseRow is one course in the list.
type CourseRow struct {
	ID, Name, About string
	Need            string
	NeedState       State
	NeedLink        Link
	Also            []CourseNeed // what else it needs
	Working         string       // what is still being worked out of it
	Core            string       // SVG
	CoreHeight      int
	Layers          []CourseLayer
	Direction       Direction
	Sand            string // SVG
	Season          string // of the sand
	SandNote        string
	Due, DueNote    string
	Problem         string // why the course could not be worked out
	Blank           bool   // nothing has been worked out yet
}

// CourseNeed is one thing a course needs.
type CourseNeed struct {
	State State
	Text  string
	Link  Link
}

// CourseLayer is one layer of a course in the list.
type CourseLayer struct {
	Name, OM, PM, Change string
	Spark                string // SVG
}
