package main

import "swingroom/api/office"

type vacateCommand struct {
	Number string `arg:"" help:"The mooring that its boat leaves."`
	reasonFlags
	actFlags
}

func (vacateCommand) Help() string {
	return `Lets a boat leave its mooring, which keeps the water of the largest boat that is set for it, or else of the one that leaves.

Example:
  swingroom vacate 217 --why "sold" --db harbor.db` + actHelp
}

// Run takes the boat off its mooring.
func (c *vacateCommand) Run(s *session) error {
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Vacate, office.Vacancy{Number: c.Number}), "")
}
