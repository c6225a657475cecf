-- The tables of the exchange format, one to one, with the change that brought each row ("created") and the one that
-- hid it ("deleted", empty while it is live); and the changes themselves with the history they left.
-- A test holds these tables against underfoot.Tables().

-- +goose Up
PRAGMA application_id = 1430671188; -- the letters UFOT: marks the file as Underfoot's

-- One write to the store.
CREATE TABLE "change" (
    "id" INTEGER PRIMARY KEY,
    "at" TEXT NOT NULL,                  -- UTC, RFC 3339 with microseconds
    "by" TEXT NOT NULL,
    "what" TEXT NOT NULL,
    "added" INTEGER NOT NULL DEFAULT 0,
    "changed" INTEGER NOT NULL DEFAULT 0,
    "deleted" INTEGER NOT NULL DEFAULT 0,
    "undoes" INTEGER REFERENCES "change" ("id"),
    "undone" INTEGER REFERENCES "change" ("id")
) STRICT;

-- What a change did to one table of one course.
CREATE TABLE "change_course" (
    "course" TEXT NOT NULL,
    "change" INTEGER NOT NULL REFERENCES "change" ("id"),
    "table" TEXT NOT NULL,
    "added" INTEGER NOT NULL,
    "changed" INTEGER NOT NULL,
    "deleted" INTEGER NOT NULL,
    PRIMARY KEY ("course", "change", "table")
) STRICT, WITHOUT ROWID;
CREATE INDEX "change_course_change" ON "change_course" ("change");

-- What records were before and after each change but the one that brought them. Rows are only ever added.
CREATE TABLE "history" (
    "id" INTEGER PRIMARY KEY,
    "change" INTEGER NOT NULL REFERENCES "change" ("id"),
    "table" TEXT NOT NULL,
    "course" TEXT NOT NULL,
    "key" TEXT NOT NULL,                 -- JSON array of the key cells after the course
    "before" TEXT,                       -- JSON object of the known cells; empty when the record was not there
    "after" TEXT                         -- empty when the record is hidden
) STRICT;
CREATE INDEX "history_change" ON "history" ("change", "table", "course", "key");
CREATE INDEX "history_record" ON "history" ("table", "course", "key");

-- +goose StatementBegin
CREATE TRIGGER "history_is_not_changed" BEFORE UPDATE ON "history"
BEGIN
    SELECT RAISE(ABORT, 'the history of records is only ever added to');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER "history_is_not_deleted" BEFORE DELETE ON "history"
BEGIN
    SELECT RAISE(ABORT, 'the history of records is only ever added to');
END;
-- +goose StatementEnd

-- Courses.
CREATE TABLE "courses" (
    "course" TEXT NOT NULL,
    "name" TEXT,
    "latitude_deg" REAL,
    "longitude_deg" REAL,
    "country" TEXT,
    "time_zone" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course")
) STRICT, WITHOUT ROWID;
CREATE INDEX "courses_deleted" ON "courses" ("course") WHERE "deleted" IS NOT NULL;

