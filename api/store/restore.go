package store

import (
	"bufio"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	sqlite3 "modernc.org/sqlite/lib"

	"swingroom/api/disk"
	"swingroom/api/photo"
)

// Kinds of error of a restore; fs.ErrExist, ErrForeign, ErrNewer and ErrFull besides.
var (
	// ErrNoBackup: the folder is no backup, or not whole, or not what was written.
	ErrNoBackup = errors.New("not a whole backup")
	// ErrInUse: a program has the file open that would be replaced.
	ErrInUse = errors.New("a program has the file open")
)

// RestoreResult tells what a restore has done.
type RestoreResult struct {
	Harbors      []Info
	Photos       int
	ReplacedFile string // where the file is now that was replaced; empty: there was none
	Mismatch     string // where what is on file is not what the history leads to; empty: it is
}

// Restore puts the database of a backup at a path, and its photos beside it, after all of it has been checked: the sums, whose file it is,
// that its version is not newer, the whole of what it holds. Nothing is ever deleted: with replace a file that is there is moved aside
// under a name with the date, without it the path has to be free. Until the last step nothing that was there is touched. Errors:
// ErrNoBackup, ErrForeign, ErrNewer, ErrUpgrade, fs.ErrExist, ErrInUse, ErrFull.
func Restore(ctx context.Context, folder, to string, replace bool) (done RestoreResult, err error) {
	if _, err := os.Lstat(to); err == nil && !replace {
		return done, fmt.Errorf("database %s is there already: %w", to, fs.ErrExist)
	}
	work, err := os.MkdirTemp(filepath.Dir(to), "."+filepath.Base(to)+".restore-*")
	if err != nil {
		return done, Classify(err)
	}
	defer func() { err = errors.Join(Classify(err), os.RemoveAll(work)) }()
	file := filepath.Join(work, backupFile)
	photos, err := done.checkBackup(ctx, folder, file)
	if err != nil {
		return done, fmt.Errorf("backup %s: %w", folder, err)
	}
	for _, sha := range photos { // under their hashes they are in nobody's way
		if err := copyPhoto(photo.Folder(filepath.Join(folder, backupPhotos)), photo.FolderOf(to), sha); err != nil {
			return done, err
		}
	}
	done.Photos = len(photos)
	done.ReplacedFile, err = putInPlace(ctx, file, to, time.Now())
	return done, err
}

// checkBackup checks a backup in full. Its database is in file then.
func (r *RestoreResult) checkBackup(ctx context.Context, folder, file string) (photos []string, err error) {
	if photos, err = checkSums(ctx, folder, file); err != nil {
		return nil, err
	}
	return photos, withFile(file, func(db *sql.DB) error { return r.checkDatabase(ctx, db, file) })
}

// sumLine is one line of SHA256SUMS. No other files are in a backup, so that no name can lead out of its folder.
var sumLine = regexp.MustCompile(`^([0-9a-f]{64}) [ *](harbor\.db|photos/[0-9a-f]{2}/([0-9a-f]{64})\.jpg)$`)

// checkSums checks every file of a backup by its sum, and copies the database while it does.
func checkSums(ctx context.Context, folder, to string) (photos []string, err error) {
	list, err := os.Open(filepath.Join(folder, backupSums))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: it has no %s", ErrNoBackup, backupSums)
	}
	if err != nil {
		return nil, err
	}
	defer list.Close() // it was only read
	database := false
	lines := bufio.NewScanner(list)
	for lines.Scan() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		sha, err := checkSum(folder, lines.Text(), to)
		if err != nil {
			return nil, err
		}
		if sha == "" {
			database = true
			continue
		}
		photos = append(photos, sha)
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrNoBackup, backupSums, err)
	}
	if !database {
		return nil, fmt.Errorf("%w: %s does not name %s", ErrNoBackup, backupSums, backupFile)
	}
	return photos, nil
}

