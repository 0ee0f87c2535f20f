package account

import "time"

// SetCompare puts a comparison of the test's own in place of Argon2id's.
func (g *Authenticator) SetCompare(f func(password, kept string) (same, outdated bool, err error)) {
	g.compare = f
}

// Compare is the one that is used.
var Compare = compare

// Throttle is how fast names and passwords can be tried.
type Throttle = throttle

// NewThrottle counts by a clock of the test's own.
func NewThrottle(now func() time.Time) *Throttle { return newThrottle(now) }

// Take counts a try.
func (t *Throttle) Take(folded, address string, ownAddress bool) time.Duration {
	return t.take(folded, address, ownAddress)
}

// Counts is how many names and addresses are counted.
func (t *Throttle) Counts() int { return t.counts() }

// Network is what is counted as one address.
var Network = network
