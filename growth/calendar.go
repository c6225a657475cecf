package growth

import (
	"fmt"
	"time"
)

// onDay gives a day's date.
func onDay(day int) time.Time { return time.Unix(int64(day)*86400, 0).UTC() }

func yearOf(day int) int { return onDay(day).Year() }

// date writes a day as other parts do, 2026-10-08.
func date(day int) string { return onDay(day).Format(time.DateOnly) }

// monthDay writes a time of year, 8 October.
func monthDay(day int) string { return onDay(day).Format("2 January") }

// plainYear is a year without 29 February, to count and name times of year by.
const plainYear = 2023

// plainYearDay gives a day's place in a year without 29 February, from 0.
func plainYearDay(at time.Time) int {
	if at.Month() == time.February && at.Day() == 29 {
		at = at.AddDate(0, 0, -1)
	}
	return time.Date(plainYear, at.Month(), at.Day(), 0, 0, 0, 0, time.UTC).YearDay() - 1
}

// yearStart gives the day a season year begins: 1 January, 1 July in the south.
func yearStart(year int, south bool) int {
	month := time.January
	if south {
		month = time.July
	}
	return int(time.Date(year, month, 1, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// seasonYear gives the season year of a day.
func seasonYear(day int, south bool) int {
	y := yearOf(day)
	if south && day < yearStart(y, true) {
		return y - 1
	}
	return y
}

// seasonName writes a season year: 2025, in the south 2025/26.
func seasonName(year int, south bool) string {
	if south {
		return fmt.Sprintf("%d/%02d", year, (year+1)%100)
	}
	return fmt.Sprint(year)
}
