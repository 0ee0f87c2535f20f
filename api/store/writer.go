package store

import (
	"context"
	"database/sql"
	"fmt"

	"swingroom/geo"
)

// writer runs the statements of one transaction, each of which is prepared once for the life of the store: parsing it costs as much as
// running it.
type writer struct {
	ctx   context.Context
	tx    *sql.Tx
	store *Store
}

func (s *Store) writer(ctx context.Context, tx *sql.Tx) *writer { return &writer{ctx, tx, s} }

// statement is a prepared statement in this transaction. Only one transaction writes at a time, so it has the cache to itself.
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

// preparedSQL are the statements of acts, which are kept prepared.
var preparedSQL = []string{
	removeMooringSQL, insertMooringSQL, updateMooringSQL, insertBoatSQL, removeBoatSQL, insertPartSQL, removePartsSQL, insertEntrySQL,
	removeEntrySQL, insertHistorySQL, stampSQL, revisionSQL, savepointSQL, releaseSQL,
}

// prepareStatements prepares them, outside of any transaction.
func (s *Store) prepareStatements(ctx context.Context) error {
	s.prepared = make(map[string]*sql.Stmt, len(preparedSQL))
	for _, query := range preparedSQL {
		stmt, err := s.write.PrepareContext(ctx, query)
		if err != nil {
			return fmt.Errorf("%s: %w", query, err)
		}
		s.prepared[query] = stmt
	}
	return nil
}

const (
	insertHistorySQL = "INSERT INTO history (harbor_id, revision, at_ms, who, why, noun, name, before, after) VALUES (?, ?, ?, ?, ?, ?, " +
		"?, ?, ?) RETURNING id"
	stampSQL = "UPDATE harbor SET revision = ?, changed_ms = ? WHERE id = ?"
)

// stamp gives every change its time, revision and row. The clock of a harbor never runs backwards, or a reading as of a time would
// mix up what came first.
func (w *writer) stamp(state harborState, changes *Changes, act Act) (err error) {
	if act.At.IsZero() {
		act.At = w.store.now()
	}
	atMS := max(act.At.UnixMilli(), state.changedMS)
	for c := range changes.all {
		c.Revision, c.At, c.Who, c.Why = changes.Revision, timeOf(atMS), act.Who, act.Why
		c.ID, err = w.id(insertHistorySQL, state.id, c.Revision, atMS, c.Who, c.Why, c.Noun, c.Name, orNull(string(c.Before)),
			orNull(string(c.After)))
		if err != nil {
			return err
		}
	}
	return w.exec(stampSQL, changes.Revision, atMS, state.id)
}

// writeHarbor brings all tables of what holds now up to date.
func (w *writer) writeHarbor(id int64, h *geo.Harbor, to *snapshot, changes *Changes) error {
	touched, nouns := touchedBy(changes)
	if nouns[NounHarbor] {
		if err := writeHarbor(w.ctx, w.tx, id, h, to); err != nil {
			return err
		}
	}
	if err := removeAreas(w.ctx, w.tx, id, changes.Removed); err != nil {
		return err
	}
	for i := range h.Areas {
		if !touched[Key{NounArea, h.Areas[i].Name}] {
			continue
		}
		if err := writeArea(w.ctx, w.tx, id, i, &h.Areas[i]); err != nil {
			return err
		}
	}
	if nouns[NounKeepOut] {
		if err := writeKeepOuts(w.ctx, w.tx, id, h.KeepOuts); err != nil {
			return err
		}
	}
	return w.writeRecords(id, h, nil, changes)
}

func touchedBy(changes *Changes) (touched map[Key]bool, nouns map[string]bool) {
	touched, nouns = map[Key]bool{}, map[string]bool{}
	for c := range changes.all {
		touched[Key{c.Noun, c.Name}], nouns[c.Noun] = true, true
	}
	return touched, nouns
}

// writeRecords brings the tables of moorings, owners, notes and those who wait up to date; was are the moorings on file by number, as far
// as they are known.
func (w *writer) writeRecords(id int64, h *geo.Harbor, was map[string]*geo.Mooring, changes *Changes) error {
	numbers := map[string]bool{} // of the moorings that are to be written
	for c := range changes.removedFirst {
		if err := w.writeRecord(id, c, numbers); err != nil {
			return err
		}
	}
	for i := 0; i < len(h.Moorings) && len(numbers) > 0; i++ {
		m := &h.Moorings[i]
		if !numbers[m.Number] {
			continue
		}
		delete(numbers, m.Number)
		if err := w.writeMooring(id, m, was[m.Number]); err != nil {
			return err
		}
	}
	return nil
}

// writeRecord writes or removes the record of one change; the number of a mooring that has to be written is noted.
func (w *writer) writeRecord(id int64, c *Change, numbers map[string]bool) error {
	switch {
	case isEntry(c.Noun):
		return w.writeEntry(id, *c)
	case c.Noun == NounMooring && c.After == nil:
		return w.removeMooring(id, c.Name)
	case c.Noun == NounMooring:
		numbers[c.Name] = true
	}
	return nil
}
