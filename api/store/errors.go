package store

import (
	"errors"
	"fmt"
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
	// ErrReadOnly: the file, or its folder, is read-only.
	ErrReadOnly = errors.New("the file is read-only: nothing was saved")
)

// code is SQLite's result code of an error without its extension; -1 where it is not SQLite's.
func code(err error) int {
	var low *sqlite.Error
	if !errors.As(err, &low) {
		return -1
	}
	return low.Code() & 0xff
}

// Classify gives errors of SQLite and of the system that a person can do something about a kind and a plain message. Others are left as
// they are.
func Classify(err error) error {
	if err == nil || errors.Is(err, ErrFull) || errors.Is(err, ErrReadOnly) || errors.Is(err, ErrDamaged) {
		return err
	}
	switch code(err) {
	case sqlite3.SQLITE_FULL:
		return &kindError{ErrFull, err}
	case sqlite3.SQLITE_READONLY:
		return &kindError{ErrReadOnly, err}
	case sqlite3.SQLITE_CORRUPT:
		return fmt.Errorf("%w (%w)", ErrDamaged, err)
	}
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return &kindError{ErrFull, err}
	}
	return err
}

// kindError is an error whose kind says all that a person can use; its cause can still be asked for.
type kindError struct{ kind, cause error }

func (e *kindError) Error() string   { return e.kind.Error() }
func (e *kindError) Unwrap() []error { return []error{e.kind, e.cause} }

// damaged says what was found in a file and how to go on.
func damaged(path, found string) error {
	return fmt.Errorf("%w: %s. Nothing in it was changed. Bring back the last backup: swingroom restore BACKUP --db %s --replace (the "+
		"damaged file is kept)", ErrDamaged, found, path)
}
