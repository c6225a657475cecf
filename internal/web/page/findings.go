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
	Material  Material
	Evenness  []Evenness
	Peers     Peers
	Power     Power
	Readings  []ReadingPanel
	ReadNote  string
	Responses []Response
	Surface   Surface
	Judge     JudgeForm
	Notes     []string // what was left out, and why
	LeftOut   []string
	GreenHead []string // layers of the rows of greens
	Greens    []GreenRow
}

// LayerNow is a layer in its last round, as a row.
type LayerNow struct {
	Depths               Depths
	OM, Range, Change, N string
}

// TrendPanel is one layer's rounds with the fitted line.
type TrendPanel struct {
	Depths   Depths
	Picture  Drawing
	Says     string
	Sure     string // "+0.52 points a year (0.32 to 0.72, 9 in 10): 19 in 20 or better that it rises."; empty where there is no trend
	Chances  []Chance
	Notes    []string // what could be seen, whether it is steady, the line behind
	Warnings []string
	Worked   Worked
	Table    Table
}

// Worked is how something was worked out, folded away.
type Worked struct {
	Model   string   // as a formula
	Choice  []string // why this model
	Method  string
	Numbers [][2]string // name and value
}

func (w Worked) empty() bool { return w.Model == "" && len(w.Choice) == 0 && w.Method == "" }

// Evenness is how alike the greens are in one layer.
type Evenness struct {
	Depths   Depths
	Figure   Figure
	Warnings []string
	Worked   Worked
}

// GreenRow is a green across its layers.
type GreenRow struct {
	ID, Title string
	Levels    []GreenLevel // by layer; none where nothing of it was measured
}

// GreenLevel is where a green stands in one layer.
type GreenLevel struct {
	Level, Range string
	StandsOut    bool
}

// GreenID is the place of a green on the findings page.
func GreenID(green string) string { return "green-" + green }

// SandID is the place of a sand on the page of the sands of a course.
func SandID(sand string) string { return "sand-" + sand }

// Material is change seen in two ways: at fixed depth, and in the material that lay there.
type Material struct {
	Reference string // "Round of 14 October 2021" whose layers are followed
	Why       string // why there is nothing to follow
	Views     []View
	Notes     []string
	Method    string
}

// View is one layer's material beside its fixed depth.
type View struct {
	Depths  Depths
	Picture Drawing
	Says    string
	Notes   []string
	Table   Table
}

// ReadingPanel is one quantity of the surface over its season.
type ReadingPanel struct {
	Name, Unit string
	Picture    Drawing
	Says       string
	Table      Table
}

// Response is how one kind of reading goes with water content and organic matter.
type Response struct {
	Name     string
	Why      string // why nothing can be told; the rest is empty then
	Figure   Figure
	Lines    []string
	Warnings []string
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
