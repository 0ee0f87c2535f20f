package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"swingroom/api/disk"
	"swingroom/api/photo"
)

// Names in the folder of a backup.
const (
	backupFile   = "harbor.db"
	backupPhotos = "photos"
	backupSums   = "SHA256SUMS" // as sha256sum of GNU coreutils writes and checks it
)

// BackupResult tells what a backup holds.
type BackupResult struct {
	Folder   string
	Harbors  []Info
	Photos   int
	Missing  []string // photos that the database names and that are not in the backup, each with the reason
	Mismatch string   // where what is on file is not what the history leads to; empty: it is
}

// Backup copies the database as it is now, and the photos that it names, into a new folder, while others go on writing. The copy is checked
// as Check does; the folder has its name only when all of it is on disk, and is for its owner alone, since the file holds accounts. Errors:
// fs.ErrExist where the folder is there, ErrDamaged, ErrFull.
func (s *Store) Backup(ctx context.Context, folder string) (BackupResult, error) {
	if _, err := os.Lstat(folder); err == nil {
		return BackupResult{}, fmt.Errorf("backup %s: %w", folder, fs.ErrExist)
	}
	above := filepath.Dir(folder)
	if err := disk.MakeFolder(above); err != nil {
		return BackupResult{}, Classify(err)
	}
	part, err := os.MkdirTemp(above, partOf(filepath.Base(folder))+"*")
	if err != nil {
		return BackupResult{}, Classify(err)
	}
	done, err := s.fillBackup(ctx, part)
	if err == nil {
		err = disk.SyncFolder(part)
	}
	if err == nil {
		err = os.Rename(part, folder) // refused where another folder has taken the name meanwhile
	}
	if err != nil {
		return BackupResult{}, fmt.Errorf("backup %s: %w", folder, errors.Join(Classify(err), os.RemoveAll(part)))
	}
	done.Folder = folder
	return done, Classify(disk.SyncFolder(above))
}

// partOf is how the name of a backup begins that is not whole yet.
func partOf(name string) string { return "." + name + ".part-" }

func (s *Store) fillBackup(ctx context.Context, folder string) (done BackupResult, err error) {
	file := filepath.Join(folder, backupFile)
	if err := copyFile(ctx, s.path, file); err != nil {
		return done, err
	}
	if err := os.Chmod(file, 0o600); err != nil {
		return done, err
	}
	named, err := inspectCopy(ctx, file, &done)
	if err != nil {
		return done, err
	}
	sum, err := disk.Sum(file)
	if err != nil {
		return done, err
	}
	lines := []string{sum + "  " + backupFile}
	from, to := photo.FolderOf(s.path), photo.Folder(filepath.Join(folder, backupPhotos))
	for _, sha := range named {
		if err := ctx.Err(); err != nil {
			return done, err
		}
		name, err := photo.Name(sha)
		if err == nil {
			err = copyPhoto(from, to, sha)
		}
		switch {
		case errors.Is(err, fs.ErrNotExist):
			done.Missing = append(done.Missing, sha+": it is not among the photos")
		case errors.Is(err, disk.ErrSum), errors.Is(err, fs.ErrInvalid):
			done.Missing = append(done.Missing, fmt.Sprintf("%s: %v", sha, err))
		case err != nil:
			return done, err
		default:
			done.Photos++
			lines = append(lines, sha+"  "+backupPhotos+"/"+name)
		}
	}
	_, err = disk.Write(filepath.Join(folder, backupSums), strings.NewReader(strings.Join(lines, "\n")+"\n"), "")
	return done, err
}

// inspectCopy checks a copy in full and tells which harbors and photos it names.
func inspectCopy(ctx context.Context, file string, done *BackupResult) (photos []string, err error) {
	db, err := lookAt(file)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	found, err := checkAll(ctx, db)
	if err != nil {
		return nil, err
	}
	if found.broken != "" { // a copy is what its file is
		return nil, fmt.Errorf("%w: %s. No backup was made of it; keep the last good one", ErrDamaged, found.broken)
	}
	done.Mismatch = found.doubt
	tx, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	defer tx.Rollback() // nothing was written
	if done.Harbors, err = infos(ctx, tx); err != nil {
		return nil, err
	}
	rows, err := tx.QueryContext(ctx,
		`SELECT DISTINCT p.value FROM (SELECT body AS note FROM entry WHERE noun = ?1 UNION ALL SELECT after FROM history WHERE noun = ?1 AND after IS NOT NULL), json_each(note, '$.photos') p
		WHERE p.value IS NOT NULL`, NounNote)
	if err != nil {
		return nil, err
	}
	photos, err = collect(rows, func(rows *sql.Rows) (sha string, err error) { return sha, rows.Scan(&sha) })
	slices.Sort(photos)
	return photos, err
}

func copyPhoto(from, to photo.Folder, sha string) error {
	f, err := from.Open(sha)
	if err != nil {
		return err
	}
	defer f.Close() // it was only read
	return to.PutFrom(sha, f)
}
