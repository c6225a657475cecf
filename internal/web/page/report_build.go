package page

// Builder is the page on which a report is put together.
type Builder struct {
	Frame
	Course       string
	Kind         string
	Kinds        []BuilderKind
	Own, Others  []BuilderPart // sections the kind has by itself, and the rest
	MoreOpen     bool          // some of the rest are picked
	Recipient    Field
	Prepared     Field
	Note         Field
	Paper        Field
	Logo         string // address of the one that is kept; empty for none
	LogoHint     string
	LogoError    string
	SectionError string
	Errors       []FieldError
	Preview      string // addresses of what is made
	PDF, HTML    string
	Workbook     string
	Pages        string // how many pages the PDF takes, in a sentence
	PagesWrong   bool   // more, or fewer, than the kind is meant to have
}

// BuilderKind is a kind of document.
type BuilderKind struct {
	Value, Title, Says string
	Here               bool
}

// BuilderPart is a section that can be picked.
type BuilderPart struct {
	Key, Title string
	On         bool
}
