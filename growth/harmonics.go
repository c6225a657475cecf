package growth

import (
	"fmt"
	"math"
)

// basis gives the harmonics of the time of year of a day.
func basis(day int) [5]float64 {
	const year = 365.25 // d
	sin, cos := math.Sincos(2 * math.Pi * float64(day) / year)
	return [5]float64{1, cos, sin, cos*cos - sin*sin, 2 * sin * cos}
}

// harmonics fits the usual temperature of a time of year by least squares: the normal equations, solved by elimination with
// the largest pivot. Five columns of at most 1 over a covered year keep them well conditioned.
func (c *Climate) harmonics() error {
	var a [5][6]float64
	for day := c.since; day < c.first+len(c.mean); day++ {
		t := c.mean[day-c.first]
		if math.IsNaN(t) {
			continue
		}
		b := basis(day)
		for j := range 5 {
			for k := range 5 {
				a[j][k] += b[j] * b[k]
			}
			a[j][5] += b[j] * t
		}
	}
	for j := range 5 {
		p := j
		for r := j; r < 5; r++ {
			if math.Abs(a[r][j]) > math.Abs(a[p][j]) {
				p = r
			}
		}
		a[j], a[p] = a[p], a[j]
		if math.Abs(a[j][j]) < 1e-6 {
			return fmt.Errorf("weather: the days measured lie too close together in the year to tell the rest by")
		}
		for r := range 5 {
			if r == j {
				continue
			}
			f := a[r][j] / a[j][j]
			for k := j; k < 6; k++ {
				a[r][k] -= f * a[j][k]
			}
		}
	}
	for j := range 5 {
		c.usual[j] = a[j][5] / a[j][j]
	}
	return nil
}

// usually gives the usual temperature of a day's time of year, °C.
func (c *Climate) usually(day int) float64 {
	var t float64
	for j, b := range basis(day) {
		t += c.usual[j] * b
	}
	return t
}
