package app

import (
	"underfoot"
	"underfoot/calibrate"
)

// ForecastRow is one line of a forecast, in percent of oven-dry mass.
type ForecastRow struct {
	Green    string  `json:"green"` // "" is the mean of all greens
	Date     string  `json:"date"`
	TopMM    float64 `json:"top_mm"`
	BottomMM float64 `json:"bottom_mm"`
	Mean     float64 `json:"mean"`
	SD       float64 `json:"sd"`
	Q05      float64 `json:"q05"`
	Q50      float64 `json:"q50"`
	Q95      float64 `json:"q95"`
}

// ForecastRows puts a forecast down as rows: by date and layer, the mean of all greens first and then each green.
func (m *Model) ForecastRows(f *calibrate.Forecast) []ForecastRow {
	var rows []ForecastRow
	for d, day := range f.Days {
		for l, layer := range f.Layers {
			for g := -1; g < f.Greens; g++ {
				name := ""
				if g >= 0 {
					name = m.Fit.Course.Greens[g].Name
				}
				e := f.Estimate(g, d, l)
				rows = append(rows, ForecastRow{
					name, underfoot.Date(day).String(), layer.Top, layer.Bottom, 100 * e.Mean, 100 * e.SD, 100 * e.Q05, 100 * e.Q50, 100 * e.Q95,
				})
			}
		}
	}
	return rows
}
