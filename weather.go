package underfoot

import "fmt"

// Weather is one day's weather on a course.
type Weather struct {
	Course string       `col:"course" key:"1" refers:"courses" about:"Course it is of."`
	Date   Date         `col:"date" key:"1" about:"Day."`
	TMinC  Opt[float64] `col:"tmin_c" unit:"°C" min:"-90" max:"60" about:"Lowest air temperature of the day."`
	TMaxC  Opt[float64] `col:"tmax_c" unit:"°C" min:"-90" max:"60" about:"Highest air temperature of the day."`
	RainMM Opt[float64] `col:"rain_mm" unit:"mm" min:"0" max:"2000" about:"Rain of the day."`
	Extra  Extra
}

// WeatherDays describes the table of weather.
var WeatherDays = newTable[Weather]("weather", "Weather")

// Table returns [WeatherDays].
func (*Weather) Table() *Table { return WeatherDays }

// Check refuses a day whose lowest temperature is above its highest.
func (w *Weather) Check() []Fault {
	if w.TMinC.Known && w.TMaxC.Known && w.TMinC.Value > w.TMaxC.Value {
		return []Fault{{"tmin_c", fmt.Sprintf("%s °C is above tmax_c %s °C", FormatNumber(w.TMinC.Value), FormatNumber(w.TMaxC.Value))}}
	}
	return nil
}
