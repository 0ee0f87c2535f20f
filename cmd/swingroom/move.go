package main

import "swingroom/api/office"

type moveCommand struct {
	Number   string `arg:"" help:"The mooring whose anchor is moved."`
	To       string `help:"Where to, in any form that people paste." required:"" placeholder:"POSITION"`
	Accuracy length `help:"Accuracy of that position; 0 unless given." placeholder:"LENGTH"`
	reasonFlags
	actFlags
}

func (moveCommand) Help() string {
	return `Sets the anchor of a mooring at another place, after the fit check.

Examples:
  swingroom move 217 --to "44° 12.345' N 041° 30.123' W" --accuracy 2m --why "clear of the fairway"
  swingroom move 217 --to=-36.84,174.77 ...           (a position that begins with a minus sign)` + checkedHelp
}

// Run moves the anchor.
func (c *moveCommand) Run(s *session) error {
	v := office.Move{Number: c.Number, Position: c.To, Accuracy: c.Accuracy.value}
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Move, v), workCaution)
}
