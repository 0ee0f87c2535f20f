package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"swingroom/geo"
)

// Token lets a script or a map in. Its secret is kept nowhere.
type Token struct {
	ID        int64
	Name      string
	Role      string
	Created   time.Time
	CreatedBy string
	Expires   time.Time
	Revoked   time.Time // zero: it is not
	Used      time.Time // about when last, within usedEvery; zero: never
}

// usedEvery is how much later a token has to be used before that is written.
const usedEvery = 5 * time.Minute

const tokenColumns = "id, name, role, created_ms, created_by, expires_ms, coalesce(revoked_ms, 0), coalesce(used_ms, 0)"

func scanToken(row interface{ Scan(...any) error }) (t Token, err error) {
	var createdMS, expiresMS, revokedMS, usedMS int64
	err = row.Scan(&t.ID, &t.Name, &t.Role, &createdMS, &t.CreatedBy, &expiresMS, &revokedMS, &usedMS)
	t.Created, t.Expires, t.Revoked, t.Used = timeOf(createdMS), timeOf(expiresMS), timeOrNever(revokedMS), timeOrNever(usedMS)
	return t, err
}

// Tokens are all tokens, the revoked too, the newest first.
func (s *Store) Tokens(ctx context.Context) ([]Token, error) {
	return list(ctx, s.read, func(rows *sql.Rows) (Token, error) { return scanToken(rows) },
		"SELECT "+tokenColumns+" FROM token ORDER BY id DESC")
}

// TokenOf finds the token of a secret, where it has neither expired nor been revoked, and keeps that it was used. The error is
// geo.ErrNotFound.
func (s *Store) TokenOf(ctx context.Context, secret string) (Token, error) {
	now := s.now()
	// What is compared is a hash of what was sent, so how far it agrees tells nothing of the secret.
	t, err := scanToken(s.read.QueryRowContext(ctx,
		"SELECT "+tokenColumns+" FROM token WHERE sha256 = ? AND revoked_ms IS NULL AND expires_ms > ?", hashed(secret), now.UnixMilli()))
	if errors.Is(err, sql.ErrNoRows) {
		return Token{}, fmt.Errorf("token: %w", geo.ErrNotFound)
	}
	if err == nil && now.Sub(t.Used) >= usedEvery {
		err = s.tokenUsed(ctx, t.ID, now)
	}
	return t, err
}

func (s *Store) tokenUsed(ctx context.Context, id int64, at time.Time) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE token SET used_ms = ? WHERE id = ?", at.UnixMilli(), id)
		return err
	})
}

// AddToken puts a token with name, role, maker and expiry on file, under its secret's hash. The error is ErrTaken where a token of that
// name, or an account, is in use.
func (s *Store) AddToken(ctx context.Context, t Token, secret string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		if err := refuseTaken(ctx, tx, "token", t.Name); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO token (name, folded, role, sha256, created_ms, created_by, expires_ms) VALUES (?, ?, "+
			"?, ?, ?, ?, ?)",
			t.Name, Fold(t.Name), t.Role, hashed(secret), s.now().UnixMilli(), t.CreatedBy, t.Expires.UnixMilli())
		return err
	})
}

// RevokeToken ends the token of a name at once. The error is geo.ErrNotFound.
func (s *Store) RevokeToken(ctx context.Context, name string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, "UPDATE token SET revoked_ms = ? WHERE folded = ? AND revoked_ms IS NULL", s.now().UnixMilli(),
			Fold(name))
		if err != nil {
			return err
		}
		if n, err := result.RowsAffected(); err != nil || n == 1 {
			return err
		}
		return fmt.Errorf("token %s: %w", name, geo.ErrNotFound)
	})
}
