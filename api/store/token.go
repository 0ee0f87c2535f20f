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
	rows, err := s.read.QueryContext(ctx, "SELECT "+tokenColumns+" FROM token ORDER BY id DESC")
	if err != nil {
		return nil, err
	}
	return collect(rows, func(rows *sql.Rows) (Token, error) { return scanToken(rows) })
}

// TokenOf finds the token of a secret, where it has neither expired nor been revoked, and keeps that it was used. The error is
// geo.ErrNotFound.
func (s *Store) TokenOf(ctx context.Context, secret string) (Token, error) {
	nowMS := s.now().UnixMilli()
	// What is compared is a hash of what was sent, so how far it agrees tells nothing of the secret.
	t, err := scanToken(s.read.QueryRowContext(ctx,
		"SELECT "+tokenColumns+" FROM token WHERE sha256 = ? AND revoked_ms IS NULL AND expires_ms > ?", hashed(secret), nowMS))
	if errors.Is(err, sql.ErrNoRows) {
		return Token{}, fmt.Errorf("token: %w", geo.ErrNotFound)
	}
	if err != nil || s.now().Sub(t.Used) < usedEvery {
		return t, err
	}
	return t, s.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE token SET used_ms = ? WHERE id = ?", nowMS, t.ID)
		return err
	})
}

// AddToken puts a token with name, role, maker and expiry on file, under its secret's hash. The error is ErrTaken where a token of that
// name, or an account, is in use.
func (s *Store) AddToken(ctx context.Context, t Token, secret string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		folded := Fold(t.Name)
		var taken bool
		// Also no account's: in the history both stand as who did it.
		err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM token WHERE folded = ? AND revoked_ms IS NULL) OR EXISTS (SELECT 1 "+
			"FROM account WHERE folded = ?)", folded, folded).Scan(&taken)
		if err != nil {
			return err
		}
		if taken {
			return fmt.Errorf("token %s: %w", t.Name, ErrTaken)
		}
		_, err = tx.ExecContext(ctx, "INSERT INTO token (name, folded, role, sha256, created_ms, created_by, expires_ms) VALUES (?, ?, "+
			"?, ?, ?, ?, ?)",
			t.Name, folded, t.Role, hashed(secret), s.now().UnixMilli(), t.CreatedBy, t.Expires.UnixMilli())
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
