package page

// Settings is the page of how things are said to one person.
type Settings struct {
	Frame                   Frame
	Units, Dates, Languages []Setting
	Currency                string
	Wrong                   map[string]string // what is wrong, by the name of the field
	Saved                   bool
	Back                    string // page to go back to
}

// Setting is one choice, with how things read under it.
type Setting struct {
	Value, Name, Example string
	Chosen               bool
}
