package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"time"
)

// touchEvery is how far the end of a session has to move before it is written: without it each request of a page would wait for the disk.
const touchEvery = time.Minute

// Sessions keeps sessions for the session manager, whose interface its methods are. Of a token it keeps the SHA-256 only: who reads the
// file cannot go on with a session.
type Sessions struct{ store *Store }

// Sessions are those of the store's accounts.
func (s *Store) Sessions() Sessions { return Sessions{s} }

func hashed(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// FindCtx gives the data of a session that has not expired.
func (s Sessions) FindCtx(ctx context.Context, token string) (data []byte, found bool, err error) {
	err = s.store.read.QueryRowContext(ctx, "SELECT data FROM session WHERE token = ? AND expires_ms > ?", hashed(token),
		s.store.now().UnixMilli()).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	return data, err == nil, err
}

// CommitCtx keeps a new session, or another state of one. Those that have expired go with it.
func (s Sessions) CommitCtx(ctx context.Context, token string, data []byte, expires time.Time) error {
	return s.store.exec(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM session WHERE expires_ms <= ?", s.store.now().UnixMilli()); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO session (token, data, expires_ms) VALUES (?, ?, ?) ON CONFLICT (token) DO UPDATE SET "+
			"data = excluded.data, expires_ms = excluded.expires_ms",
			hashed(token), string(data), expires.UnixMilli())
		return err
	})
}

// Touch moves the end of a session on, where it moves by touchEvery or more. A session that was ended meanwhile stays ended.
func (s Sessions) Touch(ctx context.Context, token string, expires time.Time) error {
	beforeMS := expires.Add(-touchEvery).UnixMilli()
	var due bool
	err := s.store.read.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM session WHERE token = ? AND expires_ms <= ?)", hashed(token),
		beforeMS).Scan(&due)
	if err != nil || !due {
		return err
	}
	return s.store.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE session SET expires_ms = ? WHERE token = ? AND expires_ms <= ?", expires.UnixMilli(),
			hashed(token), beforeMS)
		return err
	})
}

// DeleteCtx ends a session; one that is not there is no error.
func (s Sessions) DeleteCtx(ctx context.Context, token string) error {
	return s.store.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM session WHERE token = ?", hashed(token))
		return err
	})
}

// Find is FindCtx without a context.
func (s Sessions) Find(token string) ([]byte, bool, error) {
	return s.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (s Sessions) Commit(token string, data []byte, expires time.Time) error {
	return s.CommitCtx(context.Background(), token, data, expires)
}

// Delete is DeleteCtx without a context.
func (s Sessions) Delete(token string) error { return s.DeleteCtx(context.Background(), token) }
