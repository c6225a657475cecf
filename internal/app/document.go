package app

import (
	"context"

	"underfoot"
)

// Document gives how the course's reports were last put together; what was never kept is that of a client report.
func (s *Standing) Document() underfoot.Document {
	for _, d := range s.Records.Documents {
		if d.ID == underfoot.TheReport {
			return d
		}
	}
	return underfoot.Document{Course: s.Records.Course.ID, ID: underfoot.TheReport}
}

// SaveDocument keeps how reports are put together. what says in a clause what was done, for the history.
func (a *App) SaveDocument(ctx context.Context, who, what string, d underfoot.Document) (underfoot.Change, error) {
	for _, f := range d.Check() {
		return underfoot.Change{}, fieldError(f.Column, "%s", f.Text)
	}
	return a.Store.Change(ctx, who, what, func(tx underfoot.Tx) error {
		_, err := tx.Put(&d)
		return err
	})
}
