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
	b := &backup{folder: part, from: photo.FolderOf(s.path), to: photo.Folder(filepath.Join(part, backupPhotos))}
	if err := b.make(ctx, s.path, folder); err != nil {
		return BackupResult{}, fmt.Errorf("backup %s: %w", folder, errors.Join(Classify(err), os.RemoveAll(part)))
	}
	b.Folder = folder
	return b.BackupResult, Classify(disk.SyncFolder(above))
}

// partOf is how the name of a backup begins that is not whole yet.
func partOf(name string) string { return "." + name + ".part-" }

// backup is one that is being made.
type backup struct {
	BackupResult
	folder   string // in which it is made
	from, to photo.Folder
	sums     []string // the lines of SHA256SUMS
}

// make fills the folder, and gives it its name.
func (b *backup) make(ctx context.Context, database, name string) error {
	if err := b.fill(ctx, database); err != nil {
		return err
	}
	if err := disk.SyncFolder(b.folder); err != nil {
		return err
	}
	return os.Rename(b.folder, name) // refused where another folder has taken the name meanwhile
}

// fill copies the database, then the photos that the copy names, and writes the sums of all.
func (b *backup) fill(ctx context.Context, database string) error {
	file := filepath.Join(b.folder, backupFile)
	photos, err := b.copyDatabase(ctx, database, file)
	if err != nil {
		return err
	}
	for _, sha := range photos {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := b.addPhoto(sha); err != nil {
			return err
		}
	}
	_, err = disk.Write(filepath.Join(b.folder, backupSums), strings.NewReader(strings.Join(b.sums, "\n")+"\n"), "")
	return err
}

// copyDatabase copies the database, checks the copy in full and tells which photos it names.
func (b *backup) copyDatabase(ctx context.Context, from, to string) (photos []string, err error) {
	if err := copyFile(ctx, from, to); err != nil {
		return nil, err
	}
	if err := os.Chmod(to, 0o600); err != nil {
		return nil, err
	}
	err = withFile(to, func(db *sql.DB) error {
		if err := b.check(ctx, db); err != nil {
			return err
		}
		return readOnly(ctx, db, func(tx *sql.Tx) (err error) {
			if b.Harbors, err = listHarbors(ctx, tx); err != nil {
				return err
			}
			photos, err = photosNamed(ctx, tx)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	sum, err := disk.Sum(to)
	b.addSum(sum, backupFile)
	return photos, err
}

func (b *backup) addSum(sum, name string) { b.sums = append(b.sums, sum+"  "+name) }

func (b *backup) check(ctx context.Context, db *sql.DB) error {
	found, err := checkAll(ctx, db)
	if err == nil && found.broken != "" { // a copy is what its file is
		err = fmt.Errorf("%w: %s. No backup was made of it; keep the last good one", ErrDamaged, found.broken)
	}
	b.Mismatch = found.mismatch
	return err
}

// photosNamed are the photos that notes name now or have named, by their hashes.
func photosNamed(ctx context.Context, tx *sql.Tx) (photos []string, err error) {
	photos, err = list(ctx, tx, scanText, `SELECT DISTINCT p.value
		FROM (SELECT body AS note FROM entry WHERE noun = ?1
			UNION ALL SELECT after FROM history WHERE noun = ?1 AND after IS NOT NULL), json_each(note, '$.photos') p
		WHERE p.value IS NOT NULL`, NounNote)
	slices.Sort(photos)
	return photos, err
}

// addPhoto copies a photo; one that is missing or damaged is told of, and is no error.
func (b *backup) addPhoto(sha string) error {
	name, err := photo.Name(sha)
	if err == nil {
		err = copyPhoto(b.from, b.to, sha)
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		b.Missing = append(b.Missing, sha+": it is not among the photos")
		return nil
	case errors.Is(err, disk.ErrSum), errors.Is(err, fs.ErrInvalid):
		b.Missing = append(b.Missing, fmt.Sprintf("%s: %v", sha, err))
		return nil
	case err != nil:
		return err
	}
	b.Photos++
	b.addSum(sha, backupPhotos+"/"+name)
	return nil
}

func copyPhoto(from, to photo.Folder, sha string) error {
	f, err := from.Open(sha)
	if err != nil {
		return err
	}
	defer f.Close() // it was only read
	return to.PutFrom(sha, f)
}
