package api

import "runtime"

// heavy are searches that keep a core busy for a tenth of a second and more. One core at least is left to those who only look: the others
// wait for their turn.
type heavy chan struct{}

func newHeavy() heavy { return make(heavy, max(1, runtime.GOMAXPROCS(0)-1)) }

// turn waits until a search may begin, and gives what ends it. The error is that of an asker who has gone.
func (q *request) turn() (done func(), err error) {
	select {
	case q.service.heavy <- struct{}{}:
		return func() { <-q.service.heavy }, nil
	case <-q.r.Context().Done():
		return nil, q.r.Context().Err()
	}
}
