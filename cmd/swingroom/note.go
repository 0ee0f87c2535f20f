package main

import (
	"context"
	"fmt"
	"strings"

	"swingroom/api/office"
)

type noteCommand struct {
	What string `arg:"" name:"number or text" help:"The mooring's number; where it is about none, the text itself in quotes."`
	Text string `arg:"" optional:"" help:"The text, in quotes, where a number stands before it."`
	Why  string `help:"Why, for the history." placeholder:"TEXT"`
	actFlags
}

func (noteCommand) Help() string {
	return `Writes a note down, about one mooring or about the harbor at large.

Examples:
  swingroom note 217 "pennant chafed at the chock" --db harbor.db
  swingroom note "the float is out for repair"` + actHelp
}

// Run writes the note.
func (c *noteCommand) Run(s *session) error {
	return c.carryOut(s, authorOf(c.Why, ""), c.write, "")
}

// write writes the note down. A number alone is a note whose text has been forgotten.
func (c *noteCommand) write(ctx context.Context, h *office.Harbor, by office.Author) (office.Result, error) {
	if c.Text != "" {
		return h.Note(ctx, by, office.Note{Mooring: c.What, Text: c.Text})
	}
	number := strings.TrimSpace(c.What)
	if _, isThere := h.Field.Index(number); isThere {
		return office.Result{}, usageError(fmt.Sprintf("the text of the note about %s is expected, in quotes", number))
	}
	return h.Note(ctx, by, office.Note{Text: c.What})
}
