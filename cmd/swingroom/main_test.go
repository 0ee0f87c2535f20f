package main

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"swingroom": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command as a user does; each script says what it shows.
func TestScripts(t *testing.T) {
	commands := map[string]func(*testscript.TestScript, bool, []string){"exits": exits}
	testscript.Run(t, testscript.Params{Dir: "testdata", Cmds: commands, Setup: func(e *testscript.Env) error {
		e.Setenv("NEXT_YEAR", time.Now().UTC().AddDate(1, 0, 0).Format(time.DateOnly))
		return nil
	}})
}

// exits runs a command that has to end with an exit code: exits 3 swingroom fit ...
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	var ended *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &ended) {
		code = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if code != want {
		ts.Fatalf("%s ended with %d, not with %d", args[1], code, want)
	}
}
