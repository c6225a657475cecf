package app

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"underfoot"
	"underfoot/internal/exchange"
)

// WeatherTaken says what a weather file came to.
type WeatherTaken struct {
	Course   string
	File     exchange.WeatherFile
	Change   underfoot.Change
	Counts   TableTaken
	From, To underfoot.Date
}

// ImportWeather brings a weather file by itself into the store, for a course; course may be empty when the store holds
// one. What the file leaves open of a day stays as it is in the store. With any problem, after telling onProblem about each, nothing is taken.
func (a *App) ImportWeather(ctx context.Context, path, course, who string, onProblem func(exchange.Problem)) (*WeatherTaken, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "weather: %w", err)
	}
	defer f.Close()
	return a.TakeWeather(ctx, f, filepath.Base(path), course, who, onProblem)
}

// TakeWeather is [App.ImportWeather] of what is read from r.
func (a *App) TakeWeather(ctx context.Context, r io.Reader, name, course, who string, onProblem func(exchange.Problem)) (*WeatherTaken, error) {
	course, err := a.onlyCourse(ctx, course)
	if err != nil {
		return nil, err
	}
	file, err := exchange.ReadWeather(r, name, course)
	if err != nil {
		return nil, err
	}
	for _, p := range file.Problems {
		if onProblem != nil {
			onProblem(p)
		}
	}
	if n := len(file.Problems); n > 0 {
		return nil, underfoot.Errorf(underfoot.Invalid, "weather file %s has %s: nothing was taken from it", name, counted(n, "problem", "problems"))
	}
	today, err := a.todayOn(ctx, course)
	if err != nil {
		return nil, err
	}
	if last := file.Days[len(file.Days)-1].Date; last > today+1 {
		return nil, underfoot.Errorf(underfoot.Invalid, "weather file %s: %s is in the future: today is %s; a forecast is no record, and nothing was taken from it", name, last, today)
	}
	t := &WeatherTaken{Course: course, File: *file, Counts: TableTaken{Table: underfoot.WeatherDays.Name, Title: underfoot.WeatherDays.Title}}
	counts := map[*underfoot.Table]*TableTaken{underfoot.WeatherDays: &t.Counts}
	t.Change, err = a.Store.Change(ctx, who, "imported the weather file "+name, func(tx underfoot.Tx) error {
		for i := range file.Days {
			if err := keepMeasured(tx, &file.Days[i]); err != nil {
				return fmt.Errorf("weather file %s: %w", name, err)
			}
			outcome, err := tx.Put(&file.Days[i])
			if err != nil {
				return fmt.Errorf("storing %s: %w", file.Days[i].Date, err)
			}
			count(counts, underfoot.WeatherDays, outcome)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	t.From, t.To = file.Days[0].Date, file.Days[len(file.Days)-1].Date
	return t, nil
}

// todayOn gives the day it is on a course.
func (a *App) todayOn(ctx context.Context, course string) (underfoot.Date, error) {
	r, err := a.Store.Get(ctx, underfoot.Courses, underfoot.Key{course})
	if err != nil {
		return 0, fmt.Errorf("weather: %w", err)
	}
	return r.(*underfoot.Course).Today(a.Now()), nil
}

// keepMeasured fills in what the file does not say of a day and the store does: a file of rain takes no temperature away.
func keepMeasured(tx underfoot.Tx, day *underfoot.Weather) error {
	found, err := tx.Find(underfoot.WeatherDays, underfoot.WeatherDays.Key(day))
	if err != nil {
		return err
	}
	old, ok := found.(*underfoot.Weather)
	if !ok {
		return nil
	}
	keep := func(to *underfoot.Opt[float64], from underfoot.Opt[float64]) {
		if !to.Known {
			*to = from
		}
	}
	keep(&day.TMinC, old.TMinC)
	keep(&day.TMaxC, old.TMaxC)
	keep(&day.RainMM, old.RainMM)
	day.Extra = old.Extra
	if faults := day.Check(); len(faults) > 0 {
		return underfoot.Errorf(underfoot.Conflict, "%s: %s, one of them from the store: correct the day there or in the file; nothing was taken", day.Date, faults[0].Text)
	}
	return nil
}

// onlyCourse gives the course named, or the only one of the store.
func (a *App) onlyCourse(ctx context.Context, course string) (string, error) {
	all, err := a.Store.Courses(ctx)
	if err != nil {
		return "", err
	}
	var names string
	for i, c := range all {
		if c.ID == course || course == "" && len(all) == 1 {
			return c.ID, nil
		}
		if i > 0 {
			names += ", "
		}
		names += c.ID
	}
	switch {
	case len(all) == 0:
		return "", underfoot.Errorf(underfoot.NotFound, "weather: the store has no course yet: bring in its package first")
	case course == "":
		return "", underfoot.Errorf(underfoot.Invalid, "weather: the store has several courses, %s: say which one with --course", names)
	}
	return "", underfoot.Errorf(underfoot.NotFound, "weather: course %q is not in the store: there are %s", course, names)
}
