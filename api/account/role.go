// Package account tells who may do what: roles, passwords, sign-in, sessions and tokens. It keeps them in the store.
package account

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"swingroom/api/store"
)

// Role is what somebody is to the harbor.
type Role string

// The roles, each with what those before it may do.
const (
	Public       Role = "public" // nobody signed in
	Crew         Role = "crew"
	Yard         Role = "yard"
	Harbormaster Role = store.Harbormaster
)

// ErrRole: a role that there is not.
var ErrRole = errors.New("there is no such role")

// Permission is something that is done to what is on record, as the page knows it.
type Permission string

// What may be done besides looking at the map.
const (
	Names       Permission = "names" // reads what is kept from the public
	Positions   Permission = "positions"
	Notes       Permission = "notes"
	Inspections Permission = "inspections"
	Tackle      Permission = "tackle"
	Swaps       Permission = "swaps"    // proposes them
	Moorings    Permission = "moorings" // says who lies where, and changes moorings and areas
	Owners      Permission = "owners"
	Waiting     Permission = "waiting"
	Accounts    Permission = "accounts" // and tokens
)

// roles is the one table of what each may do besides what those before it may, from the least to the most. Which route asks for which
// stands in the table of routes.
var roles = []struct {
	role Role
	may  []Permission
}{
	{Public, nil},
	{Crew, []Permission{Names, Positions, Notes, Inspections}},
	{Yard, []Permission{Tackle, Swaps}},
	{Harbormaster, []Permission{Moorings, Owners, Waiting, Accounts}},
}

// Has reports whether a role may do all that another one may. A role that there is not has nothing, and nobody has it.
func (r Role) Has(least Role) bool {
	return least.rank() >= 0 && r.rank() >= least.rank()
}

func (r Role) rank() int {
	for i := range roles {
		if roles[i].role == r {
			return i
		}
	}
	return -1
}

// Permissions lists all that a role may do.
func (r Role) Permissions() []Permission {
	all := []Permission{}
	for i := 0; i <= r.rank(); i++ {
		all = append(all, roles[i].may...)
	}
	return all
}

// Can reports whether a role may do something.
func (r Role) Can(do Permission) bool { return slices.Contains(r.Permissions(), do) }

// AssignableRoles are the roles that accounts and tokens can have, from the least to the most.
func AssignableRoles() []Role {
	var given []Role
	for _, row := range roles[1:] {
		given = append(given, row.role)
	}
	return given
}

// ParseRole reads a role that an account or a token can have. The error is ErrRole.
func ParseRole(text string) (Role, error) {
	r := Role(strings.ToLower(strings.TrimSpace(text)))
	if !slices.Contains(AssignableRoles(), r) {
		names := make([]string, len(AssignableRoles()))
		for i, role := range AssignableRoles() {
			names[i] = string(role)
		}
		return "", fmt.Errorf("role %q: %w; one of %s is expected", text, ErrRole, strings.Join(names, ", "))
	}
	return r, nil
}

// Person is who asks.
type Person struct {
	Name string // of the account or the token; empty for the public, and on a service without accounts
	Role Role
	// ByToken: a script or a map, and not somebody who has typed a password.
	ByToken bool
	id      int64 // of the account
}

// SignedIn reports one who has shown who it is.
func (p Person) SignedIn() bool { return p.Name != "" }
