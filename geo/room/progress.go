package room

import (
	"context"
	"errors"
	"fmt"
	"sync"
)

// Partial reports whether an error says only that a search was stopped: what came with it is the best until then.
func Partial(err error) bool {
	return (errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)) && !errors.Is(err, ErrStopped)
}

// ended is the error of a search that was stopped; nil of one that was not.
func ended(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("the search was stopped: %w", err)
	}
	return nil
}

// Progress is told how far a search has come; nil is told nothing. It is never called twice at once, nor after the search was stopped.
type Progress func(done, total int)

// tell tells how far a search has come, if anybody listens.
func (p Progress) tell(done, total int) {
	if p != nil {
		p(done, total)
	}
}

// progress is one search's.
type progress struct {
	report      Progress
	mu          sync.Mutex
	done, total int
}

// did adds parts of the work that are done.
func (p *progress) did(ctx context.Context, parts int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done = min(p.total, p.done+parts)
	if ctx.Err() == nil {
		p.report.tell(p.done, p.total)
	}
}

// finish gives an answer out: all is done, or it was stopped.
func (p *progress) finish(ctx context.Context, c Capacity) (Capacity, error) {
	if c.Ended {
		return c, ended(ctx)
	}
	p.report.tell(p.total, p.total)
	return c, nil
}
