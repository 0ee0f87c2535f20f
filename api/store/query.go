package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"strings"

	"swingroom/geo"
)

// reading runs queries in a transaction of their own, so that all that they read is of one moment.
func (s *Store) reading(ctx context.Context, query func(*sql.Tx) error) error {
	return Classify(readOnly(ctx, s.read, query))
}

// readOnly runs queries in one transaction of a database.
func readOnly(ctx context.Context, db *sql.DB, query func(*sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return err
	}
	defer tx.Rollback() // nothing was written
	return query(tx)
}

// readingHarbor is reading for queries about one harbor, which is found by its slug.
func (s *Store) readingHarbor(ctx context.Context, slug string, query func(*sql.Tx, Info) error) error {
	return s.reading(ctx, func(tx *sql.Tx) error {
		info, err := findHarbor(ctx, tx, slug)
		if err != nil {
			return err
		}
		return query(tx, info)
	})
}

// querier is a database or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// list reads all rows that a query gives.
func list[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), query string, args ...any) (all []T, err error) {
	err = each(ctx, q, func(rows *sql.Rows) error {
		v, err := scan(rows)
		all = append(all, v)
		return err
	}, query, args...)
	if err != nil {
		return nil, err
	}
	return all, nil
}

// each reads the rows that a query gives one after another, until one fails.
func each(ctx context.Context, q querier, read func(*sql.Rows) error, query string, args ...any) error {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := read(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

// scanText reads a row of one text.
func scanText(rows *sql.Rows) (text string, err error) {
	err = rows.Scan(&text)
	return text, err
}

// marks are the question marks of a statement that gives a value to each of some columns.
func marks(columns string) string { return "?" + strings.Repeat(", ?", strings.Count(columns, ",")) }

// orNull is a text for a column; NULL where it is empty.
func orNull(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// maybe is a Maybe in a column of numbers; NULL where it is unknown.
type maybe[T ~float64] struct{ of *geo.Maybe[T] }

func (m maybe[T]) Value() (driver.Value, error) {
	if v, known := m.of.Get(); known {
		return float64(v), nil
	}
	return nil, nil
}

func (m maybe[T]) Scan(v any) error {
	switch x := v.(type) {
	case nil:
		*m.of = geo.Maybe[T]{}
	case float64:
		*m.of = geo.Known(T(x))
	case int64:
		*m.of = geo.Known(T(x))
	default:
		return fmt.Errorf("%T in a column of numbers", v)
	}
	return nil
}

// inJSON is a value in a column of text, as JSON.
type inJSON struct{ of any }

func (j inJSON) Value() (driver.Value, error) {
	b, err := json.Marshal(j.of)
	if err != nil || string(b) == "null" || string(b) == "[]" {
		return nil, err // none is none, however it was made
	}
	return string(b), nil
}

func (j inJSON) Scan(v any) error {
	var text sql.NullString
	if err := text.Scan(v); err != nil || !text.Valid {
		return err
	}
	return json.Unmarshal([]byte(text.String), j.of)
}

// textOrNull is a text in a column; NULL where it is empty.
type textOrNull struct{ of *string }

func (t textOrNull) Value() (driver.Value, error) { return orNull(*t.of), nil }

func (t textOrNull) Scan(v any) error {
	var text sql.NullString
	err := text.Scan(v)
	*t.of = text.String
	return err
}
