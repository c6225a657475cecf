package mixed

// Design is a linear mixed model written out as numbers: y = X·β + Σ Z·b + ε, one row an observation, rows in any order.
type Design struct {
	Response string
	Y        []float64   // n responses, in the unit of the caller
	Columns  [][]float64 // p columns of X, each n long
	Names    []string    // p names of the columns
	Terms    []Term      // random terms; none is an ordinary linear model
	Weights  []float64   // nil, or n precision weights above 0: Var ε = σ²/w
	KnownSD  []float64   // nil, or n known standard deviations of measurement, 0 or more: Var ε = σ²/w + s²
	Coding   *Coding     // how a table became these numbers, for prediction; nil for a design made by hand
	Dropped  int         // rows of the table left out because a value was missing
	Rows     []int       // for each row of the design, its row in the table; nil for a design made by hand
}

// Term is one random term, (names | group): the effects of one level of the group are drawn together, with a covariance
// of their own. Effects that are to be independent are terms of their own.
type Term struct {
	Group  string      // "Subject", "batch:cask"
	Names  []string    // k effects: "(Intercept)", "Days"
	Levels []string    // names of the levels
	Level  []int32     // n: the level each row belongs to
	Z      [][]float64 // k columns, each n long; a nil column is all ones
}

// At is one row for prediction, coded as the rows of the fit were.
type At struct {
	X     []float64   // p values, one a column of the design
	Level []int32     // a level for each term; −1 is a level the fit has not seen
	Z     [][]float64 // for each term its k values
}
