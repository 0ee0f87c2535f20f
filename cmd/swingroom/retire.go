package main

import "swingroom/api/office"

type retireCommand struct {
	Number string `arg:"" help:"The mooring that is given up."`
	reasonFlags
	actFlags
}

func (retireCommand) Help() string {
	return `Gives up a mooring on which no boat lies. Its history stays.

Example:
  swingroom retire 217 --why "anchor lifted" --db harbor.db` + actHelp
}

// Run gives the mooring up.
func (c *retireCommand) Run(s *session) error {
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Retire, office.Retirement{Number: c.Number}), workCaution)
}
