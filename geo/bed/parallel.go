package bed

import (
	"runtime"
	"sync"
)

// inParallel calls work for parts of 0 up to n, on all processors at once when there is enough to do.
func inParallel(n int, work func(lo, hi int)) {
	const minItems = 10_000 // below, starting goroutines costs more than it saves
	parts := runtime.GOMAXPROCS(0)
	if n < minItems || parts == 1 {
		work(0, n)
		return
	}
	var done sync.WaitGroup
	for i := range parts {
		done.Go(func() { work(n*i/parts, n*(i+1)/parts) })
	}
	done.Wait()
}
