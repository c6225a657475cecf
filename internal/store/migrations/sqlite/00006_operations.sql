-- A course's own operations, its closed times and tournaments, and its crew.

-- +goose Up
CREATE TABLE "operations" (
    "course" TEXT NOT NULL,
    "operation" TEXT NOT NULL,
    "used" TEXT,
    "name" TEXT,
    "kind" TEXT NOT NULL,
    "tine_diameter_mm" REAL,
    "spacing_along_mm" REAL,
    "spacing_across_mm" REAL,
    "pattern" TEXT,
    "blade_width_mm" REAL,
    "blade_spacing_mm" REAL,
    "passes" INTEGER,
    "depth_mm" REAL,
    "backfill" REAL,
    "sand_low_mm" REAL,
    "sand_high_mm" REAL,
    "contract" REAL,
    "fuel" REAL,
    "labour_h_per_ha" REAL,
    "disturbed_days" REAL,
    "disturbed_days_half" REAL,
    "least_growth" REAL,
    "spacing_days" INTEGER,
    "apart_days" INTEGER,
    "per_season" INTEGER,
    "source" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "operation"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "operations_deleted" ON "operations" ("course") WHERE "deleted" IS NOT NULL;

CREATE TABLE "closings" (
    "course" TEXT NOT NULL,
    "from" TEXT NOT NULL,
    "why" TEXT NOT NULL,
    "until" TEXT NOT NULL,
    "name" TEXT,
    "healed_days" INTEGER,
    "unopened_days" INTEGER,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "from", "why"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "closings_deleted" ON "closings" ("course") WHERE "deleted" IS NOT NULL;

CREATE TABLE "crew" (
    "course" TEXT NOT NULL,
    "from" TEXT NOT NULL,
    "hours_per_week" REAL,
    "price_per_h" REAL,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "from"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "crew_deleted" ON "crew" ("course") WHERE "deleted" IS NOT NULL;

-- +goose Down
DROP TABLE "crew";
DROP TABLE "closings";
DROP TABLE "operations";
