package store

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"log/slog"

	"github.com/pressly/goose/v3"
)

//go:embed migrations
var migrations embed.FS

// newestVersion returns the version of the schema that this program knows.
func newestVersion() (int64, error) {
	files, err := fs.Glob(migrations, "migrations/sqlite/*.sql")
	if err != nil {
		return 0, fmt.Errorf("looking for migrations: %w", err)
	}
	var newest int64
	for _, f := range files {
		v, err := goose.NumericComponent(f)
		if err != nil {
			return 0, fmt.Errorf("reading the number of migration %s: %w", f, err)
		}
		newest = max(newest, v)
	}
	return newest, nil
}

// migrate brings the schema from a version to the newest.
func migrate(ctx context.Context, db *sql.DB, version int64, log *slog.Logger) error {
	newest, err := newestVersion()
	if err != nil || version == newest {
		return err
	}
	folder, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		return fmt.Errorf("looking for migrations: %w", err)
	}
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, folder, goose.WithDisableGlobalRegistry(true))
	if err != nil {
		return fmt.Errorf("reading migrations: %w", err)
	}
	done, err := provider.Up(ctx)
	if err != nil {
		// Another program may have been quicker with a new file: then nothing is left to do.
		if done, err = provider.Up(ctx); err != nil {
			return fmt.Errorf("bringing the store from schema %d to %d: %w", version, newest, err)
		}
	}
	for _, m := range done {
		log.InfoContext(ctx, "store migrated", "schema", m.Source.Version, "took", m.Duration)
	}
	return nil
}
