package main

import "swingroom/api/office"

type placeCommand struct {
	At     string `help:"Position of the anchor, in any form that people paste." required:"" placeholder:"POSITION"`
	Area   string `help:"Area of the mooring; the one in which it lies unless given." placeholder:"NAME"`
	Number string `help:"Its number; the next free one by the area's own numbering unless given." placeholder:"NUMBER"`
	Radius length `help:"A stated swing radius, where the area asks for one." placeholder:"LENGTH"`
	Vacant bool   `help:"Set it vacant: it keeps the water of a boat of that length and draft."`
	groundFlags
	ownedFlags
	reasonFlags
	actFlags
}

func (placeCommand) Help() string {
	return `Sets a new mooring at a position, with a boat or vacant, after the full check.

Examples:
  swingroom place --at "44° 12.345' N 041° 30.123' W" --tackle-of 217 --waiting "Ada Quill" --why "permit 2027"
  swingroom place --at "44.20575, -41.50205" --rode 22m --loa 8m --draft 1.2m --vacant --why "guest mooring"
  swingroom place --at=-36.84,174.77 ...           (a position that begins with a minus sign)` + checkedHelp
}

// Run sets the mooring.
func (c *placeCommand) Run(s *session) error {
	return c.carryOut(s, c.reasons(), actOn((*office.Harbor).Place, c.placement()), workCaution)
}

// placement is the mooring as the act takes it.
func (c *placeCommand) placement() office.Placement {
	return office.Placement{Position: c.At, Area: c.Area, Number: c.Number, Radius: c.Radius.value, Waiting: c.Waiting, Vacant: c.Vacant,
		Ground: c.ground(), Boat: c.owned()}
}
