-- How reports were last put together, with the logo of one's own.

-- +goose Up
CREATE TABLE "documents" (
    "course" TEXT NOT NULL,
    "document" TEXT NOT NULL,
    "kind" TEXT,
    "sections" TEXT,
    "recipient" TEXT,
    "prepared_by" TEXT,
    "note" TEXT,
    "paper" TEXT,
    "logo" TEXT,
    "extra" TEXT,
    "created" INTEGER NOT NULL,
    "deleted" INTEGER,
    PRIMARY KEY ("course", "document"),
    FOREIGN KEY ("course") REFERENCES "courses" ("course") DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;
CREATE INDEX "documents_deleted" ON "documents" ("course") WHERE "deleted" IS NOT NULL;
