package app

import (
	"context"
	"fmt"
	"slices"

	"underfoot"
	"underfoot/season"
)

// closings gives the course's closed times and tournaments that touch the days from one to another. The days of a tournament are
// closed for work.
func (s *Standing) closings(from, until underfoot.Date) (closed []season.Closed, tournaments []season.Tournament) {
	for i := range s.Records.Closings {
		c := &s.Records.Closings[i]
		if c.Why == "tournament" && c.Until >= from {
			tournaments = append(tournaments, season.Tournament{
				Day: int(c.From), Before: c.HealedDays.Or(underfoot.UsualHealedDays), Unopened: c.UnopenedDays.Or(0), Name: c.Name,
			})
		}
		if c.Until >= from && c.From <= until {
			closed = append(closed, season.Closed{From: int(c.From), Until: int(c.Until), Why: closingName(c)})
		}
	}
	return closed, tournaments
}

// closingName says what a closed time is.
func closingName(c *underfoot.Closing) string {
	switch {
	case c.Name != "":
		return c.Name
	case c.Why == "holiday":
		return "public holiday"
	}
	return c.Why
}

// CrewOf gives the crew hours a week that hold for all of a time and what an hour costs at its beginning; 0 for no word on either.
// Where the hours change within the time, the fewest count.
func (s *Standing) CrewOf(from, until underfoot.Date) (hours, price float64) {
	for i, c := range s.Records.Crews {
		ends := i+1 < len(s.Records.Crews) && s.Records.Crews[i+1].From <= from
		if ends || c.From > until {
			continue
		}
		if h := c.HoursPerWeek.Or(0); h > 0 && (hours == 0 || h < hours) {
			hours = h
		}
		if c.From <= from || price == 0 {
			price = c.PricePerH.Or(price)
		}
	}
	return hours, price
}

// outside says which typed days lie outside the time planned for and therefore change nothing, and whether some of that time is past.
func (a *SeasonAsk) outside(today underfoot.Date) []string {
	var notes []string
	if a.From < today {
		notes = append(notes, fmt.Sprintf("it begins on %s, before today, %s: work on days gone by cannot be done any more", a.From, today))
	}
	out := func(from, until int) bool { return until < int(a.From) || from > int(a.Until) }
	for _, c := range a.Closed {
		if out(c.From, c.Until) {
			notes = append(notes, spanned("the closed time", c.From, c.Until)+" lies outside the time planned for: it changes nothing")
		}
	}
	for _, t := range a.Tournaments {
		if t.Day < int(a.From) {
			notes = append(notes, fmt.Sprintf("the tournament of %s is before the first day planned for: it changes nothing", dayText(t.Day)))
		}
	}
	return notes
}

// mostClosings is how many closed times, tournaments and holidays a course may have.
const mostClosings = 500

// SaveClosing keeps a closed time or tournament in one change, in place of the one with the key was unless that is nil.
func (a *App) SaveClosing(ctx context.Context, who string, s *Standing, c underfoot.Closing, was underfoot.Key) (underfoot.Change, error) {
	if err := s.mayClose(&c, was, 1); err != nil {
		return underfoot.Change{}, err
	}
	key := underfoot.Closings.Key(&c)
	what := "added " + closingSays(&c)
	if was != nil {
		what = "changed " + closingSays(&c)
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		if was != nil {
			old, err := tx.Find(underfoot.Closings, was)
			if err != nil {
				return err
			}
			if old != nil {
				c.Extra = unknownCells(old)
				if !slices.Equal(was, key) {
					if err := tx.Delete(underfoot.Closings, was); err != nil {
						return err
					}
				}
			}
		}
		_, err := tx.Put(&c)
		return err
	})
}

// SaveClosings adds several closed times in one change.
func (a *App) SaveClosings(ctx context.Context, who string, s *Standing, list []underfoot.Closing) (underfoot.Change, error) {
	for i := range list {
		if err := s.mayClose(&list[i], nil, len(list)); err != nil {
			return underfoot.Change{}, err
		}
	}
	what := "added " + counted(len(list), "closed time", "closed times")
	if len(list) == 1 {
		what = "added " + closingSays(&list[0])
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		for i := range list {
			c := &list[i]
			if was, err := tx.Has(underfoot.Closings, underfoot.Closings.Key(c)); err != nil {
				return err
			} else if was {
				return fieldError("from", "a %s on %s is given twice", closingWord(c.Why), c.From)
			}
			if _, err := tx.Put(c); err != nil {
				return err
			}
		}
		return nil
	})
}

