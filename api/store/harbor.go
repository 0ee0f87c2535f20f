package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"swingroom/geo"
)

// Info tells of a harbor on file.
type Info struct {
	Slug     string    `json:"slug"`
	Name     string    `json:"name"`
	Revision int64     `json:"revision"`
	Moorings int       `json:"moorings"`
	Changed  time.Time `json:"changed"`

	id int64
}

const infoSQL = `SELECT id, slug, name, revision, changed_ms, (SELECT count(*) FROM mooring WHERE harbor_id = harbor.id) FROM harbor ` +
	`ORDER BY slug`

// listHarbors lists the harbors on file by slug.
func listHarbors(ctx context.Context, tx *sql.Tx) ([]Info, error) {
	return list(ctx, tx, scanInfo, infoSQL)
}

func scanInfo(rows *sql.Rows) (i Info, err error) {
	var changedMS int64
	err = rows.Scan(&i.id, &i.Slug, &i.Name, &i.Revision, &changedMS, &i.Moorings)
	i.Changed = timeOf(changedMS)
	return i, err
}

// Harbors lists the harbors on file by slug.
func (s *Store) Harbors(ctx context.Context) (all []Info, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		all, err = listHarbors(ctx, tx)
		return err
	})
	return all, err
}

// findHarbor finds the harbor of a slug, or the only one where slug is empty. Errors: ErrNoHarbor, ErrWhichHarbor, geo.ErrNotFound.
func findHarbor(ctx context.Context, tx *sql.Tx, slug string) (Info, error) {
	all, err := listHarbors(ctx, tx)
	if err != nil {
		return Info{}, err
	}
	slugs := make([]string, len(all))
	for i, info := range all {
		if info.Slug == slug || slug == "" && len(all) == 1 {
			return info, nil
		}
		slugs[i] = info.Slug
	}
	return Info{}, noneOf(slugs, slug)
}

// noneOf says why no harbor was found.
func noneOf(slugs []string, slug string) error {
	switch {
	case len(slugs) == 0:
		return ErrNoHarbor
	case slug == "":
		return fmt.Errorf("%w of %s", ErrWhichHarbor, strings.Join(slugs, ", "))
	}
	return fmt.Errorf("harbor %s: %w; there is %s", slug, geo.ErrNotFound, strings.Join(slugs, ", "))
}

// noHarbor reports an error that says that there is no harbor of a name.
func noHarbor(err error) bool { return errors.Is(err, ErrNoHarbor) || errors.Is(err, geo.ErrNotFound) }

// Harbor reads a harbor as it stands; an empty slug takes the only one. Errors: ErrNoHarbor, ErrWhichHarbor, geo.ErrNotFound.
func (s *Store) Harbor(ctx context.Context, slug string) (h *geo.Harbor, info Info, err error) {
	err = s.readingHarbor(ctx, slug, func(tx *sql.Tx, found Info) error {
		info = found
		h, err = readHarbor(ctx, tx, info.id)
		return err
	})
	return h, info, err
}

// harborRow is a harbor's own row: what is on record besides what lies in it. Its documents are named by their hashes.
type harborRow struct {
	*geo.Harbor
	datum                sql.NullString // the three of them NULL: levels unknown
	low, high            sql.NullFloat64
	shoreline, soundings string
}

const harborColumns = "name, units, datum, low_m, high_m, defaults, background, tide, public, shoreline, soundings"

// fields are what harborColumns hold, to be read or written.
func (r *harborRow) fields() []any {
	return []any{&r.Name, &r.Units, &r.datum, &r.low, &r.high, inJSON{&r.Defaults}, inJSON{&r.Background}, inJSON{&r.Tide},
		inJSON{&r.Public}, textOrNull{&r.shoreline}, textOrNull{&r.soundings}}
}

// newHarborRow is the row of a harbor whose documents have some hashes.
func newHarborRow(h *geo.Harbor, shoreline, soundings string) *harborRow {
	r := &harborRow{Harbor: h, shoreline: shoreline, soundings: soundings}
	if l, known := h.Levels.Get(); known {
		r.datum = sql.NullString{String: l.Datum, Valid: true}
		r.low, r.high = sql.NullFloat64{Float64: float64(l.Low), Valid: true}, sql.NullFloat64{Float64: float64(l.High), Valid: true}
	}
	return r
}

// readHarborRow reads a harbor's own row.
func readHarborRow(ctx context.Context, tx *sql.Tx, id int64) (*harborRow, error) {
	r := &harborRow{Harbor: &geo.Harbor{}}
	err := tx.QueryRowContext(ctx, "SELECT "+harborColumns+" FROM harbor WHERE id = ?", id).Scan(r.fields()...)
	if r.datum.Valid {
		r.Levels = geo.Known(geo.Levels{Datum: r.datum.String, Low: geo.Metres(r.low.Float64), High: geo.Metres(r.high.Float64)})
	}
	return r, err
}

func (r *harborRow) write(ctx context.Context, tx *sql.Tx, id int64) error {
	_, err := tx.ExecContext(ctx, "UPDATE harbor SET ("+harborColumns+") = ("+marks(harborColumns)+") WHERE id = ?",
		append(r.fields(), id)...)
	return err
}

// readHarbor reads a harbor with its documents.
func readHarbor(ctx context.Context, tx *sql.Tx, id int64) (*geo.Harbor, error) {
	r, err := readTables(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	return r.Harbor, readDocuments(ctx, tx, r.Harbor, r.shoreline, r.soundings)
}

// readTables reads a harbor without its documents.
func readTables(ctx context.Context, tx *sql.Tx, id int64) (*harborRow, error) {
	r, err := readHarborRow(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	h := r.Harbor
	var errs [4]error
	h.Areas, errs[0] = readAreas(ctx, tx, id)
	h.KeepOuts, errs[1] = readKeepOuts(ctx, tx, id)
	h.Moorings, errs[2] = readMoorings(ctx, tx, id)
	errs[3] = readEntries(ctx, tx, id, h)
	return r, errors.Join(errs[:]...)
}

// writeHarbor writes a harbor's own row and its documents.
func writeHarbor(ctx context.Context, tx *sql.Tx, id int64, h *geo.Harbor, s *snapshot) error {
	for _, d := range []document{s.shoreline, s.soundings} {
		if err := putDocument(ctx, tx, d); err != nil {
			return err
		}
	}
	return newHarborRow(h, s.shoreline.sha, s.soundings.sha).write(ctx, tx, id)
}
