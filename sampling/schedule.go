package sampling

import "fmt"

// Schedule is rounds at even distances: so many a year, for so many years.
type Schedule struct {
	PerYear int
	Years   int
}

// Rounds is how many there are: "twice a year for 3 years" are 6, the first at year 0 and the last at 2.5.
func (s Schedule) Rounds() int { return s.PerYear * s.Years }

// Times are the years of the rounds, from 0.
func (s Schedule) Times() []float64 {
	times := make([]float64, max(0, s.Rounds()))
	for i := range times {
		times[i] = float64(i) / float64(s.PerYear)
	}
	return times
}

func (s Schedule) check() error {
	if s.PerYear < 1 || s.Years < 1 || s.PerYear > 365 || s.Years > 1000 {
		return fmt.Errorf("schedule: %d rounds a year for %d years: give 1 to 365 a year, for 1 to 1000 years", s.PerYear, s.Years)
	}
	if s.Rounds() < 3 {
		return fmt.Errorf("schedule: %s: a trend cannot be told from chance with fewer than 3", count(s.Rounds(), "round"))
	}
	return nil
}

// String says it in words: "twice a year for 3 years".
func (s Schedule) String() string {
	often := fmt.Sprintf("%d times a year", s.PerYear)
	switch s.PerYear {
	case 1:
		often = "once a year"
	case 2:
		often = "twice a year"
	}
	return often + " for " + count(s.Years, "year")
}
