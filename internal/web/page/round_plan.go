package page

import "underfoot/internal/figure"

// RoundDesign is the page on which a round is designed, and shown once it is kept.
type RoundDesign struct {
	Frame     Frame
	Course    string
	Round     string // label of the kept plan, "" for a new one
	Statement string
	Because   string
	Fields    []Field
	Draw      []Field // how greens are to be drawn
	Greens    []GreenChoice
	Errors    []FieldError
	Layers    Table
	Says      []string // what each layer can see
	Advice    []string // what to change about volumes
	Notes     []string
	When      string // from when on it is worth it
	WhenHref  string // address that works it out
	Places    []GreenPicture
	Placed    bool // at least one green has places
}

// GreenChoice is one green on the form: taken for every layer, for the top layer only, or not.
type GreenChoice struct {
	ID, Title, Value string // "", "top", "full"
}

// GreenPicture is where the cores of one green are taken.
type GreenPicture struct {
	ID, Title, About string
	Picture          *figure.Scene
	Table            Table
	Words            []string // places in words, where there is no outline
	Why, Near        string
	OutlineHref      string
	HasOutline       bool
}

// PlannedRound is a plan on the page of the rounds.
type PlannedRound struct {
	Label, When, Says, Href string
	Past                    bool // its day is over and nothing of it is on record
}

// GreenOutline is the page on which the shape of a green is drawn.
type GreenOutline struct {
	Frame       Frame
	Course      string
	Green       string
	Title       string
	Statement   string
	Because     string
	Has         bool
	Corners     string // one a line
	Order       string // "lat" or "lon": what stands first on a line
	Error       string // about the corners
	FileError   string
	Which       string
	PointsError string
	Latitude    string // where the drawing begins
	Longitude   string
	Picture     *figure.Scene
	Points      []PointRow
	Back        string
	Others      []Link // outlines of the course's other greens
}

// PointRow is one fixed point on the form.
type PointRow struct {
	N                                string
	Name, Latitude, Longitude, About string
	Errors                           map[string]string // what is wrong, by column: "point", "lat", "lon", "about"
}

func (r PointRow) field(column string) Field {
	return Field{Name: column + "-" + r.N, Error: r.Errors[column]}
}

func (p RoundDesign) action() string {
	if p.Round == "" {
		return CoursePath(p.Course, "design")
	}
	return CoursePath(p.Course, "round", p.Round, "plan")
}

func (p GreenOutline) path(rest ...string) string {
	return CoursePath(p.Course, append([]string{"green", p.Green}, rest...)...)
}
