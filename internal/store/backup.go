package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"underfoot"
)

// Backup writes a copy of the store, as it is at one moment, to a new file. Others may go on reading and writing.
func (s *SQLite) Backup(ctx context.Context, path string) error {
	if _, err := os.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return underfoot.Errorf(underfoot.Conflict, "backing up the store to %s: the file is there already: name a new one", path)
	}
	part := path + ".part"
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("backing up the store to %s: %w", path, err)
	}
	if err := s.copyTo(ctx, part); err != nil {
		os.Remove(part)
		return fmt.Errorf("backing up the store to %s: %w", path, err)
	}
	if err := os.Rename(part, path); err != nil {
		return fmt.Errorf("backing up the store to %s: %w", path, err)
	}
	return nil
}

func (s *SQLite) copyTo(ctx context.Context, part string) error {
	if _, err := s.read.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		return s.dialect.explain(err)
	}
	f, err := os.OpenFile(part, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// Integrity checks the whole file: its structure, its indexes and every reference.
func (s *SQLite) Integrity(ctx context.Context) error {
	rows, err := s.read.QueryContext(ctx, `SELECT integrity_check FROM pragma_integrity_check LIMIT 20`)
	if err != nil {
		return fmt.Errorf("checking the store: %w", s.dialect.explain(err))
	}
	found, err := texts(rows)
	if err != nil {
		return fmt.Errorf("checking the store: %w", s.dialect.explain(err))
	}
	rows, err = s.read.QueryContext(ctx, `SELECT "table" || ' refers to what is not in ' || parent FROM pragma_foreign_key_check LIMIT 20`)
	if err != nil {
		return fmt.Errorf("checking the references of the store: %w", s.dialect.explain(err))
	}
	lost, err := texts(rows)
	if err != nil {
		return fmt.Errorf("checking the references of the store: %w", s.dialect.explain(err))
	}
	if len(found) == 1 && found[0] == "ok" {
		found = nil
	}
	if found = append(found, lost...); len(found) > 0 {
		return underfoot.Errorf(underfoot.Internal, "the store %s is damaged: restore a backup: %s", s.path, strings.Join(found, "; "))
	}
	return nil
}
