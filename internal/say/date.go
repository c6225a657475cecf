package say

import (
	"regexp"
	"strings"
	"time"
)

const (
	months  = `January|February|March|April|May|June|July|August|September|October|November|December|Jan|Feb|Mar|Apr|Jun|Jul|Aug|Sep|Oct|Nov|Dec`
	space   = `[ \x{a0}]` // the second where a date must not break
	weekday = `Mon|Tue|Wed|Thu|Fri|Sat|Sun`
)

// dayFirst is a date as it is composed: an optional weekday, a day or a range of days, a month, an optional year.
var dayFirst = regexp.MustCompile(`\b(?:(` + weekday + `)` + space + `)?(\d{1,2})(?:(–| to | and )(\d{1,2}))?` + space + `(` + months + `)\b(?:` + space + `(\d{4})\b)?`)

// dates writes the dates of composed words in the person's order. In the ISO order a date without a year stays as it is,
// because 10-08 would be read both ways.
func (s Style) dates(words string) string {
	if s.Dates != MonthFirst && s.Dates != ISO {
		return words
	}
	return dayFirst.ReplaceAllStringFunc(words, func(found string) string {
		said := s.inOrder(found)
		if strings.Contains(found, "\u00a0") {
			said = strings.ReplaceAll(said, " ", "\u00a0")
		}
		return said
	})
}

// inOrder writes one date in the person's order.
func (s Style) inOrder(found string) string {
	p := dayFirst.FindStringSubmatch(found)
	week, first, joint, last, month, year := p[1], p[2], p[3], p[4], p[5], p[6]
	if s.Dates == MonthFirst {
		out := month + " " + first
		if joint != "" {
			out += joint + last
		}
		if week != "" {
			out = week + ", " + out
		}
		if year != "" {
			out += ", " + year
		}
		return out
	}
	if year == "" {
		return found
	}
	out := isoDay(year, month, first)
	if joint != "" {
		if joint == "–" {
			joint = " to "
		}
		out += joint + isoDay(year, month, last)
	}
	if week != "" {
		out = week + " " + out
	}
	return out
}

func isoDay(year, month, day string) string {
	t, err := time.Parse("2006 Jan 2", year+" "+month[:3]+" "+day)
	if err != nil {
		return strings.Join([]string{day, month, year}, " ")
	}
	return t.Format("2006-01-02")
}

// Day writes a date in full: "8 October 2026", "October 8, 2026", "2026-10-08".
func (s Style) Day(d time.Time) string { return s.dates(d.Format("2 January 2006")) }

// ShortDay writes a date with its weekday and without a year: "Thu 8 Oct", "Thu, Oct 8".
func (s Style) ShortDay(d time.Time) string { return s.dates(d.Format("Mon 2 Jan")) }

// PlainDay writes a date without its weekday: "8 Oct 2026", "Oct 8, 2026", "2026-10-08".
func (s Style) PlainDay(d time.Time) string { return s.dates(d.Format("2 Jan 2006")) }
