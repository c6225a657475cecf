package page

// Courses is the page of all courses.
type Courses struct {
	Frame     Frame
	Statement string
	Rows      []CourseRow
	Season    string
	Lately    []Step
	Sand      Table
}

// CourseRow is one course in the list.
type CourseRow struct {
	ID, Name, About string
	Need            string
	NeedState       State
	NeedLink        Link
	Core            string // SVG
	CoreHeight      int
	Layers          []CourseLayer
	Direction       Direction
	Sand            string // SVG
	Season          string // of the sand
	Due, DueNote    string
	Problem         string // why the course could not be worked out
}

// CourseLayer is one layer of a course in the list.
type CourseLayer struct {
	Name, OM, PM, Change string
	Spark                string // SVG
}
