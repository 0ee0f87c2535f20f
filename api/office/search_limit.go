package office

import (
	"context"
	"runtime"
)

// searchLimit is how many searches that keep a core busy for a tenth of a second and more may run at once. One core at least is left to
// those who only look: the others wait for their turn.
type searchLimit chan struct{}

func newSearchLimit() searchLimit { return make(searchLimit, max(1, runtime.GOMAXPROCS(0)-1)) }

// begin waits until a search may begin, and gives what ends it. The error is that of a context that has ended.
func (l searchLimit) begin(ctx context.Context) (end func(), err error) {
	select {
	case l <- struct{}{}:
		return func() { <-l }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}
