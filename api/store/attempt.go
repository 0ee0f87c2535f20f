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
	maxAttempts       = 5000
	maxAttemptName    = 64 // characters
	maxAttemptAddress = 64
)

// AddAttempt keeps a sign-in that failed; the oldest go.
func (s *Store) AddAttempt(ctx context.Context, name, address string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		var id int64
		err := tx.QueryRowContext(ctx, "INSERT INTO attempt (at_ms, name, address) VALUES (?, ?, ?) RETURNING id", s.now().UnixMilli(),
			cut(name, maxAttemptName), cut(address, maxAttemptAddress)).Scan(&id)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "DELETE FROM attempt WHERE id <= ?", id-maxAttempts)
		return err
	})
}

// Attempts are the sign-ins that failed last, the newest first, at most limit of them.
func (s *Store) Attempts(ctx context.Context, limit int) ([]Attempt, error) {
	return list(ctx, s.read, scanAttempt, "SELECT at_ms, name, address FROM attempt ORDER BY id DESC LIMIT ?", limit)
}

func scanAttempt(rows *sql.Rows) (a Attempt, err error) {
	var atMS int64
	err = rows.Scan(&atMS, &a.Name, &a.Address)
	a.At = timeOf(atMS)
	return a, err
}

// cut keeps the first characters of a text; what would move a terminal's cursor is no part of it.
func cut(text string, limit int) string {
	runes := []rune(strings.ToValidUTF8(text, "\ufffd"))
	if len(runes) > limit {
		runes = append(runes[:limit-1], '…')
	}
	return strings.Map(printable, string(runes))
}

func printable(r rune) rune {
	if !unicode.IsPrint(r) {
		return '\ufffd'
	}
	return r
}
