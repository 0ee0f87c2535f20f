package main

import "swingroom/api/office"

type assignCommand struct {
	Number  string `arg:"" help:"The mooring."`
	Replace bool   `help:"The boat that lies there leaves; without it an occupied mooring is refused."`
	ownedFlags
	reasonFlags
	actFlags
}

func (assignCommand) Help() string {
	return `Gives a mooring to a boat, after the fit check.

Examples:
  swingroom assign 217 --boat Wren --owner "Ada Quill" --loa 24ft --beam 8ft --draft 3ft --bow-height 3ft --why "first on the list"
  swingroom assign 217 --waiting "Ada Quill" --replace --why "season 2027"` + checkedHelp
}

// Run gives the mooring.
func (c *assignCommand) Run(s *session) error {
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Assign, c.assignment()), "")
}

// assignment is who gets the mooring, as the act takes it.
func (c *assignCommand) assignment() office.Assignment {
	return office.Assignment{Number: c.Number, Waiting: c.Waiting, Replace: c.Replace, Boat: c.owned()}
}
