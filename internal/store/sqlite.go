// Package store keeps records in a database: today one SQLite file. All SQL of the records is made from the
// descriptions in [underfoot.Tables]; the schema lies in migrations, one folder a dialect, and a test holds the two
// together. What every store must do is the suite in package storetest.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"net/url"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"underfoot"
)

// Options are what a store needs from outside.
type Options struct {
	Now    func() time.Time // the clock; nil for the machine's
	Logger *slog.Logger     // nil for silence
}

// SQLite is a store in one SQLite file.
type SQLite struct {
	*database
	path string
}

var _ underfoot.Store = (*SQLite)(nil)

// Open opens the store in the file at path and makes it where there is none. It refuses, without touching it, a file
// that is not a store or was written by a newer version of the program.
func Open(ctx context.Context, path string, opts Options) (*SQLite, error) {
	s, err := open(ctx, path, opts)
	if err != nil {
		return nil, fmt.Errorf("opening the store %s: %w", path, err)
	}
	return s, nil
}

func open(ctx context.Context, path string, opts Options) (*SQLite, error) {
	if opts.Logger == nil {
		opts.Logger = slog.New(slog.DiscardHandler)
	}
	if err := lookAt(path); err != nil {
		return nil, err
	}
	version, err := versionOf(ctx, path)
	if err != nil {
		return nil, err
	}
	write, err := connect(path, "_txlock=immediate", "_pragma=cache_size(-32768)", "_pragma=journal_size_limit(67108864)")
	if err != nil {
		return nil, err
	}
	write.SetMaxOpenConns(1)
	if err := migrate(ctx, write, version, opts.Logger); err != nil {
		write.Close()
		return nil, sqliteDialect{}.explain(err)
	}
	read, err := connect(path, "_txlock=deferred")
	if err != nil {
		write.Close()
		return nil, err
	}
	read.SetMaxOpenConns(2 + runtime.GOMAXPROCS(0))
	read.SetMaxIdleConns(2 + runtime.GOMAXPROCS(0))
	return &SQLite{database: newDatabase(sqliteDialect{}, write, read, opts.Now), path: path}, nil
}

// connect opens a pool of connections: write-ahead log, every commit on the disk before it is said to be done, foreign
// keys held, ten seconds of patience with another program.
func connect(path string, more ...string) (*sql.DB, error) {
	const settings = "_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_time_format=sqlite"
	name, err := fileName(path)
	if err != nil {
		return nil, err
	}
	return sql.Open("sqlite", name+"?"+strings.Join(append([]string{settings}, more...), "&"))
}

// fileName returns the path as a file: name, safe for paths with question marks and the like.
func fileName(path string) (string, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("finding %s: %w", path, err)
	}
	full = filepath.ToSlash(full)
	if !strings.HasPrefix(full, "/") {
		full = "/" + full // a drive letter
	}
	return "file:" + (&url.URL{Path: full}).EscapedPath(), nil
}

// sqliteDialect is what SQLite says differently from other engines.
type sqliteDialect struct{}

func (sqliteDialect) begin() string { return "BEGIN IMMEDIATE" }

func (sqliteDialect) lacksParent(err error) bool {
	var e *sqlite.Error
	return errors.As(err, &e) && e.Code() == sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY
}

func (sqliteDialect) explain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return underfoot.Errorf(underfoot.Conflict, "another program has been writing to the store for ten seconds: try again when it is done: %w", err)
	case sqlite3.SQLITE_FULL:
		return underfoot.Errorf(underfoot.Internal, "the disk is full: make room and try again: %w", err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN:
		return underfoot.Errorf(underfoot.Invalid, "the file and its folder must be writable: %w", err)
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
		return underfoot.Errorf(underfoot.Internal, "the file is damaged: restore a backup: %w", err)
	}
	return err
}
