package page

// Findings is the page of what changed and how sure that is.
type Findings struct {
	Frame     Frame
	Over      string // "Round of 13 October 2026, seven rounds in all"
	Statement string
	Because   string
	Now       []LayerNow
	NowNote   string
	Trends    []TrendPanel
	TrendNote string
	Evenness  []Evenness
	Readings  []ReadingPanel
	ReadNote  string
	Surface   Surface
	Judge     JudgeForm
	Notes     []string // what was left out, and why
	LeftOut   []string
}

// LayerNow is a layer in its last round, as a row.
type LayerNow struct {
	Depths               Depths
	OM, Range, Change, N string
}

// TrendPanel is one layer's rounds with the fitted line.
type TrendPanel struct {
	Depths   Depths
	SVG      string
	Says     string
	Figures  string // "+0.52 points a year (0.32 to 0.72)"; empty where there is no trend
	Chances  []Chance
	Visible  string
	Warnings []string
	Method   string
	Table    Table
}

// Evenness is how alike the greens are in one layer.
type Evenness struct {
	Depths   Depths
	Figure   Figure
	Warnings []string
}

// ReadingPanel is one quantity of the surface over its season.
type ReadingPanel struct {
	Name, Unit string
	SVG        string
	Says       string
	Table      Table
}

// Surface is what the surface says of the direction.
type Surface struct {
	Direction Direction
	Chance    *Chance
	Because   []string
	Season    string
}

// JudgeForm is where the manager's own word is given.
type JudgeForm struct {
	Course    string
	Direction string // as typed, or as it stands
	Reason    string
	By        string
	Errors    []FieldError
	Standing  string // "Lower, by A. Name, 3 November 2026: reason." empty when none stands
}

func (j JudgeForm) error(field string) string {
	for _, e := range j.Errors {
		if e.Field == field {
			return e.Text
		}
	}
	return ""
}

func (j JudgeForm) field(name string) Field {
	return Field{Name: name, Error: j.error(name), Need: true}
}
