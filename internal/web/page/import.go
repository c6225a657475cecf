package page

// Import is the page where a package is chosen.
type Import struct {
	Frame Frame
	Local bool   // a folder on this computer may be named
	Path  string // as typed
	Error string
	Limit string
}

// Draft is a package that was read and not stored yet, or is being read or stored.
type Draft struct {
	Frame     Frame
	ID        string
	Statement string
	Because   string
	Working   string // what is going on; the page comes again by itself
	Percent   int
	Counts    Table
	Problems  int
	Files     []FileChip
	Rows      []FaultRow
	Pages     []PageLink
	Notices   []string
	Unknown   []string
	Ready     bool
	Same      bool
	Course    string // address of the course it is about, when all of it is there already
}

// FileChip chooses the problems of one file.
type FileChip struct {
	Name, Href string
	Count      int
	Current    bool
}

// FaultRow is one problem of a package.
type FaultRow struct {
	File, Line, Column, Found, Text string
}

// PageLink is one page of a long list.
type PageLink struct {
	Name, Href string
	Current    bool
}
