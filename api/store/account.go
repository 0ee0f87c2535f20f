package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"swingroom/geo"
)

// Kinds of error of accounts and tokens; geo.ErrNotFound besides.
var (
	// ErrTaken: an account or a token would take a name that is taken.
	ErrTaken = errors.New("that name is taken")
	// ErrLastHarbormaster: nobody could look after the accounts any more.
	ErrLastHarbormaster = errors.New("there has to be a harbormaster")
)

// Harbormaster is the role that one account at least has to have.
const Harbormaster = "harbormaster"

// Account is one who may sign in.
type Account struct {
	ID          int64
	Name        string
	Role        string
	Hash        string // of the password
	Created     time.Time
	PasswordSet time.Time
	Disabled    bool
	SignedIn    time.Time // last; zero: never
	From        string    // the address of the last sign-in
}

// Fold is a name without its case, accents and width: two names that fold alike look alike. Marks that are part of a letter's script, such
// as vowel signs, stay.
func Fold(name string) string {
	text := strings.Map(withoutMarks, norm.NFKD.String(cases.Fold().String(norm.NFKC.String(name))))
	return strings.Join(strings.Fields(norm.NFC.String(text)), " ")
}

// withoutMarks drops accents and what cannot be seen.
func withoutMarks(r rune) rune {
	// The sound marks of kana tell letters apart, though Unicode counts them among the accents.
	soundMark := r == '\u3099' || r == '\u309a'
	accent := unicode.Is(unicode.Mn, r) && unicode.Is(unicode.Inherited, r) && !soundMark
	if accent || unicode.Is(unicode.Cf, r) {
		return -1
	}
	return r
}

const accountColumns = "id, name, role, hash, created_ms, password_ms, disabled_ms IS NOT NULL, coalesce(signed_in_ms, 0), signed_in_from"

func scanAccount(row interface{ Scan(...any) error }) (a Account, err error) {
	var createdMS, passwordMS, signedInMS int64
	err = row.Scan(&a.ID, &a.Name, &a.Role, &a.Hash, &createdMS, &passwordMS, &a.Disabled, &signedInMS, &a.From)
	a.Created, a.PasswordSet, a.SignedIn = timeOf(createdMS), timeOf(passwordMS), timeOrNever(signedInMS)
	return a, err
}

func timeOrNever(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return timeOf(ms)
}

// Accounts are all accounts by name, the disabled too.
func (s *Store) Accounts(ctx context.Context) ([]Account, error) {
	return list(ctx, s.read, func(rows *sql.Rows) (Account, error) { return scanAccount(rows) },
		"SELECT "+accountColumns+" FROM account ORDER BY folded")
}

// Account finds an account by its id. The error is geo.ErrNotFound.
func (s *Store) Account(ctx context.Context, id int64) (Account, error) {
	return s.oneAccount(ctx, fmt.Sprint(id), "id = ?", id)
}

// AccountNamed finds an account by its name, in whatever case or width it is typed. The error is geo.ErrNotFound.
func (s *Store) AccountNamed(ctx context.Context, name string) (Account, error) {
	return s.oneAccount(ctx, name, "folded = ?", Fold(name))
}

func (s *Store) oneAccount(ctx context.Context, name, where string, arg any) (Account, error) {
	a, err := scanAccount(s.read.QueryRowContext(ctx, "SELECT "+accountColumns+" FROM account WHERE "+where, arg))
	if errors.Is(err, sql.ErrNoRows) {
		return Account{}, fmt.Errorf("account %s: %w", name, geo.ErrNotFound)
	}
	return a, err
}

// HasAccounts tells whether there is any account, and whether an active harbormaster is among them.
func (s *Store) HasAccounts(ctx context.Context) (some, harbormaster bool, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM account), EXISTS (SELECT 1 FROM account WHERE role = ? AND "+
		"disabled_ms IS NULL)", Harbormaster).Scan(&some, &harbormaster)
	return some, harbormaster, err
}

// AddAccount puts an account with name, role and hash on file. Errors: ErrTaken where an account or a token in use has the name,
// ErrLastHarbormaster where it is no harbormaster and there is none yet.
func (s *Store) AddAccount(ctx context.Context, a Account) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		if err := refuseTaken(ctx, tx, "account", a.Name); err != nil {
			return err
		}
		nowMS := s.now().UnixMilli()
		_, err := tx.ExecContext(ctx, "INSERT INTO account (name, folded, role, hash, created_ms, password_ms) VALUES (?, ?, ?, ?, ?, ?)",
			a.Name, Fold(a.Name), a.Role, a.Hash, nowMS, nowMS)
		if err != nil {
			return err
		}
		return lastHarbormaster(ctx, tx)
	})
}

// refuseTaken refuses the name of an account, or of a token in use: in the history both stand as who did it. noun says whose name it would
// be.
func refuseTaken(ctx context.Context, tx *sql.Tx, noun, name string) error {
	var taken bool
	err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM account WHERE folded = ?1) OR EXISTS (SELECT 1 FROM token WHERE "+
		"folded = ?1 AND revoked_ms IS NULL)", Fold(name)).Scan(&taken)
	if err == nil && taken {
		err = fmt.Errorf("%s %s: %w", noun, name, ErrTaken)
	}
	return err
}

// SetPassword gives an account another password and ends its sessions.
func (s *Store) SetPassword(ctx context.Context, id int64, hash string) error {
	return s.changeAccount(ctx, id, "hash = ?, password_ms = ?", hash, s.now().UnixMilli())
}

// SetRole gives an account another role and ends its sessions. The error is ErrLastHarbormaster where none would be left.
func (s *Store) SetRole(ctx context.Context, id int64, role string) error {
	return s.changeAccount(ctx, id, "role = ?", role)
}

// Disable keeps an account from signing in and ends its sessions. The error is ErrLastHarbormaster where none would be left.
func (s *Store) Disable(ctx context.Context, id int64) error {
	return s.changeAccount(ctx, id, "disabled_ms = ?", s.now().UnixMilli())
}

// Enable lets an account sign in again.
func (s *Store) Enable(ctx context.Context, id int64) error {
	return s.changeAccount(ctx, id, "disabled_ms = NULL")
}

// changeAccount writes a change, and ends every session in the same transaction: nobody goes on under what held before.
func (s *Store) changeAccount(ctx context.Context, id int64, set string, args ...any) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "UPDATE account SET "+set+" WHERE id = ?", append(args, id)...); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM session WHERE json_extract(data, '$.account') = ?", id); err != nil {
			return err
		}
		return lastHarbormaster(ctx, tx)
	})
}

// lastHarbormaster refuses a change after which no harbormaster could sign in.
func lastHarbormaster(ctx context.Context, tx *sql.Tx) error {
	var left bool
	if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM account WHERE role = ? AND disabled_ms IS NULL)",
		Harbormaster).Scan(&left); err != nil {
		return err
	}
	if !left {
		return fmt.Errorf("%w who can sign in; make another one first", ErrLastHarbormaster)
	}
	return nil
}

// Rehash keeps a hash of the same password made with other parameters.
func (s *Store) Rehash(ctx context.Context, id int64, old, hash string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE account SET hash = ? WHERE id = ? AND hash = ?", hash, id, old)
		return err
	})
}

// SignedIn keeps when and from where somebody has signed in.
func (s *Store) SignedIn(ctx context.Context, id int64, from string) error {
	return s.exec(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE account SET signed_in_ms = ?, signed_in_from = ? WHERE id = ?", s.now().UnixMilli(), from, id)
		return err
	})
}
