package api

import "sync"

// bells tell those who listen to the changes of harbors that there may be new ones.
type bells struct {
	mu   sync.Mutex
	rung chan struct{} // closed at the next ring
}

// next is closed when the bell rings the next time.
func (b *bells) next() <-chan struct{} {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung == nil {
		b.rung = make(chan struct{})
	}
	return b.rung
}

func (b *bells) ring() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung != nil {
		close(b.rung)
		b.rung = nil
	}
}
