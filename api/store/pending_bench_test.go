package store_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"swingroom/api/store"
	"swingroom/geo"
)

// chain is a harbor that several change one after another without waiting for the disk in between.
type chain struct {
	mu       sync.Mutex
	store    *store.Store
	harbor   *geo.Harbor
	revision int64
}

// do hands in a change of the newest state and waits until it is on disk.
func (c *chain) do(change func(h *geo.Harbor)) error {
	c.mu.Lock()
	next := *c.harbor
	change(&next)
	p, err := c.store.Prepare("cove", c.revision, c.harbor, &next, act)
	if err != nil {
		c.mu.Unlock()
		return err
	}
	p.Submit(ctx)
	c.harbor, c.revision = &next, c.revision+1
	c.mu.Unlock()
	_, err = p.Wait()
	return err
}

// fsyncRate is how often a second the disk takes a page for good.
func fsyncRate(tb testing.TB, dir string, during time.Duration) float64 {
	f, err := os.Create(filepath.Join(dir, "pages"))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	begin, n := time.Now(), 0
	for ; time.Since(begin) < during; n++ {
		if _, err := f.Write(page); err != nil {
			tb.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			tb.Fatal(err)
		}
	}
	return float64(n) / time.Since(begin).Seconds()
}

// BenchmarkDurableWrites compares acts that have been acknowledged with the disk's own rate in the same run: one who writes alone, and
// several at once, who share the waits for the disk.
func BenchmarkDurableWrites(b *testing.B) {
	for _, writers := range []int{1, 5, 20} {
		b.Run(fmt.Sprintf("%d writing", writers), func(b *testing.B) {
			dir := b.TempDir()
			s := open(b, filepath.Join(dir, "h.db"))
			h := many(500)
			if _, err := s.Save(ctx, "cove", 0, h, act); err != nil {
				b.Fatal(err)
			}
			before := fsyncRate(b, dir, time.Second/2)
			c := &chain{store: s, harbor: h, revision: 1}
			var wait sync.WaitGroup
			n := 0
			b.ResetTimer()
			begin := time.Now()
			for w := range writers {
				wait.Add(1)
				go func() {
					defer wait.Done()
					for i := w; i < b.N; i += writers {
						err := c.do(func(h *geo.Harbor) {
							h.Moorings = slices.Clone(h.Moorings)
							n++ // under the chain's lock
							h.Moorings[i%500].Note = fmt.Sprint("looked at ", n)
						})
						if err != nil {
							b.Error(err)
							return
						}
					}
				}()
			}
			wait.Wait()
			rate := float64(b.N) / time.Since(begin).Seconds()
			b.StopTimer()
			after := fsyncRate(b, dir, time.Second/2)
			b.ReportMetric(rate, "writes/s")
			b.ReportMetric(rate/((before+after)/2), "of-fsync-rate")
		})
	}
}
