package page

// Search is the page of what was found.
type Search struct {
	Frame     Frame
	Statement string
	Because   string // what is not looked through yet
	Asked     string
	Groups    []FoundGroup
}

// FoundGroup is what was found of one kind.
type FoundGroup struct {
	ID, Title string
	More      string // where not all are shown
	Hits      []Hit
}

// Hit is one thing that was found, with the place to go to.
type Hit struct {
	Href, Title, About string
	State              State // of where a sample is; empty for none
	Where              string
}
