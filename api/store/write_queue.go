package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"sync"

	"modernc.org/sqlite"
)

// ErrClosed: the store was closed before the change was submitted.
var ErrClosed = errors.New("the database is closed: nothing was saved")

// queuedWrite is one change that waits to be written.
type queuedWrite struct {
	ctx  context.Context
	run  func(ctx context.Context, tx *sql.Tx) error
	done chan error
}

// writeQueue are the changes that wait. Whatever comes while the disk is busy is written with all the others of that while in one
// transaction, and so with one wait for the disk.
type writeQueue struct {
	mu      sync.Mutex
	waiting []*queuedWrite
	busy    bool // a goroutine is writing, and takes what is added too
	closed  bool // nothing more is taken
	idle    sync.WaitGroup
}

// maxPerTransaction is how many changes share one transaction: enough that the wait for the disk is small beside the work, and few enough
// that the first of them need not wait long for the last.
const maxPerTransaction = 256

// add puts a change at the end of the queue. begin says that nobody is writing, so that the caller has to see to it; ok is false where the
// queue is closed.
func (q *writeQueue) add(w *queuedWrite) (begin, ok bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return false, false
	}
	q.waiting = append(q.waiting, w)
	if q.busy {
		return false, true
	}
	q.busy = true
	q.idle.Add(1)
	return true, true
}

// next takes the changes of one transaction off the queue; none are left where it is empty, and whoever writes has to end.
func (q *writeQueue) next() (batch []*queuedWrite) {
	q.mu.Lock()
	defer q.mu.Unlock()
	n := min(len(q.waiting), maxPerTransaction)
	batch, q.waiting = q.waiting[:n:n], q.waiting[n:]
	q.busy = n > 0
	return batch
}

// close lets nothing more in, and waits until all that was let in has been written.
func (q *writeQueue) close() {
	q.mu.Lock()
	q.closed = true
	q.mu.Unlock()
	q.idle.Wait()
}

// enqueue submits a change. Changes are run in the order in which they are submitted; what done gives is the end of it: nil once it is on
// disk, ErrClosed after Close. A change may be run a second time after its transaction has failed because of another, and has to begin anew
// then.
func (s *Store) enqueue(ctx context.Context, run func(ctx context.Context, tx *sql.Tx) error) (done <-chan error) {
	w := &queuedWrite{ctx: ctx, run: run, done: make(chan error, 1)}
	begin, ok := s.queue.add(w)
	if !ok {
		w.done <- ErrClosed
	}
	if begin {
		go s.writeQueued()
	}
	return w.done
}

// writeQueued writes as long as something waits.
func (s *Store) writeQueued() {
	defer s.queue.idle.Done()
	for batch := s.queue.next(); len(batch) > 0; batch = s.queue.next() {
		s.writeBatch(batch)
	}
}

// writeBatch writes a batch in one transaction. Where SQLite itself fails under one of them (the disk is full, a page cannot be read) it
// may have rolled all back: the others are then written without that one.
func (s *Store) writeBatch(batch []*queuedWrite) {
	for len(batch) > 0 {
		errs, culprit := s.tryBatch(batch)
		if culprit < 0 {
			for i, w := range batch {
				w.done <- Classify(errs[i])
			}
			return
		}
		batch[culprit].done <- Classify(errs[culprit])
		batch = append(batch[:culprit:culprit], batch[culprit+1:]...)
	}
}

// tryBatch gives the error of each, or which of them made the transaction fail.
func (s *Store) tryBatch(batch []*queuedWrite) (errs []error, culprit int) {
	errs = make([]error, len(batch))
	ctx := context.Background() // one who gives up must not take the others along
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return allFail(errs, err), -1
	}
	defer tx.Rollback() // of what is committed there is nothing to roll back
	for i, w := range batch {
		if errs[i], err = s.runOne(ctx, tx, w, len(batch) == 1); err != nil {
			return allFail(errs, err), -1
		}
		if fromSQLite(errs[i]) {
			return errs, i
		}
	}
	if len(batch) == 1 && errs[0] != nil {
		return errs, -1
	}
	if err := tx.Commit(); err != nil {
		allFail(errs, err)
	}
	return errs, -1
}

// allFail gives an error to all that have none of their own.
func allFail(errs []error, err error) []error {
	for i := range errs {
		if errs[i] == nil {
			errs[i] = err
		}
	}
	return errs
}

// fromSQLite reports an error of SQLite itself, after which a transaction may have been rolled back.
func fromSQLite(err error) bool {
	var low *sqlite.Error
	return errors.As(err, &low)
}

const (
	savepointSQL = "SAVEPOINT one"
	releaseSQL   = "RELEASE one"
)

// runOne runs one change, and takes back what it has done where it fails. What fails in taking back is broken.
func (s *Store) runOne(ctx context.Context, tx *sql.Tx, w *queuedWrite, alone bool) (failed, broken error) {
	if err := givenUp(w.ctx); err != nil {
		return err, nil
	}
	if alone { // its transaction is its own, and is rolled back whole
		return w.runIn(ctx, tx), nil
	}
	out := s.writer(ctx, tx)
	if err := out.exec(savepointSQL); err != nil {
		return nil, err
	}
	if failed = w.runIn(ctx, tx); failed == nil {
		return nil, out.exec(releaseSQL)
	}
	if !fromSQLite(failed) { // of which all is rolled back
		_, broken = tx.ExecContext(ctx, "ROLLBACK TO one; RELEASE one")
	}
	return failed, broken
}

// runIn runs the change; where whoever waits for it has given up meanwhile, nothing of it is to be saved.
func (w *queuedWrite) runIn(ctx context.Context, tx *sql.Tx) error {
	err := w.run(ctx, tx)
	if off := givenUp(w.ctx); off != nil {
		return off
	}
	return err
}

func givenUp(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("nothing was saved: %w", err)
	}
	return nil
}

// submit has a change written and waits for its end.
func (s *Store) submit(ctx context.Context, run func(ctx context.Context, tx *sql.Tx) error) error {
	return <-s.enqueue(ctx, run)
}

// exec is submit for one small change whose statements need no context of their own.
func (s *Store) exec(ctx context.Context, do func(*sql.Tx) error) error {
	return s.submit(ctx, func(_ context.Context, tx *sql.Tx) error { return do(tx) })
}
