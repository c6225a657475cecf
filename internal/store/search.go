package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"underfoot"
)

// things are what of a course can be found: kind, words, key, title and date of each, and where a sample is. The course is ?1. Samples and work are
// not found by the course's name: whoever looks for a course wants it and not all that was ever done there.
const things = `
	SELECT 'course' AS kind, c."course" || ' ' || coalesce(c."name", '') || ' ' || coalesce(c."country", '') AS words,
		'' AS key, coalesce(c."name", c."course") AS title, NULL AS date, NULL AS at
	FROM "courses" c WHERE c."course" = ?1 AND c."deleted" IS NULL
	UNION ALL
	SELECT 'green', 'green ' || g."green" || ' ' || coalesce(g."name", '') || ' ' || coalesce(g."species", '') || ' ' || ?1 || ' ' || coalesce(c."name", ''),
		g."green", coalesce(g."name", g."green"), NULL, NULL
	FROM "greens" g JOIN "courses" c ON c."course" = g."course" WHERE g."course" = ?1 AND g."deleted" IS NULL
	UNION ALL
	SELECT 'sample', s."sample" || ' ' || s."green" || ' ' || coalesce(s."round", '') || ' ' || s."date", s."sample", s."sample", s."date",
		CASE max(1, (SELECT coalesce(max(CASE x."step" WHEN 'bagged' THEN 2 WHEN 'sent' THEN 3 WHEN 'received' THEN 4 WHEN 'weighed' THEN 5 WHEN 'burnt' THEN 6 WHEN 'reported' THEN 7 ELSE 1 END), 1)
				FROM "custody" x WHERE x."course" = ?1 AND x."sample" = s."sample" AND x."deleted" IS NULL),
			(SELECT coalesce(max(CASE WHEN x."ash_g" IS NOT NULL THEN 6 WHEN x."dry_g" IS NOT NULL THEN 5 ELSE 1 END), 1)
				FROM "weighings" x WHERE x."course" = ?1 AND x."sample" = s."sample" AND x."sample_of" IS NOT NULL AND x."deleted" IS NULL),
			(SELECT coalesce(max(7), 1) FROM "results" x WHERE x."course" = ?1 AND x."sample" = s."sample" AND x."deleted" IS NULL))
		WHEN 2 THEN 'bagged' WHEN 3 THEN 'sent' WHEN 4 THEN 'received' WHEN 5 THEN 'weighed' WHEN 6 THEN 'burnt' WHEN 7 THEN 'reported' ELSE 'cut' END
	FROM "samples" s WHERE s."course" = ?1 AND s."deleted" IS NULL
	UNION ALL
	SELECT 'round', 'round ' || r.label || ' ' || ?1 || ' ' || coalesce(c."name", ''), r.label, r.label, max(r.date), NULL
	FROM (SELECT coalesce(nullif("round", ''), "date") AS label, "date" AS date FROM "samples" WHERE "course" = ?1 AND "deleted" IS NULL
		UNION ALL SELECT "round", "date" FROM "rounds" WHERE "course" = ?1 AND "deleted" IS NULL) r JOIN "courses" c ON c."course" = ?1 GROUP BY r.label
	UNION ALL
	SELECT 'sand', 'sand ' || s."sand" || ' ' || coalesce(s."name", '') || ' ' || coalesce(s."role", ''), s."sand", coalesce(s."name", s."sand"), NULL, NULL
	FROM "sands" s WHERE s."course" = ?1 AND s."deleted" IS NULL
	UNION ALL
	SELECT 'run', 'run ' || f.name || ' ' || coalesce(f.said, ''), f.name, f.name, f.date, NULL
	FROM (SELECT name, max(date) AS date, max(said) AS said FROM (
		SELECT "furnace_run" AS name, "date" AS date, coalesce("by", '') || ' ' || coalesce("note", '') AS said FROM "runs" WHERE "course" = ?1 AND "deleted" IS NULL
		UNION ALL SELECT DISTINCT "furnace_run", NULL, NULL FROM "weighings" WHERE "course" = ?1 AND "deleted" IS NULL AND "furnace_run" <> '') GROUP BY name) f
	UNION ALL
	SELECT 'work', w."entry" || ' ' || w."kind" || ' ' || coalesce(w."sand", '') || ' ' || coalesce(w."note", '') || ' ' || w."date",
		w."entry", w."kind" || coalesce(': ' || nullif(w."note", ''), ''), w."date", NULL
	FROM "work" w WHERE w."course" = ?1 AND w."deleted" IS NULL`

const late = ` FROM (SELECT "course" AS course, max("change") AS latest FROM "change_course" GROUP BY "course") c
	LEFT JOIN "found_course" f ON f."course" = c.course WHERE f."latest" IS NOT c.latest`

// indexSpell is how long the index is written without letting others write.
const indexSpell = 40 * time.Millisecond

// Index brings what Search looks through up to date; see [underfoot.Store]. It writes in short spells and lets others write
// between them.
func (d *database) Index(ctx context.Context) (int, error) {
	for {
		behind, err := d.behind(ctx)
		if err != nil || len(behind) == 0 {
			return len(behind), err
		}
		for len(behind) > 0 {
			n, err := d.indexSome(ctx, behind)
			if err != nil {
				return len(behind), fmt.Errorf("reading courses for the search: %w", d.dialect.explain(err))
			}
			behind = behind[n:]
		}
	}
}

// course with the change it stands at.
type course struct {
	name   string
	latest int64
}

