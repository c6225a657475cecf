package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"underfoot"
)

// mark is the application number in the header of every file we made: the letters UFOT.
const mark = 'U'<<24 | 'F'<<16 | 'O'<<8 | 'T'

// lookAt refuses what cannot be a store, and makes an empty file where there is none.
func lookAt(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Stat(filepath.Dir(path)); errors.Is(err, fs.ErrNotExist) {
			return underfoot.Errorf(underfoot.Invalid, "the folder %s does not exist: make it first or name another", filepath.Dir(path))
		}
	case err != nil:
		return underfoot.Errorf(underfoot.Invalid, "%w", err)
	case !info.Mode().IsRegular():
		return underfoot.Errorf(underfoot.Invalid, "it is a folder or a device, not a file: name a file in it")
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "the file must be readable and writable: %w", err)
	}
	defer f.Close()
	const magic = "SQLite format 3\x00"
	head := make([]byte, len(magic))
	n, err := io.ReadFull(f, head)
	switch {
	case n == 0 && errors.Is(err, io.EOF): // empty
		return nil
	case string(head) != magic:
		return underfoot.Errorf(underfoot.Invalid, "it is not an Underfoot store: name another file")
	}
	return nil
}

// versionOf returns the version of the schema in the file, 0 for a new one, without changing anything. It refuses a
// database of another program and one from a newer version of this.
func versionOf(ctx context.Context, path string) (int64, error) {
	name, err := fileName(path)
	if err != nil {
		return 0, err
	}
	how := "?mode=ro&_pragma=busy_timeout(10000)"
	if _, err := os.Stat(path + "-wal"); errors.Is(err, fs.ErrNotExist) {
		how += "&immutable=1" // nobody has it open: reading need not leave a log beside it
	}
	db, err := sql.Open("sqlite", name+how)
	if err != nil {
		return 0, err
	}
	defer db.Close()
	var application, strange, versioned int64
	err = db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name NOT IN ('goose_db_version', 'sqlite_sequence')),
		(SELECT count(*) FROM sqlite_master WHERE name = 'goose_db_version')`).Scan(&application, &strange, &versioned)
	if err != nil {
		return 0, sqliteDialect{}.explain(fmt.Errorf("reading its version: %w", err))
	}
	if application != mark && (application != 0 || strange > 0) {
		return 0, underfoot.Errorf(underfoot.Invalid, "it is a database of another program, not an Underfoot store: name another file")
	}
	if versioned == 0 {
		return 0, nil
	}
	return knownVersion(ctx, db, path)
}

// knownVersion returns the version that the migrations noted, unless we do not know it.
func knownVersion(ctx context.Context, db *sql.DB, path string) (int64, error) {
	var version int64
	err := db.QueryRowContext(ctx, `SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied`).Scan(&version)
	if err != nil {
		return 0, fmt.Errorf("reading its version: %w", err)
	}
	newest, err := newestVersion()
	if err != nil {
		return 0, err
	}
	if version > newest {
		return 0, underfoot.Errorf(underfoot.Conflict, "store %s was written by a newer Underfoot (schema %d, this program knows %d): use that version or restore a backup",
			filepath.Base(path), version, newest)
	}
	return version, nil
}
