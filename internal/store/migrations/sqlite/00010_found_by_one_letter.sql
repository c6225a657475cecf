-- The index of the search looks up what begins with one letter or digit as well, without going through all that does. It is
-- written anew.

-- +goose Up
DROP TABLE "found";
DELETE FROM "found_course";
CREATE VIRTUAL TABLE "found" USING fts5 (
    "kind", "words", "course" UNINDEXED, "key" UNINDEXED, "title" UNINDEXED, "date" UNINDEXED, "at" UNINDEXED,
    tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3', detail = 'column'
);

-- +goose Down
DROP TABLE "found";
DELETE FROM "found_course";
CREATE VIRTUAL TABLE "found" USING fts5 (
    "kind", "words", "course" UNINDEXED, "key" UNINDEXED, "title" UNINDEXED, "date" UNINDEXED, "at" UNINDEXED,
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3', detail = 'column'
);
