package page

// Peers is where a course stands among others, layer by layer.
type Peers struct {
	Course  string
	Caution string // said wherever peers are shown
	Why     string // why nothing is shown
	Panels  []PeerPanel
	Notes   []string
	Table   PeerUpload
	Summary PeerSummary
}

// PeerPanel is one layer among its peers.
type PeerPanel struct {
	Depths  Depths
	Species string
	Figure  Figure
}

// PeerUpload is where a table of peers is brought in, for one view of the page.
type PeerUpload struct {
	Name   string   // of the file that is shown now
	Says   string   // what it holds
	Errors []string // what is wrong with it
}

// PeerSummary offers the anonymous summary of the store's own courses.
type PeerSummary struct {
	Href    string
	Why     string // why there is none
	LeftOut []string
	Says    string
}

func (u PeerUpload) field() Field {
	f := Field{Name: "table", Hint: "kept for this view only"}
	if len(u.Errors) > 0 {
		f.Error = u.Errors[0]
	}
	return f
}
