package api

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"

	"swingroom/api/account"
)

// Kinds of error of who may not do what they ask for.
var (
	errSignIn    = errors.New("this is for those who are signed in")
	errMayNot    = errors.New("your role is not enough")
	errForeign   = errors.New("this came from another page or to another name than this machine's")
	errOnlyShown = errors.New("there are no accounts here, so others only see the map as the public may; the one who looks after this " +
		"service makes accounts with: swingroom account add NAME --role harbormaster")
	errNoKey = errors.New("the Authorization header is not understood: a token as Bearer, or as the password of Basic, is expected")
)

// admitted is the one way to every route that answers with data: it finds out who asks, once, and whether they may. Acts have to come from
// this service's own page or from a program.
func (s *Service) admitted(rt route) http.HandlerFunc {
	return s.handle(func(q *request) error {
		if err := q.admit(rt); err != nil {
			return err
		}
		return rt.serve(q)
	})
}

// admit finds out who asks, holds that against the route, and keeps a session alive that was used.
func (q *request) admit(rt route) error {
	if rt.acts {
		if err := q.ownOrigin(); err != nil {
			return err
		}
	}
	p, keep, err := q.identify()
	if err != nil {
		return err
	}
	q.person = p
	if err := q.mayAsk(rt.minRole()); err != nil || keep == nil {
		return err
	}
	return keep()
}

// minRole is the role that a route is for; unless it says so, acts are the harbormaster's and what is read is public.
func (r route) minRole() account.Role {
	switch {
	case r.role != "":
		return r.role
	case r.acts:
		return account.Harbormaster
	}
	return account.Public
}

// mayAsk holds who asks against the role that a route is for.
func (q *request) mayAsk(role account.Role) error {
	p := q.person
	switch {
	case p.Role.Has(role):
		return nil
	case p.Role != account.Public:
		return fmt.Errorf("%w: this is for the %s, and %s is %s. Nothing was done", errMayNot, role, p.Name, p.Role)
	case !q.service.gate.HasAccounts():
		return errOnlyShown
	}
	return fmt.Errorf("%w as %s; sign in, then ask again. Nothing was done", errSignIn, role)
}

// findPerson finds out who asks, and leaves a session's end where it is: to look is not to use.
func (q *request) findPerson() (account.Person, error) {
	p, _, err := q.identify()
	return p, err
}

// identify finds out who asks: by a token, else by the session's cookie. Where there are no accounts, whoever sits at this machine is its
// harbormaster. A token that does not hold is refused even where the public may ask: a script whose token has expired has to be told.
func (q *request) identify() (p account.Person, keep func() error, err error) {
	if header := q.r.Header.Get("Authorization"); header != "" {
		secret, err := secretOf(q.r)
		if err != nil {
			return p, nil, err
		}
		p, err = q.service.gate.ByToken(q.r.Context(), secret)
		return p, nil, err
	}
	p, keep, err = q.service.gate.InSession(q.r)
	switch {
	case err != nil || keep != nil:
		return p, keep, err
	case !q.service.gate.HasAccounts() && q.isLocal():
		return account.Person{Role: account.Harbormaster}, nil, nil
	}
	return account.Person{Role: account.Public}, nil, nil
}

// secretOf reads the secret of a token: after Bearer (RFC 6750), or as the password of Basic (RFC 7617), whatever the user name.
func secretOf(r *http.Request) (string, error) {
	if _, password, ok := r.BasicAuth(); ok {
		return password, nil
	}
	scheme, secret, _ := strings.Cut(r.Header.Get("Authorization"), " ")
	if secret = strings.TrimSpace(secret); !strings.EqualFold(scheme, "Bearer") || secret == "" {
		return "", errNoKey
	}
	return secret, nil
}

// challenge tells a client that has sent a token how one is sent (RFC 9110, section 11.6.1). Others are not told: a browser would put its
// own box over the page.
func (q *request) challenge() {
	header := q.r.Header.Get("Authorization")
	if header == "" {
		return
	}
	scheme, _, _ := strings.Cut(header, " ")
	if strings.EqualFold(scheme, "Basic") {
		q.w.Header().Set("WWW-Authenticate", `Basic realm="swingroom", charset="UTF-8"`)
		return
	}
	q.w.Header().Set("WWW-Authenticate", `Bearer realm="swingroom", error="invalid_token"`)
}

// isLocal reports a request that comes from this machine, to this machine by its own name. A foreign name that is made to lead here, and
// what a proxy hands on, does not.
func (q *request) isLocal() bool {
	if !q.service.local || q.r.Header.Get("X-Forwarded-For") != "" || q.r.Header.Get("Forwarded") != "" {
		return false
	}
	host := q.r.Host
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// ownOrigin lets through what comes from this service's own page or from a program.
func (q *request) ownOrigin() error {
	var cross http.CrossOriginProtection
	if err := cross.Check(q.r); err != nil {
		return errForeign
	}
	// On this machine's own address a foreign name that is made to lead here would pass for the page's own origin. Elsewhere the session's
	// cookie belongs to the name, and the public may do nothing.
	if q.service.local && !q.isLocal() {
		return errForeign
	}
	return nil
}

// address is that of who asks: behind a proxy the last of those that X-Forwarded-For names, which the proxy itself has written.
func (q *request) address() string {
	address := q.r.RemoteAddr
	if host, _, err := net.SplitHostPort(address); err == nil {
		address = host
	}
	if q.service.behindProxy {
		named := strings.Join(q.r.Header.Values("X-Forwarded-For"), ",")
		last := strings.TrimSpace(named[strings.LastIndex(named, ",")+1:])
		if ip, err := netip.ParseAddr(last); err == nil {
			return ip.Unmap().String()
		}
	}
	return address
}
