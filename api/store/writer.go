package store

import (
	"context"
	"database/sql"
	"fmt"
)

// writer runs the statements of one transaction, each of which is prepared once for the life of the store: parsing it costs as much as
// running it.
type writer struct {
	ctx   context.Context
	tx    *sql.Tx
	store *Store
}

func (s *Store) writer(ctx context.Context, tx *sql.Tx) *writer { return &writer{ctx, tx, s} }

// statement is a prepared statement in this transaction. Whoever has the turn to write has the cache to itself.
func (w *writer) statement(query string) (*sql.Stmt, error) {
	prepared, ok := w.store.prepared[query]
	if !ok {
		onConnection, err := w.tx.PrepareContext(w.ctx, query)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", query, err)
		}
		return onConnection, nil
	}
	return w.tx.StmtContext(w.ctx, prepared), nil
}

func (w *writer) exec(query string, args ...any) error {
	stmt, err := w.statement(query)
	if err != nil {
		return err
	}
	_, err = stmt.ExecContext(w.ctx, args...)
	return err
}

// id runs a statement that gives back a number.
func (w *writer) id(query string, args ...any) (id int64, err error) {
	stmt, err := w.statement(query)
	if err != nil {
		return 0, err
	}
	err = stmt.QueryRowContext(w.ctx, args...).Scan(&id)
	return id, err
}

// often are the statements that are kept prepared.
var often = []string{
	removeMooringSQL, insertMooringSQL, updateMooringSQL, insertBoatSQL, removeBoatSQL, insertPartSQL, removePartsSQL, insertEntrySQL,
	removeEntrySQL, insertHistorySQL, stampSQL, revisionSQL, savepointSQL, releaseSQL,
}

// prepareOften prepares them, outside of any transaction.
func (s *Store) prepareOften(ctx context.Context) error {
	s.prepared = make(map[string]*sql.Stmt, len(often))
	for _, query := range often {
		stmt, err := s.write.PrepareContext(ctx, query)
		if err != nil {
			return fmt.Errorf("%s: %w", query, err)
		}
		s.prepared[query] = stmt
	}
	return nil
}
