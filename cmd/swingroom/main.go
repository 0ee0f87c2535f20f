// Command swingroom keeps a harbor's mooring field on an accurate map and tells which boats can touch.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"os/user"
	"syscall"

	"github.com/alecthomas/kong"

	"swingroom/api/office"
	"swingroom/geo"
)

// Exit codes, for scripts. They are part of the command's interface: see the help of `swingroom`.
const (
	exitDone    = 0
	exitFailed  = 1 // something went wrong: the message says what
	exitUsage   = 2 // the command line is wrong
	exitRefused = 3 // the answer is no: bad rows in an import, nothing found, trouble for check --fail-on, a boat that does not fit
	exitUnsaid  = 4 // fit: it cannot be said
)

// errRefused ends a command with exitRefused after it has printed its answer itself.
var errRefused = errors.New("refused")

// errUnsaid ends a command with exitUnsaid after it has printed its answer itself.
var errUnsaid = errors.New("cannot be said")

// usageError is a command line that is wrong in a way that only the command itself can tell.
type usageError string

func (e usageError) Error() string { return string(e) }

// commands is the command line.
type commands struct {
	Demo   demoCommand   `cmd:"" group:"begin" help:"Show a complete invented harbor on the map."`
	Serve  serveCommand  `cmd:"" group:"begin" help:"Serve the map of your own harbor."`
	Import importCommand `cmd:"" group:"begin" help:"Take in a folder of your own files."`
	Export exportCommand `cmd:"" group:"begin" help:"Write every list as CSV or XLSX."`

	Check    checkCommand    `cmd:"" group:"ask" help:"List all conflicts and hazards."`
	Find     findCommand     `cmd:"" group:"ask" help:"Find moorings by number, boat or position."`
	Tide     tideCommand     `cmd:"" group:"ask" help:"Predict levels, high and low waters."`
	Reach    reachCommand    `cmd:"" group:"ask" help:"Tell how far one boat lies from its anchor, by wind and level."`
	Weather  weatherCommand  `cmd:"" group:"ask" help:"Lay the whole field to a wind, a stream and a level."`
	Fit      fitCommand      `cmd:"" group:"ask" help:"Check whether a boat fits on a mooring, and look for remedies."`
	Tables   tablesCommand   `cmd:"" group:"ask" help:"Print published tables of tackle by the length of the boat, as examples."`
	Spots    spotsCommand    `cmd:"" group:"ask" help:"Find the best places for one more boat."`
	Capacity capacityCommand `cmd:"" group:"ask" help:"Tell how many more boats of a class an area takes."`
	WhatIf   whatIfCommand   `cmd:"" group:"ask" help:"Try another rule or tackle on a whole area."`
	Waiting  waitingCommand  `cmd:"" group:"ask" help:"Hold the waiting list against the vacant moorings."`
	History  historyCommand  `cmd:"" group:"ask" help:"Tell who changed what, when and why."`

	Assign assignCommand `cmd:"" group:"act" help:"Give a mooring to a boat."`
	Vacate vacateCommand `cmd:"" group:"act" help:"Let a boat leave its mooring."`
	Place  placeCommand  `cmd:"" group:"act" help:"Set a new mooring, with a boat or vacant."`
	Move   moveCommand   `cmd:"" group:"act" help:"Set the anchor of a mooring at another place."`
	Swap   swapCommand   `cmd:"" group:"act" help:"Swap the boats of two moorings, or move boats round a ring."`
	Retire retireCommand `cmd:"" group:"act" help:"Give up a mooring."`
	Note   noteCommand   `cmd:"" group:"act" help:"Write a note down."`
	Set    setCommand    `cmd:"" group:"act" help:"Set fields of a record; make it, or take it away."`
	Undo   undoCommand   `cmd:"" group:"act" help:"Take back your own last act."`

	Sheet sheetCommand `cmd:"" group:"print" help:"Write the sheet of one mooring as PDF, to be put in the file and signed."`
	Chart chartCommand `cmd:"" group:"print" help:"Write the chart of an area as PDF, true to scale."`

	Backup  backupCommand  `cmd:"" group:"keep" help:"Copy the database and its photos into a folder, while others go on working."`
	Restore restoreCommand `cmd:"" group:"keep" help:"Bring a backup back."`
	Account accountCommand `cmd:"" group:"keep" help:"Make and change the accounts of those who sign in."`
	Token   tokenCommand   `cmd:"" group:"keep" help:"Make and revoke tokens for scripts and maps."`
}

// session is what a command runs in: tests give it their own streams.
type session struct {
	ctx    context.Context
	out    *checkedWriter
	errOut io.Writer
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run carries out one command line and returns its exit code.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	var line commands
	exit := -1
	parser, err := kong.New(&line,
		kong.Name("swingroom"), kong.Description(description),
		kong.Writers(out, errOut), kong.Exit(func(code int) { exit = code }),
		helpTexts, kong.Vars{"user": userName()}, kong.ExplicitGroups(groups),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
	)
	if err != nil {
		fmt.Fprintln(errOut, "swingroom:", err)
		return exitFailed
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if exit >= 0 { // --help has been shown
		return exit
	}
	if err != nil {
		return tellError(errOut, usageError(err.Error()))
	}
	checked := &checkedWriter{Writer: out}
	if err = parsed.Run(&session{ctx: ctx, out: checked, errOut: errOut}); err == nil {
		err = checked.err
	}
	return tellError(errOut, err)
}

// exitCodes are those of errors that have one of their own; that of every other is exitFailed.
var exitCodes = []struct {
	kind error
	code int
}{{errRefused, exitRefused}, {errUnsaid, exitUnsaid}, {office.ErrDoesNotFit, exitRefused}}

// tellError prints the error with which a command has ended, unless it has printed its answer itself, and gives the exit code.
func tellError(errOut io.Writer, err error) int {
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &usage):
		fmt.Fprintf(errOut, "swingroom: %v\nTry: swingroom --help\n", err)
		return exitUsage
	case !errors.Is(err, errRefused) && !errors.Is(err, errUnsaid):
		fmt.Fprintln(errOut, "swingroom:", err)
		tellHints(errOut, err)
	}
	return exitCode(err)
}

// exitCode is that of an error.
func exitCode(err error) int {
	for _, row := range exitCodes {
		if errors.Is(err, row.kind) {
			return row.code
		}
	}
	return exitFailed
}

// tellHints says what can be done about an error: how a position may be meant, and that an act may be done despite the check.
func tellHints(errOut io.Writer, err error) {
	var position *geo.PositionError
	if errors.As(err, &position) {
		tellReadings(errOut, position)
	}
	if errors.Is(err, office.ErrDoesNotFit) {
		fmt.Fprintln(errOut, "Nothing was changed. With --despite REASON it is done all the same, and the reason stands in the history.")
	}
}

// tellReadings lists how a position that was refused may be meant.
func tellReadings(errOut io.Writer, refused *geo.PositionError) {
	for _, r := range refused.Readings {
		fmt.Fprintf(errOut, "  perhaps %s   (%s)\n", r.Position.DDM(), r.How)
	}
}

// userName stands in the history where --who says nothing.
func userName() string {
	if u, err := user.Current(); err == nil && u.Username != "" {
		return u.Username
	}
	return "unknown user"
}
