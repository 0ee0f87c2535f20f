package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"

	"swingroom/api/account"
	"swingroom/api/store"
)

type accountCommand struct {
	Add      accountAddCommand      `cmd:"" help:"Make an account; its password is asked for."`
	List     accountListCommand     `cmd:"" help:"List the accounts."`
	Password accountPasswordCommand `cmd:"" help:"Give an account another password."`
	Role     accountRoleCommand     `cmd:"" help:"Give an account another role."`
	Disable  accountDisableCommand  `cmd:"" help:"Keep an account from signing in, or let it again."`
	Failed   accountFailedCommand   `cmd:"" help:"List the sign-ins that failed last."`
}

// with opens the database for a command on accounts or tokens.
func (r database) with(s *session, do func(db *store.Store, gate *account.Authenticator) error) error {
	db, err := openExisting(s.ctx, r.DB)
	if err != nil {
		return err
	}
	defer db.Close()
	gate, err := account.NewAuthenticator(s.ctx, account.Options{Store: db})
	if err != nil {
		return err
	}
	return do(db, gate)
}

type accountAddCommand struct {
	Name string `arg:"" help:"Name of the account, in any script."`
	Role string `help:"harbormaster, yard or crew." required:"" placeholder:"ROLE"`
	database
}

func (accountAddCommand) Help() string {
	return `The password is asked for twice on the terminal, or read as one line where the input comes from elsewhere. It has 12 to
128 characters of any kind; several words in a row make a good one.

Roles, each with what those before it may do:
  crew          names and records; positions, notes, inspections
  yard          tackle, proposals of swaps
  harbormaster  everything, accounts too; the first account has to be one

Example:
  swingroom account add 'Quay Warden' --role harbormaster --db harbor.db`
}

// Run makes the account.
func (c *accountAddCommand) Run(s *session) error {
	return c.with(s, func(_ *store.Store, gate *account.Authenticator) error {
		password, err := newPassword(s, c.Name)
		if err != nil {
			return err
		}
		made, err := gate.Add(s.ctx, c.Name, c.Role, password)
		if err != nil {
			return fmt.Errorf("no account was made: %w", err)
		}
		fmt.Fprintf(s.out, "%s can sign in as %s.\n", made.Name, made.Role)
		return nil
	})
}

type accountListCommand struct {
	database
}

// Run lists the accounts.
func (c *accountListCommand) Run(s *session) error {
	return c.with(s, func(db *store.Store, _ *account.Authenticator) error {
		all, err := db.Accounts(s.ctx)
		if err != nil {
			return err
		}
		t := newTable(s.out, "ACCOUNT", "ROLE", "STATE", "MADE", "LAST SIGNED IN", "FROM")
		for _, a := range all {
			state := "active"
			if a.Disabled {
				state = "disabled"
			}
			t.row(a.Name, a.Role, state, moment(a.Created), moment(a.SignedIn), a.From)
		}
		t.end("no accounts: whoever sits at this machine is the harbormaster")
		return nil
	})
}

// moment shows a time to the minute.
func moment(at time.Time) string {
	if at.IsZero() {
		return "never"
	}
	return at.UTC().Format("2006-01-02 15:04 UTC")
}

type accountPasswordCommand struct {
	Name string `arg:"" help:"Name of the account."`
	database
}

// Run gives the account another password.
func (c *accountPasswordCommand) Run(s *session) error {
	return c.with(s, func(db *store.Store, gate *account.Authenticator) error {
		a, err := db.AccountNamed(s.ctx, c.Name)
		if err != nil {
			return err
		}
		password, err := newPassword(s, a.Name)
		if err != nil {
			return err
		}
		if err := gate.SetPassword(s.ctx, a.Name, password); err != nil {
			return fmt.Errorf("the password stays as it was: %w", err)
		}
		fmt.Fprintf(s.out, "%s has another password and has to sign in again everywhere.\n", a.Name)
		return nil
	})
}

type accountRoleCommand struct {
	Name string `arg:"" help:"Name of the account."`
	Role string `arg:"" help:"harbormaster, yard or crew."`
	database
}

// Run gives the account another role.
func (c *accountRoleCommand) Run(s *session) error {
	return c.with(s, func(_ *store.Store, gate *account.Authenticator) error {
		if err := gate.SetRole(s.ctx, c.Name, c.Role); err != nil {
			return fmt.Errorf("the role stays as it was: %w", err)
		}
		fmt.Fprintf(s.out, "%s is %s and has to sign in again.\n", c.Name, strings.ToLower(c.Role))
		return nil
	})
}

type accountDisableCommand struct {
	Name string `arg:"" help:"Name of the account."`
	Undo bool   `help:"Let the account sign in again."`
	database
}

// Run keeps the account from signing in.
func (c *accountDisableCommand) Run(s *session) error {
	return c.with(s, func(_ *store.Store, gate *account.Authenticator) error {
		if err := gate.SetDisabled(s.ctx, c.Name, !c.Undo); err != nil {
			return fmt.Errorf("nothing was changed: %w", err)
		}
		told := "%s cannot sign in any more; its sessions have ended. What it has done stays in the history.\n"
		if c.Undo {
			told = "%s can sign in again.\n"
		}
		fmt.Fprintf(s.out, told, c.Name)
		return nil
	})
}

type accountFailedCommand struct {
	Most int `help:"How many at most." default:"50"`
	database
}

// Run lists the sign-ins that failed.
func (c *accountFailedCommand) Run(s *session) error {
	return c.with(s, func(db *store.Store, _ *account.Authenticator) error {
		all, err := db.Attempts(s.ctx, c.Most)
		if err != nil {
			return err
		}
		t := newTable(s.out, "WHEN", "NAME AS TYPED", "FROM")
		for _, a := range all {
			t.row(a.At.UTC().Format("2006-01-02 15:04:05 UTC"), a.Name, a.Address)
		}
		t.end("no sign-in has failed")
		return nil
	})
}

// newPassword asks for a password twice on the terminal, without showing it, or reads one line where the input is none. What cannot be
// taken is said before it is asked for again.
func newPassword(s *session, name string) (string, error) {
	terminal := int(os.Stdin.Fd())
	if !term.IsTerminal(terminal) {
		return passwordLine(os.Stdin)
	}
	first, err := askHidden(s.errOut, terminal, fmt.Sprintf("Password for %s (12 characters or more, not shown): ", name))
	if err != nil {
		return "", err
	}
	if err := account.CheckPassword(name, first); err != nil {
		return "", err
	}
	again, err := askHidden(s.errOut, terminal, "The same again: ")
	if err != nil {
		return "", err
	}
	if first != again {
		return "", errors.New("the two passwords differ; nothing was changed")
	}
	return first, nil
}

func askHidden(out io.Writer, terminal int, question string) (string, error) {
	fmt.Fprint(out, question)
	typed, err := term.ReadPassword(terminal)
	fmt.Fprintln(out)
	return string(typed), err
}

// maxPasswordBytes is more than any password that is taken has.
const maxPasswordBytes = 4096

// passwordLine reads a password as the first line of an input.
func passwordLine(in io.Reader) (string, error) {
	line, err := bufio.NewReader(io.LimitReader(in, maxPasswordBytes)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	line = strings.TrimRight(line, "\r\n")
	if line == "" {
		return "", errors.New("a password is expected on the standard input, as one line; nothing was changed")
	}
	return line, nil
}
