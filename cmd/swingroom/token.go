package main

import (
	"fmt"
	"time"

	"swingroom/api/account"
	"swingroom/api/store"
)

type tokenCommand struct {
	Add    tokenAddCommand    `cmd:"" help:"Make a token for a script or a map, and print its secret, this once."`
	List   tokenListCommand   `cmd:"" help:"List the tokens."`
	Revoke tokenRevokeCommand `cmd:"" help:"End a token."`
}

type tokenAddCommand struct {
	Name    string `arg:"" help:"Name of the token; it stands in the history as who did it."`
	Role    string `help:"harbormaster, yard or crew." required:"" placeholder:"ROLE"`
	Expires string `help:"The last day on which it holds (UTC), at most two years from now." required:"" placeholder:"2027-03-31"`
	database
}

func (tokenAddCommand) Help() string {
	return `A script sends the secret as "Authorization: Bearer SECRET"; a map program as the password of its sign-in, with any user
name. Keep it as you would a password: who has it may do what its role may.

Example:
  swingroom token add 'chart plotter' --role crew --expires 2027-03-31 --db harbor.db`
}

// Run makes the token. Only the secret goes to the output, so that a script can keep it.
func (c *tokenAddCommand) Run(s *session) error {
	return c.with(s, func(_ *store.Store, gate *account.Authenticator) error {
		secret, err := gate.MakeToken(s.ctx, c.Name, c.Role, c.Expires, userName())
		if err != nil {
			return fmt.Errorf("no token was made: %w", err)
		}
		fmt.Fprintf(s.errOut, "The secret of %s, which is shown this once and kept nowhere:\n", c.Name)
		fmt.Fprintln(s.out, secret)
		return nil
	})
}

type tokenListCommand struct {
	database
}

// Run lists the tokens.
func (c *tokenListCommand) Run(s *session) error {
	return c.with(s, func(db *store.Store, _ *account.Authenticator) error {
		all, err := db.Tokens(s.ctx)
		if err != nil {
			return err
		}
		t := newTable(s.out, "TOKEN", "ROLE", "STATE", "HOLDS UNTIL", "LAST USED, ABOUT", "MADE BY")
		for _, k := range all {
			state := "holds"
			switch {
			case !k.Revoked.IsZero():
				state = "revoked"
			case !k.Expires.After(time.Now()):
				state = "expired"
			}
			t.row(k.Name, k.Role, state, moment(k.Expires), moment(k.Used), k.CreatedBy)
		}
		t.end("no tokens")
		return nil
	})
}

type tokenRevokeCommand struct {
	Name string `arg:"" help:"Name of the token."`
	database
}

// Run ends the token.
func (c *tokenRevokeCommand) Run(s *session) error {
	return c.with(s, func(db *store.Store, _ *account.Authenticator) error {
		if err := db.RevokeToken(s.ctx, c.Name); err != nil {
			return fmt.Errorf("nothing was changed: %w", err)
		}
		fmt.Fprintf(s.out, "%s does not hold any more.\n", c.Name)
		return nil
	})
}
