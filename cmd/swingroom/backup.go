package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"swingroom/api/store"
)

type backupCommand struct {
	Folder string `arg:"" help:"${backup_folder_help}"`
	database
}

func (backupCommand) Help() string {
	return `Copies the database and its photos as they are now, while others go on working, and checks all that the copy
holds. The folder has its name only when it is whole. It holds harbor.db, photos and SHA256SUMS: cd into it and run
sha256sum -c SHA256SUMS to see that nothing has been lost since. It also holds the accounts; keep it where nobody else reads it.

Examples:
  swingroom backup /media/stick --db harbor.db
  swingroom serve --db harbor.db --backup-to /media/stick       (by itself, every day)
  swingroom restore /media/stick/harbor-2026-11-26T101500Z --db harbor.db --replace`
}

// Run makes a backup. It fails where the backup is made but the file does not agree with its own history.
func (c *backupCommand) Run(s *session) error {
	db, err := openExisting(s.ctx, c.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	done, err := db.Backup(s.ctx, filepath.Join(c.Folder, store.BackupName(c.DB, time.Now())))
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Backup made and checked: %s\n", done.Folder)
	printHarbors(s.out, done.Harbors)
	fmt.Fprintf(s.out, "  %s\nTo bring it back: swingroom restore %s --db %s --replace\n", photoCount(done.Photos), done.Folder, c.DB)
	for _, lacking := range done.Missing {
		fmt.Fprintf(s.errOut, "swingroom: not in the backup: photo %s\n", lacking)
	}
	return doubted(done.Mismatch)
}

// doubted is the error of a file that does not agree with its own history.
func doubted(doubt string) error {
	if doubt == "" {
		return nil
	}
	return errors.New("it was done, but what is on file is not what its history leads to: " + doubt +
		". Either somebody has written into the file with another program, or it was damaged. Keep the older backups")
}

func printHarbors(w io.Writer, all []store.Info) {
	for _, info := range all {
		fmt.Fprintf(w, "  %s: revision %d, %d moorings, last changed %s\n", info.Slug, info.Revision, info.Moorings,
			info.Changed.UTC().Format("2006-01-02 15:04 UTC"))
	}
}

func photoCount(n int) string {
	if n == 1 {
		return "1 photo"
	}
	return fmt.Sprint(n, " photos")
}

// backupFlags let a service make backups by itself.
type backupFlags struct {
	BackupTo    string        `help:"${backup_to_help}" placeholder:"FOLDER"`
	BackupEvery time.Duration `help:"How often." default:"24h" placeholder:"24h"`
	BackupKeep  int           `help:"${backup_keep_help}" default:"14" placeholder:"14"`
}

// keeper makes the backups that the flags ask for; nil where they ask for none.
func (f backupFlags) keeper(db *store.Store) (*store.BackupSchedule, error) {
	switch {
	case f.BackupTo == "":
		return nil, nil
	case f.BackupEvery < time.Minute:
		return nil, fmt.Errorf("--backup-every %v: at least a minute is expected, such as 24h or 30m", f.BackupEvery)
	case f.BackupKeep < 1:
		return nil, fmt.Errorf("--backup-keep %d: at least 1 is expected", f.BackupKeep)
	}
	return &store.BackupSchedule{Store: db, Folder: f.BackupTo, Every: f.BackupEvery, Keep: f.BackupKeep}, nil
}

// tellKept says where a file is kept as it was before this version brought its tables up to date. It goes past the session's own streams:
// every command may be the first to open a file.
func tellKept(db *store.Store) {
	if kept := db.UpgradeCopy(); kept != "" {
		fmt.Fprintf(
			os.Stderr, "swingroom: %s was of an earlier version and has been brought up to date. As it was before it is kept as %s\n",
			db.Path(), kept)
	}
}
