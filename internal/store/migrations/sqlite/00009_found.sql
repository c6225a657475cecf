-- The index that things are found by, course by course: what it holds of a course is as its records were after a change, and is
-- written anew when that is no longer the last. Nothing here is a record: it can be emptied at any time. "kind" holds one word,
-- so that the finding of one kind is one look into the index.

-- +goose Up
CREATE TABLE "found_course" (
    "course" TEXT NOT NULL PRIMARY KEY,
    "latest" INTEGER NOT NULL,           -- the course's last change when it was read
    "first" INTEGER NOT NULL,            -- its rows in "found", from the first
    "last" INTEGER NOT NULL              -- to the last
) STRICT, WITHOUT ROWID;
CREATE INDEX "found_course_last" ON "found_course" ("last");
CREATE VIRTUAL TABLE "found" USING fts5 (
    "kind", "words", "course" UNINDEXED, "key" UNINDEXED, "title" UNINDEXED, "date" UNINDEXED, "at" UNINDEXED,
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3', detail = 'column'
);
CREATE INDEX "kept_kind" ON "kept" ("kind", "course", "latest");

-- +goose Down
DROP INDEX "kept_kind";
DROP TABLE "found";
DROP TABLE "found_course";
