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
)

// Exit codes, for scripts. They are part of the command's interface: see the help of `swingroom`.
const (
	exitDone    = 0
	exitFailed  = 1 // something went wrong: the message says what
	exitUsage   = 2 // the command line is wrong
	exitRefused = 3 // import: bad rows, nothing written · find: nothing found · check --fail-on: something found · fit: she does not fit
	exitUnsaid  = 4 // fit: it cannot be said
)

// errRefused ends a command with exitRefused after it has printed its answer itself.
var errRefused = errors.New("refused")

// errUnsaid ends a command with exitUnsaid after it has printed its answer itself.
var errUnsaid = errors.New("cannot be said")

const description = `Keeps a harbor's mooring field on an accurate map: which boats can touch, where a boat fits, which buoy is this.

A planning aid, not for navigation. Local codes and the harbormaster's permit govern; work on tackle is for licensed practice.

Exit codes: 0 done · 1 failed · 2 wrong usage · 3 the answer is no (import refused, nothing found, check --fail-on, fit) · 4 fit: it cannot be said.`

// commands is the command line.
type commands struct {
	Demo     demoCommand     `cmd:"" help:"Show a complete invented harbor on the map."`
	Serve    serveCommand    `cmd:"" help:"Serve the map of your own harbor."`
	Import   importCommand   `cmd:"" help:"Take in a folder of your own files."`
	Export   exportCommand   `cmd:"" help:"Write every list as CSV or XLSX."`
	Check    checkCommand    `cmd:"" help:"List all conflicts and hazards."`
	Find     findCommand     `cmd:"" help:"Find moorings by number, boat or position."`
	Tide     tideCommand     `cmd:"" help:"Predict levels, high and low waters."`
	Reach    reachCommand    `cmd:"" help:"Tell how far one boat lies from her anchor, by wind and level."`
	Weather  weatherCommand  `cmd:"" help:"Lay the whole field to a wind, a stream and a level."`
	Fit      fitCommand      `cmd:"" help:"Check whether a boat fits on a mooring, and look for ways out."`
	Tables   tablesCommand   `cmd:"" help:"Print published tables of tackle by the length of the boat, as examples."`
	Spots    spotsCommand    `cmd:"" help:"Find the best places for one more boat."`
	Capacity capacityCommand `cmd:"" help:"Tell how many more boats of a class an area takes."`
	WhatIf   whatIfCommand   `cmd:"" help:"Try another rule or tackle on a whole area."`
	Waiting  waitingCommand  `cmd:"" help:"Hold the waiting list against the vacant moorings."`
	History  historyCommand  `cmd:"" help:"Tell who changed what, when and why."`
	Sheet    sheetCommand    `cmd:"" help:"Write the sheet of one mooring as PDF, to be put in the file and signed."`
	Chart    chartCommand    `cmd:"" help:"Write the chart of an area as PDF, true to scale."`
	Backup   backupCommand   `cmd:"" help:"Copy the database and its photos into a folder, while others go on working."`
	Restore  restoreCommand  `cmd:"" help:"Bring a backup back."`
	Account  accountCommand  `cmd:"" help:"Make and change the accounts of those who sign in."`
	Token    tokenCommand    `cmd:"" help:"Make and revoke tokens for scripts and maps."`
}

// session is what a command runs in: tests give it their own streams.
type session struct {
	ctx    context.Context
	out    io.Writer
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
		kong.Vars{"listen": defaultListen, "user": userName()},
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
		fmt.Fprintf(errOut, "swingroom: %v\nTry: swingroom --help\n", err)
		return exitUsage
	}
	switch err := parsed.Run(&session{ctx: ctx, out: out, errOut: errOut}); {
	case err == nil:
		return exitDone
	case errors.Is(err, errRefused):
		return exitRefused
	case errors.Is(err, errUnsaid):
		return exitUnsaid
	default:
		fmt.Fprintln(errOut, "swingroom:", err)
		return exitFailed
	}
}

// userName stands in the history where --who says nothing.
func userName() string {
	if u, err := user.Current(); err == nil && u.Username != "" {
		return u.Username
	}
	return "unknown user"
}
