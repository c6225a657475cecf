package page

// Power is what the sampling of a layer can see, and what another design could.
type Power struct {
	Course  string
	Why     string // why there is nothing to say
	Depths  Depths
	SoFar   Table
	SoFarIs string // what the rounds so far can see, as a sentence
	Next    string // what the next round is worth
	Figure  Figure
	Facts   []Fact
	Answers []PowerAnswer
	Parts   Table
	Notes   []string
	Groups  []FieldGroup
	Errors  []FieldError
}

// PowerAnswer is the cheapest design for something wanted.
type PowerAnswer struct {
	Says   string
	Others []string
}

// FieldGroup is fields of a form that belong together.
type FieldGroup struct {
	Name   string
	Fields []Field
}
