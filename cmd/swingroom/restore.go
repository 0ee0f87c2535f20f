package main

import (
	"errors"
	"fmt"
	"io/fs"

	"swingroom/api/store"
)

type restoreCommand struct {
	Backup  string `arg:"" help:"Folder of one backup."`
	DB      string `help:"Database file to be made." default:"swingroom.db" env:"SWINGROOM_DB" placeholder:"FILE"`
	Replace bool   `help:"${restore_help}"`
}

func (restoreCommand) Help() string {
	return `Checks every file of the backup by its sum and all that its database holds, and only then puts it in place. Stop what
serves the file first, and run it as the user who serves.

Examples:
  swingroom restore /media/stick/harbor-2026-11-26T101500Z --db new.db
  swingroom restore /media/stick/harbor-2026-11-26T101500Z --db harbor.db --replace`
}

// Run brings a backup back.
func (c *restoreCommand) Run(s *session) error {
	done, err := store.Restore(s.ctx, c.Backup, c.DB, c.Replace)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s is there already, and was left as it is. Name a new file with --db, or add --replace: the file is then "+
			"moved aside, not deleted", c.DB)
	case err != nil:
		return fmt.Errorf("%w. Nothing was brought back", err)
	}
	fmt.Fprintf(s.out, "Brought back into %s\n", c.DB)
	printHarbors(s.out, done.Harbors)
	fmt.Fprintf(s.out, "  %s\n", photoCount(done.Photos))
	if done.ReplacedFile != "" {
		fmt.Fprintf(s.out, "What was there is kept as %s\n", done.ReplacedFile)
	}
	return doubted(done.Mismatch)
}
