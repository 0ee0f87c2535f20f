package office

import "sync"

// broadcast tells those who listen to the changes of harbors that there may be new ones.
type broadcast struct {
	mu   sync.Mutex
	sent chan struct{} // closed at the next send
}

// next is closed at the next send.
func (b *broadcast) next() <-chan struct{} {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.sent == nil {
		b.sent = make(chan struct{})
	}
	return b.sent
}

func (b *broadcast) send() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.sent != nil {
		close(b.sent)
		b.sent = nil
	}
}
