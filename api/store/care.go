package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Kinds of error of the file itself.
var (
	// ErrDamaged: what is in the file is not what was written.
	ErrDamaged = errors.New("the file is damaged")
	// ErrFull: there is no room to write.
	ErrFull = errors.New("the disk is full: nothing of this was saved")
	// ErrReadOnly: the file, or its folder, may only be read.
	ErrReadOnly = errors.New("the file may only be read (readonly): nothing was saved")
)

// code is SQLite's result code of an error without its extension; -1 where it is not SQLite's.
func code(err error) int {
	var low *sqlite.Error
	if !errors.As(err, &low) {
		return -1
	}
	return low.Code() & 0xff
}

// Classify gives errors of SQLite and of the system that a person can do something about a kind and words. Others are left as they are.
func Classify(err error) error {
	if err == nil || errors.Is(err, ErrFull) || errors.Is(err, ErrReadOnly) || errors.Is(err, ErrDamaged) {
		return err
	}
	switch code(err) {
	case sqlite3.SQLITE_FULL:
		return &worded{ErrFull, err}
	case sqlite3.SQLITE_READONLY:
		return &worded{ErrReadOnly, err}
	case sqlite3.SQLITE_CORRUPT:
		return fmt.Errorf("%w (%w)", ErrDamaged, err)
	}
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return &worded{ErrFull, err}
	}
	return err
}

// worded is an error whose kind says all that a person can use; its cause can still be asked for.
type worded struct{ kind, cause error }

func (e *worded) Error() string   { return e.kind.Error() }
func (e *worded) Unwrap() []error { return []error{e.kind, e.cause} }

// damaged says what was found in a file and how to go on.
func damaged(path, found string) error {
	return fmt.Errorf("%w: %s. Nothing in it was changed. Bring back the last backup: swingroom restore BACKUP --db %s --replace (the "+
		"damaged file is kept)", ErrDamaged, found, path)
}

// lookAt opens a file to look at it: nothing is set, since journal_mode is written into the file. Where others' commits wait beside it, it
// is opened for reading only, or the last to close it would write them into it.
func lookAt(path string) (*sql.DB, error) {
	address := dsn(path)
	if wal, err := os.Stat(path + "-wal"); err == nil && wal.Size() > 0 {
		address += "&mode=ro"
	}
	db, err := sql.Open("sqlite", address)
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

// lookOver looks for damage as far as every start has time for: the structure of the file and its indexes against its tables, 0.2 s for ten
// years of a harbor of 500 moorings. It says what it found; empty is nothing.
func lookOver(ctx context.Context, db *sql.DB) (found string, err error) {
	rows, err := db.QueryContext(ctx, "PRAGMA integrity_check(3)")
	if err != nil {
		return foundBy(err)
	}
	all, err := collect(rows, func(rows *sql.Rows) (line string, err error) { return line, rows.Scan(&line) })
	if err != nil {
		return foundBy(err)
	}
	if len(all) == 1 && all[0] == "ok" {
		return "", nil
	}
	return strings.ReplaceAll(strings.Join(all, "; "), "\n", " "), nil
}

// foundBy takes an error that tells of damage for a finding.
func foundBy(err error) (string, error) {
	if err == nil {
		return "", nil
	}
	if c := code(err); c == sqlite3.SQLITE_CORRUPT || c == sqlite3.SQLITE_NOTADB {
		return err.Error(), nil
	}
	return "", err
}

// Check reads the whole file and holds what it holds against each other: the structure, the indexes, the references, every document against
// its hash, every row of history against the one before it, and what holds now against the history. It takes some seconds for ten years of
// a large harbor, and others may write meanwhile. Of accounts only the structure and the indexes are checked. Errors: ErrDamaged.
func (s *Store) Check(ctx context.Context) error {
	db, err := lookAt(s.path)
	if err != nil {
		return err
	}
	found, err := checkAll(ctx, db)
	if err = errors.Join(err, db.Close()); err != nil {
		return err
	}
	if words := found.words(); words != "" {
		return fmt.Errorf("database %s: %w", s.path, damaged(s.path, words))
	}
	return nil
}

// findings are what a check has found; empty is nothing.
type findings struct {
	broken string // the file, or something in it, cannot be read as it was written
	doubt  string // all can be read, but the history does not lead to it: a letter was lost, or somebody has written past this program
}

func (f findings) words() string { return cmp.Or(f.broken, f.doubt) }

// checkAll checks a database of the version that this program writes.
func checkAll(ctx context.Context, db *sql.DB) (found findings, err error) {
	if found.broken, err = lookOver(ctx, db); found.broken != "" || err != nil {
		return found, err
	}
	tx, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return found, err
	}
	defer tx.Rollback() // nothing was written
	for _, look := range []struct {
		to *string
		do func(context.Context, *sql.Tx) (string, error)
	}{{&found.broken, references}, {&found.broken, documents}, {&found.broken, readable}, {&found.doubt, historyHolds}} {
		if *look.to, err = look.do(ctx, tx); *look.to != "" || err != nil {
			break
		}
	}
	// What cannot be read is a finding too, unless it is for a reason outside of the file.
	if err != nil && ctx.Err() == nil && (code(err) == -1 || code(err) == sqlite3.SQLITE_ERROR) {
		return findings{broken: err.Error()}, nil
	}
	if err != nil {
		found.broken, err = foundBy(err)
	}
	return found, err
}

func references(ctx context.Context, tx *sql.Tx) (found string, err error) {
	var table, refers string
	var row sql.NullInt64
	var n int
	err = tx.QueryRowContext(ctx, "PRAGMA foreign_key_check").Scan(&table, &row, &refers, &n)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return fmt.Sprintf("row %d of %s refers to something in %s that is not there", row.Int64, table, refers), err
}

func documents(ctx context.Context, tx *sql.Tx) (found string, err error) {
	rows, err := tx.QueryContext(ctx, "SELECT sha256 FROM document")
	if err != nil {
		return "", err
	}
	all, err := collect(rows, func(rows *sql.Rows) (sha string, err error) { return sha, rows.Scan(&sha) })
	for _, sha := range all {
		b, err := getDocument(ctx, tx, sha)
		if err != nil {
			return "", err
		}
		if newDocument(b).sha != sha {
			return fmt.Sprintf("document %s has other bytes than its hash says", sha), nil
		}
	}
	return "", err
}

// readable reads every harbor.
func readable(ctx context.Context, tx *sql.Tx) (found string, err error) {
	all, err := infos(ctx, tx)
	if err != nil {
		return "", err
	}
	for _, info := range all {
		if _, err := readHarbor(ctx, tx, info.id); err != nil {
			return "", fmt.Errorf("harbor %s: %w", info.Slug, err)
		}
	}
	return "", nil
}
