-- What was worked out from a course's records and is kept to spare working it out again. Nothing here is a record: it can be
-- dropped at any time, and export leaves it out.

-- +goose Up
CREATE TABLE "kept" (
    "course" TEXT NOT NULL,
    "kind" TEXT NOT NULL,                -- what it is, with the version of what made it
    "latest" INTEGER NOT NULL,           -- the course's last change when it was made
    "made" TEXT NOT NULL,                -- UTC, RFC 3339 with microseconds
    "data" BLOB NOT NULL,
    PRIMARY KEY ("course", "kind")
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE "kept";
