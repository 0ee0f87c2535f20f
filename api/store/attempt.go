package store

import (
	"context"
	"database/sql"
	"strings"
	"time"
	"unicode"
)

// Attempt is a sign-in that failed.
type Attempt struct {
	At      time.Time
	Name    string // as it was typed, cut
	Address string
}

// What is kept of them. Somebody who tries names for days must not fill the disk.
const (
	mostAttempts   = 5000
	attemptName    = 64 // signs of the name
	attemptAddress = 64
)

// AddAttempt keeps a sign-in that failed; the oldest go.
func (s *Store) AddAttempt(ctx context.Context, name, address string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, "INSERT INTO attempt (at_ms, name, address) VALUES (?, ?, ?)", s.now().UnixMilli(),
			cut(name, attemptName), cut(address, attemptAddress))
		if err != nil {
			return err
		}
		id, err := result.LastInsertId()
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "DELETE FROM attempt WHERE id <= ?", id-mostAttempts)
		return err
	})
}

// Attempts are the sign-ins that failed last, the newest first.
func (s *Store) Attempts(ctx context.Context, most int) ([]Attempt, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT at_ms, name, address FROM attempt ORDER BY id DESC LIMIT ?", most)
	if err != nil {
		return nil, err
	}
	return collect(rows, func(rows *sql.Rows) (a Attempt, err error) {
		var atMS int64
		err = rows.Scan(&atMS, &a.Name, &a.Address)
		a.At = timeOf(atMS)
		return a, err
	})
}

// cut keeps the first signs of a text; what would move a terminal's cursor is no part of it.
func cut(text string, most int) string {
	runes := []rune(strings.ToValidUTF8(text, "\ufffd"))
	if len(runes) > most {
		runes = append(runes[:most-1], '…')
	}
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '\ufffd'
		}
		return r
	}, string(runes))
}
