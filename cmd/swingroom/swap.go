package main

import "swingroom/api/office"

type swapCommand struct {
	Number string   `arg:"" help:"The mooring whose boat goes to the next one."`
	Next   []string `arg:"" help:"The next one, and more of a ring: the boat of the last goes to the first."`
	reasonFlags
	actFlags
}

func (swapCommand) Help() string {
	return `Swaps the boats of two moorings, or moves boats round a ring of up to six, after the check of every boat; all of it or
nothing. Where the last mooring is vacant the boats only move up, and the first is vacant then.

Examples:
  swingroom swap 217 218 --why "deeper water for Wren"
  swingroom swap 217 218 219 --why "season 2027"` + checkedHelp
}

// Run moves the boats.
func (c *swapCommand) Run(s *session) error {
	ring := office.Ring{Numbers: append([]string{c.Number}, c.Next...)}
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Ring, ring), "")
}
