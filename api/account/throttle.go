package account

import (
	"maps"
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// How fast names and passwords can be tried. The pace of an address is that of golang.org/x/time/rate; that of a name is written here,
// since a delay that doubles with each failure is none of its kinds. An account has freeTries, then a delay that doubles with every failure
// up to maxDelay, and never more: nobody is locked out for good. That makes at most 50 failures an hour, and as many again from the address
// at which its owner has signed in last, which has a count of its own, so that a stranger's tries do not keep the owner out: 100 together,
// as OWASP ASVS 4.0.3, item 2.2.1, allows.
const (
	freeTries   = 5
	firstDelay  = time.Second
	maxDelay    = 90 * time.Second
	forgetAfter = time.Hour
)

// How fast one address can try, whatever the names: a whole office may be behind it.
const (
	addressEvery = 2 * time.Second
	addressBurst = 20
)

// maxCounts is how many names and addresses are counted at once; beyond it the ones that are idle go.
const maxCounts = 10000

// throttle counts failures by name and tries by address.
type throttle struct {
	now       func() time.Time
	mu        sync.Mutex
	names     map[nameKey]*failures
	addresses map[string]*visitor
}

// nameKey is a folded name, as tried from its owner's address or from elsewhere.
type nameKey struct {
	folded     string
	ownAddress bool
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

func newThrottle(now func() time.Time) *throttle {
	return &throttle{now: now, names: map[nameKey]*failures{}, addresses: map[string]*visitor{}}
}

// take counts a try as a failure before it is checked, so that many at once are not all let through; 0, or how long to wait where it may
// not be made now. ownAddress says that the name's owner has signed in from that address last.
func (t *throttle) take(folded, address string, ownAddress bool) time.Duration {
	t.mu.Lock()
	defer t.mu.Unlock()
	now := t.now()
	t.forget(now)
	if wait := t.takeAddress(network(address), now); wait > 0 {
		return wait
	}
	return t.takeName(nameKey{folded, ownAddress}, now)
}

// takeAddress counts a try from an address.
func (t *throttle) takeAddress(address string, now time.Time) time.Duration {
	v := t.addresses[address]
	if v == nil {
		v = &visitor{limit: rate.NewLimiter(rate.Every(addressEvery), addressBurst)}
		t.addresses[address] = v
	}
	v.last = now
	r := v.limit.ReserveN(now, 1)
	wait := r.DelayFrom(now)
	if wait > 0 {
		r.CancelAt(now)
	}
	return wait
}

// takeName counts a try of a name.
func (t *throttle) takeName(key nameKey, now time.Time) time.Duration {
	f := t.names[key]
	if f == nil || now.Sub(f.last) >= forgetAfter {
		f = &failures{}
		t.names[key] = f
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
		if d *= 2; d >= maxDelay {
			return maxDelay
		}
	}
	return d
}

// clear forgets the failures of a name whose owner has signed in.
func (t *throttle) clear(folded string, ownAddress bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	delete(t.names, nameKey{folded, ownAddress})
}

// forget drops what was idle for forgetAfter, and where that is not enough, what was idle longest.
func (t *throttle) forget(now time.Time) {
	for idle := forgetAfter; t.counts() >= maxCounts && idle > 0; idle /= 2 {
		before := now.Add(-idle)
		maps.DeleteFunc(t.names, func(_ nameKey, f *failures) bool { return !f.last.After(before) })
		maps.DeleteFunc(t.addresses, func(_ string, v *visitor) bool { return !v.last.After(before) })
	}
}

// counts is how many names and addresses are counted.
func (t *throttle) counts() int { return len(t.names) + len(t.addresses) }

// network is what is counted as one address: of IPv6 the network, since a single machine has a whole one to choose from.
func network(address string) string {
	ip, err := netip.ParseAddr(address)
	if err != nil {
		return address
	}
	if ip = ip.Unmap(); ip.Is6() {
		if prefix, err := ip.WithZone("").Prefix(64); err == nil {
			return prefix.String()
		}
	}
	return ip.String()
}