// mayClose refuses a closed time that is none, is past, or is there already under another key than was; more is how many come with it.
func (s *Standing) mayClose(c *underfoot.Closing, was underfoot.Key, more int) error {
	for _, f := range c.Check() {
		return fieldError(f.Column, "%s", f.Text)
	}
	key := underfoot.Closings.Key(c)
	there := slices.ContainsFunc(s.Records.Closings, func(x underfoot.Closing) bool { return slices.Equal(underfoot.Closings.Key(&x), key) })
	switch {
	case c.Until < s.Today:
		return fieldError("until", "%s is past, today is %s: closed times count for plans ahead", c.Until, s.Today)
	case c.From > s.Today.Add(10*366):
		return fieldError("from", "%s is more than ten years ahead: give an earlier day", c.From)
	case there && !slices.Equal(was, key):
		return fieldError("from", "a %s from %s on is there already: change that one", closingWord(c.Why), c.From)
	case was == nil && len(s.Records.Closings)+more > mostClosings:
		return fieldError("from", "the course has %d closed times, %d are allowed: remove past ones first", len(s.Records.Closings), mostClosings)
	}
	return nil
}

// closingWord names a kind of closed time.
func closingWord(why string) string {
	switch why {
	case "closed":
		return "closed time"
	case "holiday":
		return "public holiday"
	}
	return why
}

// closingSays says a closed time in words: "the tournament Autumn cup, 12 June 2027".
func closingSays(c *underfoot.Closing) string {
	s := map[string]string{"closed": "the closed time", "tournament": "the tournament", "holiday": "the holiday"}[c.Why]
	if c.Name != "" {
		s += " " + c.Name
	}
	s += ", " + dayText(int(c.From))
	if c.Until > c.From {
		s += " to " + dayText(int(c.Until))
	}
	return s
}

// DropClosing takes a closed time or tournament away.
func (a *App) DropClosing(ctx context.Context, who string, s *Standing, key underfoot.Key) (underfoot.Change, error) {
	i := slices.IndexFunc(s.Records.Closings, func(x underfoot.Closing) bool { return slices.Equal(underfoot.Closings.Key(&x), key) })
	if i < 0 {
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "course %q has no such closed time: it may be removed already", s.Records.Course.ID)
	}
	return a.Store.Change(ctx, who, "removed "+closingSays(&s.Records.Closings[i]), func(tx underfoot.Tx) error { return tx.Delete(underfoot.Closings, key) })
}

// SaveCrew keeps what crew there is from a day on.
func (a *App) SaveCrew(ctx context.Context, who string, c underfoot.Crew) (underfoot.Change, error) {
	for _, f := range c.Check() {
		return underfoot.Change{}, fieldError(f.Column, "%s", f.Text)
	}
	return a.Store.Change(ctx, who, "said what crew there is from "+dayText(int(c.From))+" on", func(tx underfoot.Tx) error {
		if was, err := tx.Find(underfoot.Crews, underfoot.Crews.Key(&c)); err != nil {
			return err
		} else if was != nil {
			c.Extra = unknownCells(was)
		}
		_, err := tx.Put(&c)
		return err
	})
}

// DropCrew takes a row of the crew away.
func (a *App) DropCrew(ctx context.Context, who string, s *Standing, from underfoot.Date) (underfoot.Change, error) {
	i := slices.IndexFunc(s.Records.Crews, func(x underfoot.Crew) bool { return x.From == from })
	if i < 0 {
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "course %q has no crew from %s on: it may be removed already", s.Records.Course.ID, from)
	}
	return a.Store.Change(ctx, who, "removed the crew from "+dayText(int(from))+" on", func(tx underfoot.Tx) error {
		return tx.Delete(underfoot.Crews, underfoot.Crews.Key(&s.Records.Crews[i]))
	})
}
