package account

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
)

// ErrExpiry: a token that would not expire in time.
var ErrExpiry = errors.New("the day on which it expires is not valid")

// secretPrefix lets whoever finds a secret in a file know what it opens.
const secretPrefix = "swingroom_"

// maxTokenLife is how long a token may be valid.
const maxTokenLife = 2 * 366 * 24 * time.Hour

// newSecret is 32 bytes of chance.
func newSecret() string {
	var b [32]byte
	rand.Read(b[:]) // it never fails: see crypto/rand
	return secretPrefix + base64.RawURLEncoding.EncodeToString(b[:])
}

// MakeToken makes a token that is valid to the end of a day (UTC), given as 2027-03-31, and tells its secret, for the only time. Errors:
// ErrName, ErrRole, ErrExpiry, store.ErrTaken.
func (g *Authenticator) MakeToken(ctx context.Context, name, role, expires, by string) (secret string, err error) {
	if name, err = cleanName(name); err != nil {
		return "", err
	}
	r, err := ParseRole(role)
	if err != nil {
		return "", err
	}
	ends, err := endOfDay(expires, g.throttle.now())
	if err != nil {
		return "", err
	}
	secret = newSecret()
	return secret, g.store.AddToken(ctx, store.Token{Name: name, Role: string(r), CreatedBy: by, Expires: ends}, secret)
}

// endOfDay is when a token ends that is valid through a day. The error is ErrExpiry.
func endOfDay(text string, now time.Time) (time.Time, error) {
	day, err := geo.Date(strings.TrimSpace(text)).Begin()
	if err != nil {
		return time.Time{}, fmt.Errorf("%w: %w", ErrExpiry, err)
	}
	ends := day.AddDate(0, 0, 1)
	if !ends.After(now) || ends.Sub(now) > maxTokenLife {
		return time.Time{}, fmt.Errorf("%w: %s; it has to lie between today and two years from now", ErrExpiry, text)
	}
	return ends, nil
}

// ByToken finds who asks by the secret of a token. The error is ErrToken.
func (g *Authenticator) ByToken(ctx context.Context, secret string) (Person, error) {
	t, err := g.store.TokenOf(ctx, secret)
	if errors.Is(err, geo.ErrNotFound) {
		return Person{}, ErrToken
	}
	return Person{Name: t.Name, Role: Role(t.Role), ByToken: true}, err
}
