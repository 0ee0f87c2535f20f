package account_test

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"swingroom/api/account"
)

// Somebody tries a name as often as the service lets them for three hours, every second from a new address, and from the owner's own as
// well: in no hour are there more than the 100 failures that OWASP ASVS 4.0.3, item 2.2.1, allows, and never is the wait longer than the
// longest.
func TestOneNameIsTriedAHundredTimesAnHourAtMost(t *testing.T) {
	c := &clock{at: time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)}
	p := account.NewThrottle(c.now)
	var let []time.Time
	for second := range 3 * 3600 {
		for _, try := range []struct {
			address string
			home    bool
		}{{fmt.Sprintf("198.51.%d.%d", second/256%256, second%256), false}, {"192.0.2.1", true}} {
			switch wait := p.Take("warden", try.address, try.home); {
			case wait == 0:
				let = append(let, c.now())
			case wait > 90*time.Second:
				t.Fatalf("a wait of %s", wait)
			}
		}
		c.move(time.Second)
	}
	most := 0
	for i := range let {
		n := 0
		for _, at := range let[i:] {
			if at.Sub(let[i]) < time.Hour {
				n++
			}
		}
		most = max(most, n)
	}
	t.Logf("%d tries in three hours, at most %d in one", len(let), most)
	if most > 100 || most < 20 {
		t.Errorf("%d tries in an hour", most)
	}
}

func TestAStrangersTriesDoNotKeepTheOwnerOutOfHerOwnPlace(t *testing.T) {
	c := &clock{at: time.Now()}
	g, _ := newAuthenticator(t, account.Options{Now: c.now})
	if _, err := signIn(g, "zoe", crews, "192.0.2.1"); err != nil {
		t.Fatal(err)
	}
	g.SetCompare(func(password, _ string) (bool, bool, error) { return password == crews, false, nil })
	for i := range 200 {
		_, _ = signIn(g, "zoe", "guess", fmt.Sprintf("198.51.100.%d", i))
	}
	if _, err := signIn(g, "zoe", crews, "203.0.113.9"); !errors.Is(err, account.ErrTooManyTries) {
		t.Errorf("from a new place: %v", err)
	}
	if _, err := signIn(g, "zoe", crews, "192.0.2.1"); err != nil {
		t.Errorf("from where she has signed in last: %v", err)
	}
	c.move(91 * time.Second)
	if _, err := signIn(g, "zoe", crews, "203.0.113.9"); err != nil {
		t.Errorf("after the longest delay: %v", err)
	}
}

func TestAnAddressIsSlowedWhateverTheNames(t *testing.T) {
	c := &clock{at: time.Now()}
	p := account.NewThrottle(c.now)
	let := 0
	for i := range 100 {
		if p.Take(fmt.Sprint("name ", i), fmt.Sprintf("2001:db8:1:2::%x", i), false) == 0 { // one machine's network
			let++
		}
	}
	if let != 20 {
		t.Errorf("%d tries at once", let)
	}
	if wait := p.Take("name", "2001:db8:1:2:ffff::", false); wait <= 0 || wait > 2*time.Second {
		t.Errorf("a wait of %s", wait)
	}
	if wait := p.Take("name", "2001:db8:1:3::1", false); wait != 0 {
		t.Errorf("another network waits %s", wait)
	}
	for address, want := range map[string]string{"192.0.2.7": "192.0.2.7", "::ffff:192.0.2.7": "192.0.2.7", "fe80::1%eth0": "fe80::/64",
		"a pipe": "a pipe"} {
		if got := account.Network(address); got != want {
			t.Errorf("%s is counted as %s", address, got)
		}
	}
}

func TestManyTriesAtOnceAreNotAllLetThrough(t *testing.T) {
	g, _ := newAuthenticator(t, account.Options{})
	var worked, busy, most atomic.Int32
	g.SetCompare(func(string, string) (bool, bool, error) {
		worked.Add(1)
		for now := busy.Add(1); now > most.Load(); {
			most.Store(now)
		}
		time.Sleep(5 * time.Millisecond)
		busy.Add(-1)
		return false, false, nil
	})
	var wait sync.WaitGroup
	for i := range 60 {
		wait.Add(1)
		go func() {
			defer wait.Done()
			_, _ = signIn(g, "zoe", "guess", fmt.Sprintf("198.51.100.%d", i))
		}()
	}
	wait.Wait()
	if n := worked.Load(); n < 5 || n > 7 { // the free ones, and where this machine is slow one or two after their delay
		t.Errorf("%d of 60 were worked out", n)
	}
	if n := int(most.Load()); n > max(2, runtime.NumCPU()) { // each takes 19 MiB
		t.Errorf("%d hashes were worked out at once", n)
	}
}

func TestWhatIsCountedStaysSmall(t *testing.T) {
	c := &clock{at: time.Now()}
	p := account.NewThrottle(c.now)
	for i := range 30000 {
		p.Take(fmt.Sprint("name ", i), fmt.Sprintf("10.%d.%d.%d", i>>16, i>>8&255, i&255), false)
		c.move(time.Millisecond)
	}
	if n := p.Counts(); n > 10001 {
		t.Errorf("%d counts are kept", n)
	}
}
