package underfoot

import (
	"fmt"
	"time"
)

// Date is a calendar day without a time of day, counted in days from 1 January 1970. Which day it is "today" depends
// on the course's time zone; see [Course.Today].
type Date int32

// DateOf returns the calendar day of t in t's own location.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return MakeDate(y, m, d)
}

// MakeDate returns the day with the given parts, normalising them as [time.Date] does.
func MakeDate(year int, month time.Month, day int) Date {
	return Date(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// ParseDate reads a day in the form 2006-01-02; 30 February and the like are refused.
func ParseDate(s string) (Date, error) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return 0, fmt.Errorf("%q is not a date of the form 2026-10-08 (year-month-day)", s)
	}
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("%q is not a day of the calendar (form 2026-10-08, year-month-day)", s)
	}
	return DateOf(t), nil
}

// Time returns midnight UTC of the day.
func (d Date) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// String returns the day as 2006-01-02.
func (d Date) String() string { return d.Time().Format(time.DateOnly) }

// Year returns the calendar year.
func (d Date) Year() int { return d.Time().Year() }

// Month returns the calendar month.
func (d Date) Month() time.Month { return d.Time().Month() }

// Add returns the day n days later.
func (d Date) Add(days int) Date { return d + Date(days) }

// Decimal returns the day as a year with a fraction, such as 2026.77: the time axis of trends, in years of 365.25 days
// from 2000-01-01 so that equal numbers of days are equal steps.
func (d Date) Decimal() float64 { return 2000 + float64(d-MakeDate(2000, time.January, 1))/365.25 }
