-- The bench beyond weighings (runs, trays, tares, repeated weighings, releases, custody), planned rounds with their core
-- positions and fixed points, and mappings of laboratory tables.

-- +goose Up
-- Furnace runs.
CREATE TABLE "runs" (
    "course" TEXT NOT NULL,
    "furnace_run" TEXT NOT NULL,
    "date" TEXT,
    "by" TEXT,
    "furnace" TEXT,
    "balance" TEXT,
    "dry_c" REAL,
    "dry_hours" REAL,
    "ash_c" REAL,
    "ash_hours" REAL,
    "tray_rows" INTEGER,
    "tray_columns" INTEGER,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "furnace_run"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "runs_deleted" ON "runs" ("course") WHERE "deleted" IS NOT NULL;

-- Places in the furnace.
CREATE TABLE "tray" (
    "course" TEXT NOT NULL,
    "furnace_run" TEXT NOT NULL,
    "place" TEXT NOT NULL,
    "crucible" TEXT NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "furnace_run", "place"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "tray_deleted" ON "tray" ("course") WHERE "deleted" IS NOT NULL;

-- Released furnace runs.
CREATE TABLE "releases" (
    "course" TEXT NOT NULL,
    "furnace_run" TEXT NOT NULL,
    "by" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "furnace_run"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "releases_deleted" ON "releases" ("course") WHERE "deleted" IS NOT NULL;

-- Tares of crucibles.
CREATE TABLE "crucibles" (
    "course" TEXT NOT NULL,
    "crucible" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "tare_g" REAL NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "crucible", "date"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "crucibles_deleted" ON "crucibles" ("course") WHERE "deleted" IS NOT NULL;

-- Repeated weighings.
CREATE TABLE "repeats" (
    "course" TEXT NOT NULL,
    "sample" TEXT NOT NULL,
    "crucible" TEXT NOT NULL,
    "stage" TEXT NOT NULL,
    "n" INTEGER NOT NULL,
    "mass_g" REAL NOT NULL,
    "hours" REAL,
    "kind" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    "sample_of" TEXT GENERATED ALWAYS AS (CASE WHEN "kind" IN ('blank', 'control') THEN NULL ELSE "sample" END) VIRTUAL,
    PRIMARY KEY ("course", "sample", "crucible", "stage", "n"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample_of") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "repeats_deleted" ON "repeats" ("course") WHERE "deleted" IS NOT NULL;

-- Custody of samples.
CREATE TABLE "custody" (
    "course" TEXT NOT NULL,
    "sample" TEXT NOT NULL,
    "step" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "by" TEXT NOT NULL,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "sample", "step"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "custody_deleted" ON "custody" ("course") WHERE "deleted" IS NOT NULL;

-- Planned rounds.
CREATE TABLE "rounds" (
    "course" TEXT NOT NULL,
    "round" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "layers" TEXT NOT NULL,
    "top_greens" TEXT,
    "full_greens" TEXT,
    "cores" INTEGER,
    "core_diameter_mm" REAL,
    "verdure" TEXT,
    "seed" INTEGER,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "round"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "rounds_deleted" ON "rounds" ("course") WHERE "deleted" IS NOT NULL;

-- Core positions.
CREATE TABLE "positions" (
    "course" TEXT NOT NULL,
    "green" TEXT NOT NULL,
    "round" TEXT NOT NULL,
    "core" INTEGER NOT NULL,
    "longitude_deg" REAL NOT NULL,
    "latitude_deg" REAL NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "green", "round", "core"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "positions_deleted" ON "positions" ("course") WHERE "deleted" IS NOT NULL;

-- Fixed points.
CREATE TABLE "points" (
    "course" TEXT NOT NULL,
    "green" TEXT NOT NULL,
    "point" TEXT NOT NULL,
    "longitude_deg" REAL NOT NULL,
    "latitude_deg" REAL NOT NULL,
    "about" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "green", "point"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "points_deleted" ON "points" ("course") WHERE "deleted" IS NOT NULL;

-- Mappings of laboratory tables.
CREATE TABLE "mappings" (
    "course" TEXT NOT NULL,
    "mapping" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "headings" TEXT,
    "rule" TEXT NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "mapping"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "mappings_deleted" ON "mappings" ("course") WHERE "deleted" IS NOT NULL;

-- +goose Down
DROP TABLE "mappings";
DROP TABLE "points";
DROP TABLE "positions";
DROP TABLE "rounds";
DROP TABLE "custody";
DROP TABLE "repeats";
DROP TABLE "crucibles";
DROP TABLE "releases";
DROP TABLE "tray";
DROP TABLE "runs";
