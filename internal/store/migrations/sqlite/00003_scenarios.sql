-- Named plans that are kept to be compared.

-- +goose Up
CREATE TABLE "scenarios" (
    "scenario" TEXT NOT NULL,
    "entry" TEXT NOT NULL,
    "course" TEXT NOT NULL,
    "date" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "operation" TEXT,
    "sand" TEXT,
    "sand_mm" REAL,
    "tine_diameter_mm" REAL,
    "spacing_along_mm" REAL,
    "spacing_across_mm" REAL,
    "pattern" TEXT,
    "passes" INTEGER,
    "blade_width_mm" REAL,
    "blade_spacing_mm" REAL,
    "depth_mm" REAL,
    "backfill" REAL,
    "cost" REAL,
    "labour_h" REAL,
    "note" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "scenario", "entry"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED,
    FOREIGN KEY ("course", "sand") REFERENCES "sands" ("course", "sand") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "scenarios_deleted" ON "scenarios" ("course") WHERE "deleted" IS NOT NULL;

-- +goose Down
DROP TABLE "scenarios";
