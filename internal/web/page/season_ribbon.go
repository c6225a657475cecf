package page

// SeasonRibbon is the time of a plan week by week, to work on.
type SeasonRibbon struct {
	Data    string // JSON, for the script
	Picture Figure // what stands there without one, and on paper
}
