package account

import "time"

// SetCompare puts a comparison of the test's own in place of Argon2id's.
func (g *Authenticator) SetCompare(f func(password, kept string) (same, outdated bool, err error)) {
	g.compare = f
}

// Compare is the one that is used.
var Compare = compare

// Pace is how fast names and passwords can be tried.
type Pace = pace

// NewPace counts by a clock of the test's own.
func NewPace(now func() time.Time) *Pace { return newPace(now) }

// Take counts a try.
func (p *Pace) Take(folded, address string, home bool) time.Duration {
	return p.take(folded, address, home)
}

// Counts is how many names and addresses are counted.
func (p *Pace) Counts() int { return len(p.names) + len(p.addresses) }

// Block is what is counted as one address.
var Block = block
