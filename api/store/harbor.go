package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
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

// reading runs a query in a transaction of its own, so that all it reads is of one moment.
func (s *Store) reading(ctx context.Context, query func(*sql.Tx) error) error {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return Classify(err)
	}
	defer tx.Rollback() // nothing was written
	return Classify(query(tx))
}

const infoQuery = `SELECT id, slug, name, revision, changed_ms, (SELECT count(*) FROM mooring WHERE harbor_id = harbor.id) FROM harbor ` +
	`ORDER BY slug`

func infos(ctx context.Context, tx *sql.Tx) ([]Info, error) {
	rows, err := tx.QueryContext(ctx, infoQuery)
	if err != nil {
		return nil, err
	}
	return collect(rows, func(rows *sql.Rows) (i Info, err error) {
		var changedMS int64
		err = rows.Scan(&i.id, &i.Slug, &i.Name, &i.Revision, &changedMS, &i.Moorings)
		i.Changed = timeOf(changedMS)
		return i, err
	})
}

// Harbors lists the harbors on file by slug.
func (s *Store) Harbors(ctx context.Context) (all []Info, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		all, err = infos(ctx, tx)
		return err
	})
	return all, err
}

// which finds the harbor of a slug, or the only one where slug is empty.
func which(ctx context.Context, tx *sql.Tx, slug string) (Info, error) {
	all, err := infos(ctx, tx)
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
	switch {
	case len(all) == 0:
		return Info{}, ErrNoHarbor
	case slug == "":
		return Info{}, fmt.Errorf("%w of %s", ErrWhichHarbor, strings.Join(slugs, ", "))
	}
	return Info{}, fmt.Errorf("harbor %s: %w; there is %s", slug, geo.ErrNotFound, strings.Join(slugs, ", "))
}

// Harbor reads a harbor as it stands; an empty slug takes the only one. Errors: ErrNoHarbor, ErrWhichHarbor, geo.ErrNotFound.
func (s *Store) Harbor(ctx context.Context, slug string) (h *geo.Harbor, info Info, err error) {
	err = s.reading(ctx, func(tx *sql.Tx) error {
		if info, err = which(ctx, tx, slug); err != nil {
			return err
		}
		h, err = readHarbor(ctx, tx, info.id)
		return err
	})
	return h, info, err
}

const harborColumns = "name, units, datum, low_m, high_m, defaults, background, tide, public, shoreline, soundings"

func readHarbor(ctx context.Context, tx *sql.Tx, id int64) (*geo.Harbor, error) {
	h, shoreline, soundings, err := readTables(ctx, tx, id)
	if err != nil {
		return nil, err
	}
	return h, attach(ctx, tx, h, shoreline, soundings)
}

// readTables reads a harbor without its large things, and their hashes.
func readTables(ctx context.Context, tx *sql.Tx, id int64) (h *geo.Harbor, shoreSHA, soundingsSHA string, err error) {
	h = &geo.Harbor{}
	var datum, background, tide, public, shoreline, soundings sql.NullString
	var low, high sql.NullFloat64
	var defaults string
	err = tx.QueryRowContext(ctx, "SELECT "+harborColumns+" FROM harbor WHERE id = ?", id).
		Scan(&h.Name, &h.Units, &datum, &low, &high, &defaults, &background, &tide, &public, &shoreline, &soundings)
	if err != nil {
		return nil, "", "", err
	}
	if datum.Valid {
		h.Levels = geo.Known(geo.Levels{Datum: datum.String, Low: geo.Metres(low.Float64), High: geo.Metres(high.Float64)})
	}
	errs := []error{json.Unmarshal([]byte(defaults), &h.Defaults)}
	if background.Valid {
		errs = append(errs, json.Unmarshal([]byte(background.String), &h.Background))
	}
	if public.Valid {
		errs = append(errs, json.Unmarshal([]byte(public.String), &h.Public))
	}
	if tide.Valid {
		errs = append(errs, json.Unmarshal([]byte(tide.String), &h.Tide))
	}
	h.Areas, err = readAreas(ctx, tx, id)
	errs = append(errs, err)
	h.KeepOuts, err = readKeepOuts(ctx, tx, id)
	errs = append(errs, err, readEntries(ctx, tx, id, h))
	h.Moorings, err = readMoorings(ctx, tx, id)
	return h, shoreline.String, soundings.String, errors.Join(append(errs, err)...)
}

// attach reads the large things of a harbor; an empty hash is none.
func attach(ctx context.Context, tx *sql.Tx, h *geo.Harbor, shoreline, soundings string) error {
	if shoreline != "" {
		b, err := getDocument(ctx, tx, shoreline)
		if err != nil {
			return err
		}
		if h.Shoreline, err = shorelineOf(b); err != nil {
			return err
		}
	}
	if soundings != "" {
		b, err := getDocument(ctx, tx, soundings)
		if err != nil {
			return err
		}
		if h.Soundings, err = soundingsOf(b); err != nil {
			return err
		}
	}
	return nil
}

func writeHarbor(ctx context.Context, tx *sql.Tx, id int64, h *geo.Harbor, s *snapshot) error {
	for _, d := range []document{s.shoreline, s.soundings} {
		if err := putDocument(ctx, tx, d); err != nil {
			return err
		}
	}
	defaults, err := json.Marshal(h.Defaults)
	if err != nil {
		return err
	}
	var datum, low, high any
	if l, known := h.Levels.Get(); known {
		datum, low, high = l.Datum, float64(l.Low), float64(l.High)
	}
	background, err := jsonOrNull(h.Background)
	if err != nil {
		return err
	}
	tide, err := jsonOrNull(h.Tide)
	if err != nil {
		return err
	}
	var public any
	if len(h.Public) > 0 {
		if public, err = jsonOrNull(&h.Public); err != nil {
			return err
		}
	}
	_, err = tx.ExecContext(ctx, "UPDATE harbor SET ("+harborColumns+") = (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) WHERE id = ?",
		h.Name, h.Units, datum, low, high, string(defaults), background, tide, public, orNull(s.shoreline.sha), orNull(s.soundings.sha), id)
	return err
}

// jsonOrNull is what a pointer points to as JSON for a column; NULL where it points to nothing.
func jsonOrNull[T any](v *T) (any, error) {
	if v == nil {
		return nil, nil
	}
	b, err := json.Marshal(v)
	return string(b), err
}

func orNull(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// null is a Maybe for a column.
func null[T ~float64](m geo.Maybe[T]) any {
	if v, known := m.Get(); known {
		return float64(v)
	}
	return nil
}

// maybe reads such a column.
type maybe[T ~float64] struct{ to *geo.Maybe[T] }

func (m maybe[T]) Scan(v any) error {
	switch x := v.(type) {
	case nil:
		*m.to = geo.Maybe[T]{}
	case float64:
		*m.to = geo.Known(T(x))
	case int64:
		*m.to = geo.Known(T(x))
	default:
		return fmt.Errorf("%T in a column of numbers", v)
	}
	return nil
}

func sortMoorings(all []geo.Mooring) {
	slices.SortStableFunc(all, func(a, b geo.Mooring) int { return naturalLess(a.Number, b.Number) })
}