// behind returns the courses that have changed since they were indexed. While the store stands at a change at which there were
// none it does not look again.
func (d *database) behind(ctx context.Context) ([]course, error) {
	at, err := d.Latest(ctx, "")
	if err != nil || at == d.indexed.Load() {
		return nil, err
	}
	list, err := d.lateCourses(ctx)
	if err == nil && len(list) == 0 {
		d.indexed.Store(at)
	}
	return list, err
}

func (d *database) lateCourses(ctx context.Context) ([]course, error) {
	rows, err := d.read.QueryContext(ctx, `SELECT c.course, c.latest`+late)
	if err != nil {
		return nil, fmt.Errorf("looking for changed courses: %w", d.dialect.explain(err))
	}
	defer rows.Close()
	var list []course
	for rows.Next() {
		var c course
		if err := rows.Scan(&c.name, &c.latest); err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	return list, rows.Err()
}

// indexSome indexes the first courses of a list for a spell, and returns how many.
func (d *database) indexSome(ctx context.Context, list []course) (int, error) {
	tx, err := d.write.BeginTx(ctx, nil)
	if err != nil {
		return 0, err
	}
	defer tx.Rollback() // nothing after a commit
	begin, n := time.Now(), 0
	for n < len(list) && time.Since(begin) < indexSpell {
		if err := indexOne(ctx, tx, list[n]); err != nil {
			return 0, err
		}
		n++
	}
	return n, tx.Commit()
}

// indexOne writes a course's rows anew. They stand side by side, so that taking them out is a look at a stretch.
func indexOne(ctx context.Context, tx *sql.Tx, c course) error {
	var from, to, last int64
	switch err := tx.QueryRowContext(ctx, `SELECT "first", "last" FROM "found_course" WHERE "course" = ?`, c.name).Scan(&from, &to); {
	case errors.Is(err, sql.ErrNoRows): // nothing to take out: asked for rows between NULLs, FTS5 would look at all of them
	case err != nil:
		return err
	default:
		if _, err := tx.ExecContext(ctx, `DELETE FROM "found" WHERE rowid BETWEEN ? AND ?`, from, to); err != nil {
			return err
		}
	}
	if err := tx.QueryRowContext(ctx, `SELECT coalesce(max("last"), 0) FROM "found_course"`).Scan(&last); err != nil {
		return err
	}
	done, err := tx.ExecContext(ctx, `INSERT INTO "found" (rowid, "kind", "words", "course", "key", "title", "date", "at")
		SELECT ?2 + row_number() OVER (), kind, words, ?1, key, title, date, at FROM (`+things+`)`, c.name, last)
	if err != nil {
		return err
	}
	n, err := done.RowsAffected()
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO "found_course" ("course", "latest", "first", "last") VALUES (?, ?, ?, ?)
		ON CONFLICT ("course") DO UPDATE SET "latest" = excluded."latest", "first" = excluded."first", "last" = excluded."last"`, c.name, c.latest, last+1, last+n)
	return err
}

// Search returns what is called by words; see [underfoot.Store].
func (d *database) Search(ctx context.Context, words string, most int) ([]underfoot.Found, int, error) {
	terms := strings.FieldsFunc(words, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsNumber(r) && !unicode.Is(unicode.M, r) && !unicode.Is(unicode.Co, r)
	})
	behind, err := d.behind(ctx)
	if err != nil {
		return nil, 0, err
	}
	if len(terms) == 0 {
		return nil, len(behind), nil
	}
	var out []underfoot.Found
	err = d.reading(ctx, func(view *sql.Tx) error {
		ways := []string{matching(terms, len(terms)), matching(terms, len(terms)-1)}
		if out, err = searchKinds(ctx, view, ways, most); err != nil || len(out) > 0 || len(terms) == 1 {
			return err
		}
		out, err = searchKinds(ctx, view, []string{matching(terms, 0)}, most)
		return err
	})
	if err != nil {
		return nil, 0, fmt.Errorf("searching for %q: %w", words, d.dialect.explain(err))
	}
	return out, len(behind), nil
}

// matching asks the index for the first terms as they are and for those after as beginnings.
func matching(terms []string, whole int) string {
	ask := make([]string, len(terms))
	for i, t := range terms {
		ask[i] = `"` + t + `"`
		if i >= whole {
			ask[i] += "*"
		}
	}
	return strings.Join(ask, " AND ")
}

// searchKinds looks kind by kind in one way and then, where there is room left, in the next.
func searchKinds(ctx context.Context, view *sql.Tx, ways []string, most int) ([]underfoot.Found, error) {
	var out []underfoot.Found
	for _, kind := range underfoot.FoundKinds() {
		var some []underfoot.Found
		for _, way := range ways {
			if len(some) >= most {
				break
			}
			rows, err := view.QueryContext(ctx, `SELECT "course", "key", "title", "date", "at" FROM "found" WHERE "found" MATCH ? ORDER BY rowid LIMIT ?`,
				`kind : "`+string(kind)+`" AND words : (`+way+`)`, most+len(some))
			if err != nil {
				return nil, err
			}
			if some, err = takeFound(rows, kind, most, some); err != nil {
				return nil, err
			}
		}
		out = append(out, some...)
	}
	return out, nil
}

func takeFound(rows *sql.Rows, kind underfoot.FoundKind, most int, out []underfoot.Found) ([]underfoot.Found, error) {
	defer rows.Close()
	for rows.Next() {
		f := underfoot.Found{Kind: kind}
		var date, at sql.NullString
		if err := rows.Scan(&f.Course, &f.Key, &f.Title, &date, &at); err != nil {
			return nil, err
		}
		f.At = at.String
		if date.Valid {
			day, err := underfoot.ParseDate(date.String)
			if err != nil {
				return nil, err
			}
			f.Date = underfoot.Some(day)
		}
		if len(out) < most && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out, rows.Err()
}
