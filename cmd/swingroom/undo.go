package main

import (
	"context"

	"swingroom/api/office"
)

type undoCommand struct {
	Revision *int64 `help:"Only where your last act is this revision." placeholder:"N"`
	Why      string `help:"Why, for the history." placeholder:"TEXT"`
	Despite  string `help:"Why it is done although the fit check does not say that it fits, for the history." placeholder:"TEXT"`
	actFlags
}

func (undoCommand) Help() string {
	return `Takes back your own last act, as a new act. Where others have built on it, it is refused.

Example:
  swingroom undo --who "Quay Warden" --why "wrong mooring" --db harbor.db` + checkedHelp
}

// Run takes the act back.
func (c *undoCommand) Run(s *session) error {
	by, err := c.author()
	if err != nil {
		return err
	}
	return c.carryOut(s, by, takeBack, "")
}

// takeBack is the act that takes back the author's last one.
func takeBack(ctx context.Context, h *office.Harbor, by office.Author) (office.Result, error) {
	return h.Undo(ctx, by)
}

// author is whose act is taken back: the last one, whichever that is, or only one.
func (c *undoCommand) author() (office.Author, error) {
	by := authorOf(c.Why, c.Despite)
	if c.Revision == nil {
		return by, nil
	}
	if *c.Revision < 0 {
		return by, usageError("--revision: the number of a revision is expected")
	}
	by.Precondition = *c.Revision
	return by, nil
}
