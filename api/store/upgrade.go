package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/pressly/goose/v3"

	"swingroom/api/disk"
)

// ErrUpgrade: the tables of an earlier version could not be brought up to date.
var ErrUpgrade = errors.New("its tables cannot be brought up to date")

// migrationsOf is what brings the tables of a database up to date.
func migrationsOf(db *sql.DB, steps fs.FS) (*goose.Provider, error) {
	return goose.NewProvider(goose.DialectSQLite3, db, steps, goose.WithLogger(goose.NopLogger()))
}

// tablesVersion is the version of the tables of a database; 0 where there are none yet.
func tablesVersion(ctx context.Context, db *sql.DB) (version int64, err error) {
	var there bool
	err = db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE name = 'goose_db_version'").Scan(&there)
	if err != nil || !there {
		return 0, err
	}
	err = db.QueryRowContext(ctx, "SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied").Scan(&version)
	return version, err
}

// knownVersion is the version of the tables that a set of migrations makes.
func knownVersion(steps fs.FS) (known int64, err error) {
	names, err := fs.Glob(steps, "*.sql")
	for _, name := range names {
		n, err := goose.NumericComponent(name)
		if err != nil {
			return 0, err
		}
		known = max(known, n)
	}
	return known, err
}

// versionsOf are the version of the tables of a database and the one that this program writes. The error is ErrNewer where the first is
// beyond the other.
func versionsOf(ctx context.Context, db *sql.DB, steps fs.FS) (current, known int64, err error) {
	if current, err = tablesVersion(ctx, db); err != nil {
		return 0, 0, err
	}
	if known, err = knownVersion(steps); err != nil {
		return 0, 0, err
	}
	if current > known {
		err = fmt.Errorf("%w: its tables are of version %d, this program knows %d", ErrNewer, current, known)
	}
	return current, known, err
}

// tryUpgrade takes the missing steps on a copy of the file and checks all that it then holds. Only when that has gone well it keeps a copy
// of the file as it is, beside it, and gives its path; the file itself is only read.
func tryUpgrade(ctx context.Context, path string, steps fs.FS, from, to int64) (kept string, err error) {
	trial, err := os.MkdirTemp(filepath.Dir(path), "."+filepath.Base(path)+".trial-*")
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(trial)) }()
	before := filepath.Join(trial, "before.db")
	if err := copyFile(ctx, path, before); err != nil {
		return "", err
	}
	if err := upgradeCopy(ctx, before, filepath.Join(trial, "after.db"), steps, from, to); err != nil {
		if errors.Is(err, ErrUpgrade) {
			err = fmt.Errorf("%w. Nothing in the file was changed: the version of the program that wrote it still reads it", err)
		}
		return "", err
	}
	return keepBeside(before, path, from)
}

// upgradeCopy tries on a copy whether a file can be brought up to date. The error is ErrUpgrade where it cannot.
func upgradeCopy(ctx context.Context, file, trial string, steps fs.FS, from, to int64) error {
	if err := copyFile(ctx, file, trial); err != nil {
		return err
	}
	if err := upgrade(ctx, trial, steps); err != nil {
		return fmt.Errorf("%w: from version %d to %d was tried on a copy, and failed: %w", ErrUpgrade, from, to, err)
	}
	return nil
}

// upgrade takes the missing steps on a file that nobody else has, and checks all that it then holds.
func upgrade(ctx context.Context, path string, steps fs.FS) (err error) {
	db, err := openOne(dsn(path, "foreign_keys(1)"))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	provider, err := migrationsOf(db, steps)
	if err != nil {
		return err
	}
	if err := migrate(ctx, provider); err != nil {
		return err
	}
	found, err := checkAll(ctx, db)
	if message := found.message(); message != "" {
		return errors.New(message)
	}
	return err
}

// keepBeside gives a copy its name beside the file, without taking another's.
func keepBeside(copied, path string, version int64) (kept string, err error) {
	kept = fmt.Sprintf("%s.before-%d.db", path, version)
	for n := 2; ; n++ {
		if _, err := os.Lstat(kept); errors.Is(err, fs.ErrNotExist) {
			return kept, errors.Join(putNew(copied, kept), disk.SyncFolder(filepath.Dir(path)))
		}
		if same, err := sameFile(copied, kept); err != nil || same { // another process does the same, or did and went no further
			return kept, err
		}
		kept = fmt.Sprintf("%s.before-%d-%d.db", path, version, n)
	}
}

// bringUpToDate brings the tables of the open store up to date; ours is false where there are none yet.
func (s *Store) bringUpToDate(ctx context.Context, steps fs.FS, ours bool) error {
	provider, err := migrationsOf(s.write, steps)
	if err != nil {
		return err
	}
	if ours {
		current, target, err := provider.GetVersions(ctx)
		if err != nil || current == target {
			return err
		}
	} else if _, err := s.write.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID)); err != nil {
		return err
	}
	return migrate(ctx, provider)
}

// migrate takes every missing step. Another process may do the same on the same file: a step is one transaction, so of two
// who take it one fails, and finds it done. It goes on as long as somebody gets further.
func migrate(ctx context.Context, provider *goose.Provider) error {
	for last := int64(-1); ; {
		_, err := provider.Up(ctx)
		if err == nil {
			return nil
		}
		current, target, asked := provider.GetVersions(ctx)
		if asked != nil || current <= last {
			return errors.Join(err, asked)
		}
		if current >= target {
			return nil
		}
		last = current
	}
}
