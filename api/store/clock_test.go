package store

import "time"

// SetClock puts a clock of the test's own in place of the system's.
func (s *Store) SetClock(now func() time.Time) { s.now = now }