-- Sands.
CREATE TABLE "sands" (
    "course" TEXT NOT NULL,
    "sand" TEXT NOT NULL,
    "name" TEXT,
    "role" TEXT,
    "bulk_density_kg_m3" REAL,
    "moisture_percent" REAL,
    "price_per_t" REAL,
    "currency" TEXT,
    "load_t" REAL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "sand"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "sands_deleted" ON "sands" ("course") WHERE "deleted" IS NOT NULL;

-- Control materials.
CREATE TABLE "controls" (
    "course" TEXT NOT NULL,
    "control" TEXT NOT NULL,
    "accepted_percent" REAL,
    "sd_percent" REAL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "control"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "controls_deleted" ON "controls" ("course") WHERE "deleted" IS NOT NULL;

-- Greens.
CREATE TABLE "greens" (
    "course" TEXT NOT NULL,
    "green" TEXT NOT NULL,
    "name" TEXT,
    "kind" TEXT,
    "species" TEXT,
    "area_m2" REAL,
    "built_year" INTEGER,
    "rootzone_sand" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "green"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "rootzone_sand") REFERENCES "sands" ("course", "sand") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "greens_deleted" ON "greens" ("course") WHERE "deleted" IS NOT NULL;

-- Outlines of greens.
CREATE TABLE "outlines" (
    "course" TEXT NOT NULL,
    "green" TEXT NOT NULL,
    "feature" TEXT NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "green"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "outlines_deleted" ON "outlines" ("course") WHERE "deleted" IS NOT NULL;

-- Samples.
CREATE TABLE "samples" (
    "sample" TEXT NOT NULL,
    "course" TEXT NOT NULL,
    "green" TEXT NOT NULL,
    "round" TEXT,
    "date" TEXT NOT NULL,
    "top_mm" REAL NOT NULL,
    "bottom_mm" REAL NOT NULL,
    "cores" INTEGER,
    "core_diameter_mm" REAL,
    "verdure" TEXT,
    "position" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "sample"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "samples_deleted" ON "samples" ("course") WHERE "deleted" IS NOT NULL;

-- Weighings.
CREATE TABLE "weighings" (
    "course" TEXT NOT NULL,
    "sample" TEXT NOT NULL,
    "crucible" TEXT NOT NULL,
    "furnace_run" TEXT,
    "tare_g" REAL,
    "moist_g" REAL,
    "dry_g" REAL,
    "ash_g" REAL,
    "dry_c" REAL,
    "ash_c" REAL,
    "ash_hours" REAL,
    "balance_resolution_g" REAL,
    "kind" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    "sample_of" TEXT GENERATED ALWAYS AS (CASE WHEN "kind" IN ('blank', 'control') THEN NULL ELSE "sample" END) VIRTUAL,
    PRIMARY KEY ("course", "sample", "crucible"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample_of") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "weighings_deleted" ON "weighings" ("course") WHERE "deleted" IS NOT NULL;

-- Results.
CREATE TABLE "results" (
    "course" TEXT NOT NULL,
    "sample" TEXT NOT NULL,
    "om_percent" REAL NOT NULL,
    "om_sd_percent" REAL,
    "dry_mass_g" REAL,
    "method" TEXT,
    "lab" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "sample"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "results_deleted" ON "results" ("course") WHERE "deleted" IS NOT NULL;

-- Log of work.
CREATE TABLE "work" (
    "entry" TEXT NOT NULL,
    "course" TEXT NOT NULL,
    "green" TEXT,
    "date" TEXT NOT NULL,
    "status" TEXT,
    "kind" TEXT NOT NULL,
    "sand" TEXT,
    "sand_mm" REAL,
    "sand_kg_m2" REAL,
    "tine_diameter_mm" REAL,
    "spacing_along_mm" REAL,
    "spacing_across_mm" REAL,
    "pattern" TEXT,
    "passes" INTEGER,
    "blade_width_mm" REAL,
    "blade_spacing_mm" REAL,
    "depth_mm" REAL,
    "backfill" REAL,
    "cores_removed" TEXT,
    "nitrogen_kg_ha" REAL,
    "clippings_l_100m2" REAL,
    "cost" REAL,
    "labour_h" REAL,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "entry"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sand") REFERENCES "sands" ("course", "sand") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "work_deleted" ON "work" ("course") WHERE "deleted" IS NOT NULL;

-- Readings.
CREATE TABLE "readings" (
    "reading" TEXT NOT NULL,
    "course" TEXT NOT NULL,
    "green" TEXT,
    "date" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "value" REAL NOT NULL,
    "depth_mm" REAL,
    "n" INTEGER,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "reading"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "green") REFERENCES "greens" ("course", "green") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "readings_deleted" ON "readings" ("course") WHERE "deleted" IS NOT NULL;

-- Weather.
CREATE TABLE "weather" (
    "course" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "tmin_c" REAL,
    "tmax_c" REAL,
    "rain_mm" REAL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "date"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "weather_deleted" ON "weather" ("course") WHERE "deleted" IS NOT NULL;

-- Sieve masses.
CREATE TABLE "sieve" (
    "course" TEXT NOT NULL,
    "source" TEXT NOT NULL,
    "sieve_mm" REAL NOT NULL,
    "retained_g" REAL NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    "sample_of" TEXT GENERATED ALWAYS AS (CASE WHEN substr("source", 1, 7) = 'sample:' THEN substr("source", 8) END) VIRTUAL,
    "sand_of" TEXT GENERATED ALWAYS AS (CASE WHEN substr("source", 1, 5) = 'sand:' THEN substr("source", 6) END) VIRTUAL,
    PRIMARY KEY ("course", "source", "sieve_mm"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample_of") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sand_of") REFERENCES "sands" ("course", "sand") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "sieve_deleted" ON "sieve" ("course") WHERE "deleted" IS NOT NULL;

-- Wanted bands.
CREATE TABLE "targets" (
    "course" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "low" REAL,
    "high" REAL,
    "from_month" INTEGER,
    "to_month" INTEGER,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "kind"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "targets_deleted" ON "targets" ("course") WHERE "deleted" IS NOT NULL;

-- Judgements.
CREATE TABLE "judgements" (
    "course" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "direction" TEXT NOT NULL,
    "reason" TEXT NOT NULL,
    "by" TEXT NOT NULL,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "date"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "judgements_deleted" ON "judgements" ("course") WHERE "deleted" IS NOT NULL;
