package season

import (
	"fmt"
	"math"
	"time"
)

// Closed is a stretch of days on which nothing is done, both ends included; days since 1970-01-01.
type Closed struct {
	From, Until int
	Why         string
}

// Tournament is a day the greens have to be at their best: no work ends its recovery later than Before days ahead of it, and
// nothing opens the surface in the Unopened days before, however fast it would heal.
type Tournament struct {
	Day, Before int
	Unopened    int // days; 0 for no word on it
	Name        string
}

// Calendar says when work can be done.
type Calendar struct {
	From, Until int                   // days planned for, both included
	Index       func(day int) float64 // growth index of an ordinary year on that day, 0..1
	Closed      []Closed
	Tournaments []Tournament
	Weekday     time.Weekday // on which work is planned; a closed one moves to the next open day of the week
	South       bool         // seasons run July to June
}

// Check refuses a calendar nothing can be planned in.
func (c *Calendar) Check() error {
	if c.Until < c.From {
		return fmt.Errorf("season: it ends before it begins: give a last day after the first")
	}
	if c.Until-c.From > 4*366 {
		return fmt.Errorf("season: %d days are planned for: 4 years at most", c.Until-c.From)
	}
	for _, x := range c.Closed {
		if x.Until < x.From {
			return fmt.Errorf("season: a closed time ends before it begins: give a last day after the first")
		}
	}
	for _, t := range c.Tournaments {
		if t.Before < 0 || t.Before > 90 || t.Unopened < 0 || t.Unopened > 200 {
			return fmt.Errorf("season: a tournament wants the greens healed %d days and unopened %d days before: 0 to 90 and 0 to 200 are allowed", t.Before, t.Unopened)
		}
	}
	return nil
}

// open says whether anything can be done on a day.
func (c *Calendar) open(day int) bool {
	if day < c.From || day > c.Until {
		return false
	}
	for _, x := range c.Closed {
		if day >= x.From && day <= x.Until {
			return false
		}
	}
	return true
}

// Allows says whether an operation can be done on a day: open, growth enough, and recovered from before any tournament.
func (c *Calendar) Allows(o *Operation, day int) bool {
	index := c.Index(day)
	if !c.open(day) || index < o.Growth {
		return false
	}
	gone := day + int(math.Ceil(o.DisturbedDays(index)))
	for _, t := range c.Tournaments {
		if day <= t.Day && gone > t.Day-t.Before {
			return false
		}
		if o.opens() && t.Unopened > 0 && day <= t.Day && day >= t.Day-t.Unopened {
			return false
		}
	}
	return true
}

// Slots gives a day in every week on which something can be done.
func (c *Calendar) Slots() []int {
	var slots []int
	for week := c.From; week <= c.Until; {
		begin := week
		for ; week <= c.Until && (week == begin || weekday(week) != c.Weekday); week++ {
		}
		// from the weekday on, wrapping within the week
		for d := begin; d < week; d++ {
			if c.open(d) {
				slots = append(slots, d)
				break
			}
		}
	}
	return slots
}

func weekday(day int) time.Weekday { return time.Weekday(((day+4)%7 + 7) % 7) } // 1 January 1970 was a Thursday

// Year gives the season a day belongs to: the calendar year, south of the equator the year July falls into.
func (c *Calendar) Year(day int) int {
	t := time.Unix(int64(day)*86400, 0).UTC()
	if c.South && t.Month() < time.July {
		return t.Year() - 1
	}
	return t.Year()
}