// checkSum checks the file that a line of the sums names; photo is its hash where it is one, and empty for the database, which is copied.
func checkSum(folder, line, database string) (photo string, err error) {
	m := sumLine.FindStringSubmatch(line)
	if m == nil {
		return "", fmt.Errorf("%w: %s has a line that is not of a backup: %.100q", ErrNoBackup, backupSums, line)
	}
	sum, name, photo := m[1], m[2], m[3]
	from := filepath.Join(folder, filepath.FromSlash(name))
	if photo == "" {
		err = copySummed(from, database, sum)
	} else {
		err = holdsSum(from, sum, photo)
	}
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, disk.ErrSum) {
		err = fmt.Errorf("%w: %s: %w", ErrNoBackup, name, err)
	}
	return photo, err
}

func copySummed(from, to, sum string) error {
	f, err := os.Open(from)
	if err != nil {
		return err
	}
	defer f.Close() // it was only read
	_, err = disk.Write(to, io.Reader(f), sum)
	return err
}

// holdsSum checks a photo by the list and by its own name, which is its hash.
func holdsSum(path, listed, name string) error {
	sum, err := disk.Sum(path)
	if err == nil && (sum != listed || sum != name) {
		err = fmt.Errorf("%w: %s instead of %s", disk.ErrSum, sum, listed)
	}
	return err
}

// checkDatabase checks all that the database of a backup holds. One of an earlier version is brought up to date on a copy for that: the
// file stays as it is, and Open does it again.
func (r *RestoreResult) checkDatabase(ctx context.Context, db *sql.DB, file string) error {
	ours, err := recognise(ctx, db)
	if code(err) == sqlite3.SQLITE_NOTADB || err == nil && !ours {
		err = ErrForeign
	}
	if err != nil {
		return err
	}
	steps, err := steps()
	if err != nil {
		return err
	}
	version, known, err := versionsOf(ctx, db, steps)
	switch {
	case err != nil:
		return err
	case version == 0:
		return fmt.Errorf("%w: its database holds no tables", ErrNoBackup)
	case version < known:
		err = upgradeCopy(ctx, file, file+".trial", steps, version, known)
	default:
		err = r.checkContents(ctx, db)
	}
	if err != nil {
		return err
	}
	return readOnly(ctx, db, func(tx *sql.Tx) (err error) {
		r.Harbors, err = listHarbors(ctx, tx)
		return err
	})
}

func (r *RestoreResult) checkContents(ctx context.Context, db *sql.DB) error {
	found, err := checkAll(ctx, db)
	if err == nil && found.broken != "" {
		err = fmt.Errorf("%w: %s", ErrDamaged, found.broken)
	}
	r.Mismatch = found.mismatch
	return err
}

// putInPlace moves a file that is there aside, and gives its name to the new one.
func putInPlace(ctx context.Context, file, to string, now time.Time) (aside string, err error) {
	if _, err := os.Lstat(to); err == nil {
		release, err := lockAlone(ctx, to)
		if err != nil {
			return "", err
		}
		defer release() // nothing was written through it
	}
	aside = asideName(to, now)
	moved, err := moveAside(to, aside)
	if err == nil {
		err = putNew(file, to)
	}
	if err != nil {
		for _, end := range moved {
			err = errors.Join(err, os.Rename(aside+end, to+end))
		}
		return "", err
	}
	if len(moved) == 0 {
		aside = ""
	}
	return aside, disk.SyncFolder(filepath.Dir(to))
}

// moveAside moves a file and what SQLite left beside it where its work broke off: that belongs to this file, and would be written into
// another that came in its place. moved are the ends of the names that were there.
func moveAside(from, to string) (moved []string, err error) {
	for _, end := range []string{"", "-wal", "-shm", "-journal"} {
		err := os.Rename(from+end, to+end)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return moved, err
		}
		moved = append(moved, end)
	}
	return moved, nil
}

// asideName is a name that nothing has yet.
func asideName(to string, now time.Time) string {
	base := strings.TrimSuffix(to, filepath.Ext(to)) + ".replaced-" + stamped(now)
	name := base + filepath.Ext(to)
	for n := 2; ; n++ {
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name
		}
		name = fmt.Sprintf("%s-%d%s", base, n, filepath.Ext(to))
	}
}
