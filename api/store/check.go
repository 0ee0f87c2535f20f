package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"strings"

	sqlite3 "modernc.org/sqlite/lib"
)

// openUntouched opens a file to look at it: nothing is set, since journal_mode is written into the file. Where others' commits wait beside
// it, it is opened for reading only, or the last to close it would write them into it.
func openUntouched(path string) (*sql.DB, error) {
	address := dsn(path)
	if wal, err := os.Stat(path + "-wal"); err == nil && wal.Size() > 0 {
		address += "&mode=ro"
	}
	return openOne(address)
}

// openOne opens a database with one connection.
func openOne(address string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", address)
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

// withFile opens a file to look at it, and closes it again.
func withFile(path string, look func(*sql.DB) error) error {
	db, err := openUntouched(path)
	if err != nil {
		return err
	}
	return errors.Join(look(db), db.Close())
}

// checkStructure looks for damage as far as every start has time for: the structure of the file and its indexes against its tables, 0.2 s
// for ten years of a harbor of 500 moorings. It says what it found; empty is nothing.
func checkStructure(ctx context.Context, db *sql.DB) (found string, err error) {
	lines, err := list(ctx, db, scanText, "PRAGMA integrity_check(3)")
	if err != nil {
		return foundBy(err)
	}
	if len(lines) == 1 && lines[0] == "ok" {
		return "", nil
	}
	return strings.ReplaceAll(strings.Join(lines, "; "), "\n", " "), nil
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

// Check reads the whole file and compares what it holds with itself: the structure, the indexes, the references, every document with its
// hash, every row of history with the one before it, and what holds now with the history. It takes some seconds for ten years of a large
// harbor, and others may write meanwhile. Of accounts only the structure and the indexes are checked. Errors: ErrDamaged.
func (s *Store) Check(ctx context.Context) error {
	var found findings
	err := withFile(s.path, func(db *sql.DB) (err error) {
		found, err = checkAll(ctx, db)
		return err
	})
	if err != nil {
		return err
	}
	if message := found.message(); message != "" {
		return fmt.Errorf("database %s: %w", s.path, damaged(s.path, message))
	}
	return nil
}

// findings are what a check has found; empty is nothing.
type findings struct {
	broken   string // the file, or something in it, cannot be read as it was written
	mismatch string // all can be read, but the history does not lead to it: a letter was lost, or another program has written
}

func (f findings) message() string { return cmp.Or(f.broken, f.mismatch) }

// checks are made one after another, in one transaction; the first that finds something ends them.
var checks = []struct {
	of  func(*findings) *string
	run func(context.Context, *sql.Tx) (string, error)
}{
	{brokenOf, checkReferences}, {brokenOf, checkDocuments}, {brokenOf, checkHarbors},
	{func(f *findings) *string { return &f.mismatch }, checkHistory},
}

func brokenOf(f *findings) *string { return &f.broken }

// checkAll checks a database of the version that this program writes.
func checkAll(ctx context.Context, db *sql.DB) (found findings, err error) {
	if found.broken, err = checkStructure(ctx, db); found.broken != "" || err != nil {
		return found, err
	}
	var failed error
	err = readOnly(ctx, db, func(tx *sql.Tx) error {
		failed = runChecks(ctx, tx, &found)
		return nil
	})
	switch {
	case err != nil || failed == nil:
		return found, err
	case ctx.Err() == nil && (code(failed) == -1 || code(failed) == sqlite3.SQLITE_ERROR):
		// What cannot be read is a finding too, unless it is for a reason outside of the file.
		return findings{broken: failed.Error()}, nil
	}
	found.broken, err = foundBy(failed)
	return found, err
}

func runChecks(ctx context.Context, tx *sql.Tx, found *findings) (err error) {
	for _, c := range checks {
		to := c.of(found)
		if *to, err = c.run(ctx, tx); *to != "" || err != nil {
			break
		}
	}
	return err
}

func checkReferences(ctx context.Context, tx *sql.Tx) (found string, err error) {
	var table, refers string
	var row sql.NullInt64
	var n int
	err = tx.QueryRowContext(ctx, "PRAGMA foreign_key_check").Scan(&table, &row, &refers, &n)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return fmt.Sprintf("row %d of %s refers to something in %s that is not there", row.Int64, table, refers), err
}

func checkDocuments(ctx context.Context, tx *sql.Tx) (found string, err error) {
	all, err := list(ctx, tx, scanText, "SELECT sha256 FROM document")
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

// checkHarbors reads every harbor.
func checkHarbors(ctx context.Context, tx *sql.Tx) (found string, err error) {
	all, err := listHarbors(ctx, tx)
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
