package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"

	"modernc.org/sqlite"
)

// turn is one change that waits to be written.
type turn struct {
	ctx  context.Context
	run  func(ctx context.Context, tx *sql.Tx) error
	done chan error
}

// turns are those who wait. Whoever comes while the disk is busy is written with all the others of that while in one transaction, and so
// with one wait for the disk.
type turns struct {
	mu      sync.Mutex
	waiting []*turn
	busy    bool
	idle    sync.WaitGroup
}

// mostTogether share one transaction.
const mostTogether = 256

// enqueue hands a change in. Changes are run in the order in which they are handed in; what done gives is the end of it: nil once it is on
// disk. A change may be run a second time after its transaction has failed for another's sake, and has to begin anew then.
func (s *Store) enqueue(ctx context.Context, run func(ctx context.Context, tx *sql.Tx) error) (done <-chan error) {
	t := &turn{ctx: ctx, run: run, done: make(chan error, 1)}
	q := &s.turns
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.waiting = append(q.waiting, t); !q.busy {
		q.busy = true
		q.idle.Add(1)
		go s.writeAll()
	}
	return t.done
}

// writeAll writes as long as somebody waits.
func (s *Store) writeAll() {
	q := &s.turns
	defer q.idle.Done()
	for {
		q.mu.Lock()
		n := min(len(q.waiting), mostTogether)
		batch := q.waiting[:n:n]
		q.waiting = q.waiting[n:]
		if n == 0 {
			q.busy = false
			q.mu.Unlock()
			return
		}
		q.mu.Unlock()
		s.writeTogether(batch)
	}
}

// writeTogether writes a batch in one transaction. Where SQLite itself fails under one of them (the disk is full, a page cannot be read) it
// may have rolled all back: the others are then written without that one.
func (s *Store) writeTogether(batch []*turn) {
	for len(batch) > 0 {
		errs, culprit := s.tryTogether(batch)
		if culprit < 0 {
			for i, t := range batch {
				t.done <- Classify(errs[i])
			}
			return
		}
		batch[culprit].done <- Classify(errs[culprit])
		batch = append(batch[:culprit:culprit], batch[culprit+1:]...)
	}
}

// tryTogether gives the error of each, or which of them made the transaction fail.
func (s *Store) tryTogether(batch []*turn) (errs []error, culprit int) {
	errs = make([]error, len(batch))
	fail := func(err error) ([]error, int) {
		for i := range errs {
			if errs[i] == nil {
				errs[i] = err
			}
		}
		return errs, -1
	}
	ctx := context.Background() // one who gives up must not take the others along
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return fail(err)
	}
	defer tx.Rollback() // of what is committed there is nothing to roll back
	for i, t := range batch {
		if errs[i], err = s.runOne(ctx, tx, t, len(batch) == 1); err != nil {
			return fail(err)
		}
		var low *sqlite.Error
		if errors.As(errs[i], &low) {
			return errs, i
		}
	}
	if len(batch) == 1 && errs[0] != nil {
		return errs, -1
	}
	if err := tx.Commit(); err != nil {
		return fail(err)
	}
	return errs, -1
}

const (
	savepointSQL = "SAVEPOINT one"
	releaseSQL   = "RELEASE one"
)

// runOne runs one change, and takes back what it has done where it fails. What fails in taking back is broken.
func (s *Store) runOne(ctx context.Context, tx *sql.Tx, t *turn, alone bool) (failed, broken error) {
	if err := t.ctx.Err(); err != nil {
		return fmt.Errorf("nothing was saved: %w", err), nil
	}
	if alone { // its transaction is its own, and is rolled back whole
		return finish(t, t.run(ctx, tx)), nil
	}
	w := s.writer(ctx, tx)
	if err := w.exec(savepointSQL); err != nil {
		return nil, err
	}
	if failed = finish(t, t.run(ctx, tx)); failed == nil {
		return nil, w.exec(releaseSQL)
	}
	var low *sqlite.Error
	if errors.As(failed, &low) {
		return failed, nil // all of it is rolled back
	}
	_, broken = tx.ExecContext(ctx, "ROLLBACK TO one; RELEASE one")
	return failed, broken
}

// finish says of one who has given up meanwhile that nothing was saved.
func finish(t *turn, err error) error {
	if off := t.ctx.Err(); off != nil {
		return fmt.Errorf("nothing was saved: %w", off)
	}
	return err
}

// inTurn runs a change and waits for its end.
func (s *Store) inTurn(ctx context.Context, run func(ctx context.Context, tx *sql.Tx) error) error {
	return <-s.enqueue(ctx, run)
}
