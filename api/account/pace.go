package account

import (
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How fast names and passwords can be tried. An account has freeTries, then a delay that doubles with every failure up to longestDelay, and
// never more: nobody is locked out for good. That makes at most 50 failures an hour, and as many again from the address at which its owner
// has signed in last, which has a count of its own, so that a stranger's tries do not keep the owner out: 100 together, as OWASP ASVS
// 4.0.3, item 2.2.1, allows.
const (
	freeTries    = 5
	firstDelay   = time.Second
	longestDelay = 90 * time.Second
	forgetAfter  = time.Hour
)

// How fast one address can try, whatever the names: a whole office may be behind it.
const (
	addressEvery = 2 * time.Second
	addressBurst = 20
)

// mostCounts is how many names and addresses are counted at once; beyond it the ones that are idle go.
const mostCounts = 10000

// pace counts failures by name and tries by address.
type pace struct {
	now       func() time.Time
	mu        sync.Mutex
	names     map[nameKey]*failures
	addresses map[string]*visitor
}

// nameKey is a folded name, as tried from its owner's address or from elsewhere.
type nameKey struct {
	folded string
	home   bool
}

// failures of a name.
type failures struct {
	count int
	last  time.Time
}

// visitor is an address that tries.
type visitor struct {
	limit *rate.Limiter
	last  time.Time
}

func newPace(now func() time.Time) *pace {
	return &pace{now: now, names: map[nameKey]*failures{}, addresses: map[string]*visitor{}}
}

// take counts a try as a failure before it is checked, so that many at once are not all let through; 0, or how long to wait where it may
// not be made now. home says that the name's owner has signed in from that address last.
func (p *pace) take(folded, address string, home bool) time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	p.forget(now)
	v := p.addresses[block(address)]
	if v == nil {
		v = &visitor{limit: rate.NewLimiter(rate.Every(addressEvery), addressBurst)}
		p.addresses[block(address)] = v
	}
	v.last = now
	if r := v.limit.ReserveN(now, 1); r.DelayFrom(now) > 0 {
		wait := r.DelayFrom(now)
		r.CancelAt(now)
		return wait
	}
	key := nameKey{folded, home}
	f := p.names[key]
	if f == nil || now.Sub(f.last) >= forgetAfter {
		f = &failures{}
		p.names[key] = f
	}
	if wait := f.last.Add(delay(f.count)).Sub(now); f.count > 0 && wait > 0 {
		return wait // a try that is not checked does not make the wait longer
	}
	f.count++
	f.last = now
	return 0
}

// delay is how long to wait after so many failures.
func delay(failed int) time.Duration {
	if failed < freeTries {
		return 0
	}
	d := firstDelay
	for range failed - freeTries {
		if d *= 2; d >= longestDelay {
			return longestDelay
		}
	}
	return d
}

// clear forgets the failures of a name whose owner has signed in.
func (p *pace) clear(folded string, home bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.names, nameKey{folded, home})
}

// forget drops what was idle for forgetAfter, and where that is not enough, what was idle longest.
func (p *pace) forget(now time.Time) {
	if len(p.names)+len(p.addresses) < mostCounts {
		return
	}
	for idle := forgetAfter; len(p.names)+len(p.addresses) >= mostCounts && idle > 0; idle /= 2 {
		for key, f := range p.names {
			if now.Sub(f.last) >= idle {
				delete(p.names, key)
			}
		}
		for key, v := range p.addresses {
			if now.Sub(v.last) >= idle {
				delete(p.addresses, key)
			}
		}
	}
}

// block is what is counted as one address: of IPv6 the network, since a single machine has a whole one to choose from.
func block(address string) string {
	ip, err := netip.ParseAddr(address)
	if err != nil {
		return address
	}
	if ip = ip.Unmap(); ip.Is6() {
		if network, err := ip.WithZone("").Prefix(64); err == nil {
			return network.String()
		}
	}
	return ip.String()
}
