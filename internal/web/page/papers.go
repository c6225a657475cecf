package page

// Papers is the page of the papers of a round: field sheet and bag labels.
type Papers struct {
	Frame         Frame
	Course, Round string
	Statement     string
	Because       string
	Sheets        []PaperSheet // of labels, to choose from
	Paper         string       // "A4" or "letter"
	Fields        []Field      // sizes of the sheet of labels
	Errors        []FieldError
	Samples       []Choice // which labels
	Sample        string
	SampleOnly    bool // the code holds the sample’s name only
	Edges         bool
	Cautions      []string
}

// PaperSheet is a sheet of labels by its dimensions.
type PaperSheet struct {
	Key, Title string
	Current    bool
}

func (p Papers) path(rest ...string) string {
	return CoursePath(p.Course, append([]string{"round", p.Round}, rest...)...)
}
