-- What was weighed around a sieving.

-- +goose Up
CREATE TABLE "sievings" (
    "course" TEXT NOT NULL,
    "source" TEXT NOT NULL,
    "date" TEXT,
    "by" TEXT,
    "start_mass_g" REAL,
    "washed_g" REAL,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    "sample_of" TEXT GENERATED ALWAYS AS (CASE WHEN substr("source", 1, 7) = 'sample:' THEN substr("source", 8) END) VIRTUAL,
    "sand_of" TEXT GENERATED ALWAYS AS (CASE WHEN substr("source", 1, 5) = 'sand:' THEN substr("source", 6) END) VIRTUAL,
    PRIMARY KEY ("course", "source"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sample_of") REFERENCES "samples" ("course", "sample") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sand_of") REFERENCES "sands" ("course", "sand") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "sievings_deleted" ON "sievings" ("course") WHERE "deleted" IS NOT NULL;
