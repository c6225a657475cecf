package app

import (
	"context"
	"strings"

	"underfoot"
)

// ReleaseRun lets the results of a failed run be used, under a person's name and reason. Every course that shares the run
// keeps the release.
func (a *App) ReleaseRun(ctx context.Context, who string, s *Standing, run, by, reason string) (underfoot.Change, error) {
	by, reason = strings.TrimSpace(by), strings.TrimSpace(reason)
	r := s.Quality.Run(run)
	switch {
	case r == nil || !r.Own || run == "":
		return underfoot.Change{}, underfoot.Errorf(underfoot.NotFound, "course %q has no furnace run %q", s.Records.Course.ID, run)
	case !r.Failed():
		return underfoot.Change{}, underfoot.Errorf(underfoot.Invalid, "furnace run %s did not fail: there is nothing to release", run)
	case by == "" || reason == "":
		return underfoot.Change{}, underfoot.Errorf(underfoot.Invalid, "releasing furnace run %s: a person's name and a reason are both needed", run)
	}
	courses, err := a.sharing(ctx, s.Records.Course.ID, run)
	if err != nil {
		return underfoot.Change{}, err
	}
	return a.Store.Change(ctx, who, "released furnace run "+run, func(tx underfoot.Tx) error {
		for _, c := range courses {
			if _, err := tx.Put(&underfoot.Release{Course: c, FurnaceRun: run, By: by, Date: s.Today, Reason: reason}); err != nil {
				return err
			}
		}
		return nil
	})
}

// HoldRun takes the release of a run back: its results are held again.
func (a *App) HoldRun(ctx context.Context, who string, s *Standing, run string) (underfoot.Change, error) {
	courses, err := a.sharing(ctx, s.Records.Course.ID, run)
	if err != nil {
		return underfoot.Change{}, err
	}
	return a.Store.Change(ctx, who, "held furnace run "+run+" again", func(tx underfoot.Tx) error {
		for _, c := range courses {
			if err := dropRecord(tx, &underfoot.Release{FurnaceRun: run}, c, courses[0]); err != nil {
				return err
			}
		}
		return nil
	})
}
